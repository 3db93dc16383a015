"""One case of the hostile corpus: what lies in a folder, what is asked of it, and what has to come back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from command import PLAN, REFERRING, SHEET

SHEET_NAME = "bench-six.decoder.yaml"


Text = str | bytes | Callable[[], str]
"""What is large is made when it is needed."""


@dataclass(frozen=True)
class Case:
    """Findings are written `file:line:column rule`, without the file where it is `a.lights.yaml`.

    `total` is how many there are, if only the first ones are written out. `complaint` is all of standard error.
    `seconds` is processor time, and `make` does in the folder what a table of files cannot.
    """

    files: dict[str, Text] = field(default_factory=dict)
    found: tuple[str, ...] = ()
    complaint: str = ""
    status: int | None = None
    arguments: tuple[str | bytes, ...] = ()
    total: int | None = None
    seconds: float = 1.0
    make: Callable[[], object] = int
    stdin: Text = b""

    @property
    def expected_status(self) -> int:
        if self.status is not None:
            return self.status
        return 2 if self.complaint else 1 if self.found else 0


def written(text: Text) -> bytes:
    text = text() if callable(text) else text
    return text if isinstance(text, bytes) else text.encode()


def plan(text: Text, *found: str, **more: object) -> Case:
    """A case of one plan."""
    return Case({"a.lights.yaml": text}, found, **more)  # type: ignore[arg-type]


def added(line: str, *found: str, **more: object) -> Case:
    """A sound plan of nine lines, and something after it."""
    return plan(f"{PLAN}{line}\n", *found, **more)


def changed(old: str, new: str, *found: str, **more: object) -> Case:
    """A sound plan in which something else stands."""
    assert old in PLAN
    return plan(PLAN.replace(old, new, 1), *found, **more)


def track(written: str, *found: str, **more: object) -> Case:
    """A sound plan with another voltage on the track, at 2:17."""
    return changed("14.5 V", written, *found, **more)


def referring(reference: str, *found: str, **more: object) -> Case:
    """A plan that wants a decoder sheet from elsewhere, at 3:10; the sheet is there, in a folder of a repository."""
    make = more.pop("make", int)

    def settle() -> None:
        Path(".git").mkdir()
        make()  # type: ignore[operator]

    files = {"a.lights.yaml": REFERRING.replace(SHEET_NAME, reference), SHEET_NAME: SHEET}
    return Case(files, found, make=settle, **more)  # type: ignore[arg-type]


def link(name: str, target: str) -> Callable[[], object]:
    return lambda: Path(name).symlink_to(target)
