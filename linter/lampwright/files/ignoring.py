"""What a `.gitignore` leaves out, or patterns written like one: folders and lines go in, yes or no comes out."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable
from pathlib import Path

from lampwright.files.reading import exists, is_file

Ignore = tuple[Path, Callable[[str], bool | None]]
"""A folder, and whether its patterns ignore a path below it (None: they do not say). A folder's path ends in `/`."""


def patterns(folder: Path, lines: list[str]) -> Ignore:
    """The patterns of a `.gitignore`, or written like one, that hold below `folder`; what means nothing is left out."""
    # Only folders with patterns pay for this import.
    from pathspec import GitIgnoreSpec

    def compiled(wanted: list[str]) -> GitIgnoreSpec | None:
        try:
            return GitIgnoreSpec.from_lines(wanted)
        except Exception:  # noqa: BLE001  # the errors that pathspec raises for a pattern have no common class
            return None

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        spec = compiled(lines) or compiled([line for line in lines if compiled([line]) is not None])
    assert spec is not None
    return folder, lambda path: spec.check_file(path).include


def ignores_above(folder: Path) -> tuple[Ignore, ...]:
    """What is ignored by folders above `folder`, up to the one that holds `.git`; nothing if there is none."""
    lowest = Path(os.path.abspath(folder))
    found: tuple[Ignore, ...] = ()
    for above in (lowest, *lowest.parents):
        if above != lowest:
            found = (*ignores_at(above, ()), *found)
        if exists(above / ".git"):
            return found
    return ()


def ignores_at(folder: Path, above: tuple[Ignore, ...]) -> tuple[Ignore, ...]:
    """What is ignored in `folder`: by those `above` it, and by its own `.gitignore`."""
    path = folder / ".gitignore"
    try:
        # A byte order mark is no part of the first pattern.
        text = path.read_text("utf-8-sig", "replace") if is_file(path) else ""
    except OSError:
        text = ""
    return (*above, patterns(Path(os.path.abspath(folder)), text.split("\n"))) if text.strip() else above


def is_ignored(path: Path, ignores: tuple[Ignore, ...], *, is_folder: bool) -> bool:
    """Whether the nearest patterns that say anything of `path` ignore it."""
    if not ignores:
        return False
    absolute = Path(os.path.abspath(path))
    for folder, ignores_path in reversed(ignores):
        verdict = ignores_path(absolute.relative_to(folder).as_posix() + ("/" if is_folder else ""))
        if verdict is not None:
            return verdict
    return False
