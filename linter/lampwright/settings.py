"""Which `lampwright.yaml` governs a path, and what it leaves out of a search. Opens nothing itself; `files` does."""

from __future__ import annotations

import os
from dataclasses import field
from pathlib import Path

from lampwright.engine import settings_of
from lampwright.files import SETTINGS_NAME, Files, Ignore, is_folder, patterns
from lampwright.model.settings import Settings
from lampwright.records import dataclass
from lampwright.text import Source

_DEFAULT = Settings()


@dataclass(slots=True)
class Governance:
    """Finds the settings of each path: the nearest file upwards, nothing merged. Each file is read once."""

    files: Files
    _real: dict[Path, Path] = field(default_factory=dict)
    _nearest: dict[Path, Path | None] = field(default_factory=dict)
    _settings: dict[Path | None, Settings] = field(default_factory=dict)
    _excludes: dict[Path, Ignore] = field(default_factory=dict)

    def file(self, path: Path) -> Path | None:
        """The settings file that governs the file at `path`, whether or not it can be read."""
        return self._nearest_to(self.files.really(path).parent)

    def settings(self, path: Path) -> Settings:
        """The settings that govern the file at `path`."""
        return self._read(self.file(path))

    def is_excluded(self, path: Path, is_folder: bool) -> bool:  # noqa: FBT001  # the shape that `find` asks for
        """Whether the settings that govern `path` leave it out of a search."""
        # A link is left out by its own name, not by that of what it leads to.
        own = Path(os.path.abspath(path))
        real = self._really(own.parent) / own.name
        file = self._nearest_to(real.parent)
        exclude = self._read(file).exclude
        if file is None or not exclude:
            return False
        if file not in self._excludes:
            self._excludes[file] = patterns(file.parent, list(exclude))
        folder, leaves_out = self._excludes[file]
        return bool(leaves_out(real.relative_to(folder).as_posix() + ("/" if is_folder else "")))

    def leaves_out(self, path: Path) -> bool:
        """Whether a search from the very top would not come to `path`: that or a folder on the way is excluded."""
        own = Path(os.path.abspath(path))
        on_the_way = (folder for folder in own.parents if folder != folder.parent)
        return self.is_excluded(own, is_folder(own)) or any(self.is_excluded(folder, True) for folder in on_the_way)  # noqa: FBT003

    def _really(self, folder: Path) -> Path:
        """`folder` with its links resolved; a search asks for each folder right after the one above it."""
        if folder not in self._real:
            above = None if folder.is_symlink() else self._real.get(folder.parent)
            self._real[folder] = above / folder.name if above is not None else Path(os.path.realpath(folder))
        return self._real[folder]

    def _nearest_to(self, folder: Path) -> Path | None:
        """The settings file in `folder`, or else in the nearest folder above it that has one."""
        passed: list[Path] = []
        while folder not in self._nearest:
            passed.append(folder)
            if self.files.has_settings(folder) or folder == folder.parent:
                self._nearest[folder] = folder / SETTINGS_NAME if self.files.has_settings(folder) else None
            else:
                folder = folder.parent
        nearest = self._nearest[folder]
        self._nearest.update(dict.fromkeys(passed, nearest))
        return nearest

    def _read(self, file: Path | None) -> Settings:
        if file not in self._settings:
            source = self.files.source(file) if file is not None else None
            self._settings[file] = settings_of(source) if isinstance(source, Source) else _DEFAULT
        return self._settings[file]
