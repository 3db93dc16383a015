"""Which `lampwright.yaml` governs a path, and what it leaves out of a search. Opens nothing itself; `files` does."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from lampwright.files import SETTINGS_NAME, Files, Ignore, is_folder, patterns
from lampwright.records import dataclass, field
from lampwright.text import Source

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from lampwright.model.settings import Settings


@dataclass(slots=True)
class Governance:
    """Finds the settings of each path: the nearest file upwards, nothing merged. Each file is read once.

    `recall` may know what a settings file leaves out of a search, so that it need not be understood for that.
    """

    files: Files
    recall: Callable[[Source], tuple[str, ...] | None] = lambda _source: None
    _real: dict[Path, Path] = field(default_factory=dict)
    _nearest: dict[Path, Path | None] = field(default_factory=dict)
    _settings: dict[Path | None, Settings] = field(default_factory=dict)
    _left_out: dict[str, tuple[str, Callable[[str], bool | None]] | None] = field(default_factory=dict)
    _excludes: dict[Path, Ignore | None] = field(default_factory=dict)

    def file(self, path: Path) -> Path | None:
        """The settings file that governs the file at `path`, whether or not it can be read."""
        return self.nearest_to(self.files.folder(self.files.really(path)))

    def settings(self, path: Path) -> Settings:
        """The settings that govern the file at `path`."""
        return self._read(self.file(path))

    def settings_in(self, folder: Path) -> Settings:
        """The settings that govern what is in `folder`, which has no links in it."""
        return self._read(self.nearest_to(folder))

    def is_excluded(self, path: Path, is_folder: bool) -> bool:  # noqa: FBT001  # the shape that `find` asks for
        """Whether the settings that govern `path` leave it out of a search."""
        # A link is left out by its own name, not by that of what it leads to.
        above, name = os.path.split(path)
        if name in {"", os.curdir, os.pardir}:
            above, name = os.path.split(os.path.abspath(path))
        if above not in self._left_out:
            self._left_out[above] = self._left_out_of(self._really(Path(os.path.abspath(above))))
        rule = self._left_out[above]
        return rule is not None and bool(rule[1](f"{rule[0]}{name}{'/' if is_folder else ''}"))

    def _left_out_of(self, folder: Path) -> tuple[str, Callable[[str], bool | None]] | None:
        """How paths in `folder` begin for the patterns that say what is left out of it; None if there are none."""
        file = self.nearest_to(folder)
        if file is None:
            return None
        if file not in self._excludes:
            exclude = self.excluded(file)
            self._excludes[file] = patterns(file.parent, list(exclude)) if exclude else None
        ignore = self._excludes[file]
        if ignore is None:
            return None
        prefix = folder.relative_to(ignore[0]).as_posix()
        return "" if prefix == "." else f"{prefix}/", ignore[1]

    def leaves_out(self, path: Path) -> bool:
        """Whether a search from the very top would not come to `path`: that or a folder on the way is excluded."""
        own = Path(os.path.abspath(path))
        on_the_way = (folder for folder in own.parents if folder != folder.parent)
        return self.is_excluded(own, is_folder(own)) or any(self.is_excluded(folder, True) for folder in on_the_way)  # noqa: FBT003

    def nearest_to(self, folder: Path) -> Path | None:
        """The settings file in `folder`, which has no links in it, or in the nearest folder above it that has one."""
        passed: list[Path] = []
        while folder not in self._nearest:
            passed.append(folder)
            if self.files.has_settings(folder) or folder == folder.parent:
                self._nearest[folder] = folder / SETTINGS_NAME if self.files.has_settings(folder) else None
            else:
                folder = folder.parent
        nearest = self._nearest[folder]
        if passed:
            self._nearest.update(dict.fromkeys(passed, nearest))
        return nearest

    def excluded(self, file: Path) -> tuple[str, ...]:
        """What the settings file `file` leaves out of a search, as written."""
        source = self.files.source(file)
        known = self.recall(source) if isinstance(source, Source) else None
        return self._read(file).exclude if known is None else known

    def _really(self, folder: Path) -> Path:
        """`folder` with its links resolved; a search asks for each folder right after the one above it."""
        if folder not in self._real:
            above = None if folder.is_symlink() else self._real.get(folder.parent)
            self._real[folder] = above / folder.name if above is not None else Path(os.path.realpath(folder))
        return self._real[folder]

    def _read(self, file: Path | None) -> Settings:
        if file not in self._settings:
            # Who only wants to know which files there are need not know what settings are.
            from lampwright.engine import settings_of
            from lampwright.model.settings import NO_SETTINGS

            source = self.files.source(file) if file is not None else None
            self._settings[file] = settings_of(source) if isinstance(source, Source) else NO_SETTINGS
        return self._settings[file]
