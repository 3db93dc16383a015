"""Tells whether anything has changed on which the result of a run hangs. Looks by itself, whatever the file system.

A run asks a `Watched` for its files. That notes each path before it is read, also one where nothing is, so that no
change is missed that comes while the run goes on, and none is taken note of on which nothing hangs.
"""

from __future__ import annotations

import os
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.files.reading import Disk
from lampwright.records import dataclass, field
from lampwright.text import Source

Stamp = tuple[int, ...] | None
"""What changes with a file: when it was written and when anything of it was changed, size, number; None if none is."""


@dataclass(slots=True)
class Watched:
    """The files as they are now, and what was seen of each path that was asked for."""

    stamps: dict[Path, Stamp] = field(default_factory=dict)
    _targets: dict[Path, Path] = field(default_factory=dict)

    def note(self, path: Path) -> None:
        """From now on, a change of what is at `path` counts."""
        self.stamps.setdefault(path, _stamp(path))

    def changed(self) -> tuple[Path, ...]:
        """The paths that are not what they were when they were noted, or that lead elsewhere."""
        elsewhere = [path for path, target in self._targets.items() if Path(os.path.realpath(path)) != target]
        other = [path for path, stamp in self.stamps.items() if _stamp(path) != stamp]
        return tuple(dict.fromkeys([*other, *elsewhere]))

    # What a run asks of a state.

    def really(self, path: Path) -> Path:
        """`path` with its links resolved."""
        target = Disk().really(path)
        if target != path:
            self._targets.setdefault(path, target)
        return target

    def read(self, real: Path, shown: str) -> Source | Refusal:
        """The file at `real`, which users know as `shown`."""
        self.note(real)
        return Disk().read(real, shown)

    def is_file(self, path: Path) -> bool:
        """Whether a regular file is there, as far as one may look."""
        self.note(path)
        return Disk().is_file(path)


def _stamp(path: Path) -> Stamp:
    try:
        status = path.stat()
    except (OSError, ValueError):
        return None
    # Two files that are renamed to one name in turn may be of one size and time, but not of one number.
    return status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino
