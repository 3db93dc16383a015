"""Which `lampwright.yaml` governs a path, and what it leaves out of a search. Opens nothing itself; `files` does."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path

from lampwright.engine import settings_of
from lampwright.files import Files, Ignore, governing, patterns
from lampwright.model.settings import Settings
from lampwright.text import Source

_DEFAULT = Settings()


@dataclass(slots=True)
class Governance:
    """Finds the settings of each path: the nearest file upwards, nothing merged. Each file is read once."""

    files: Files
    _nearest: dict[Path, Path | None] = field(default_factory=dict)
    _settings: dict[Path | None, Settings] = field(default_factory=dict)
    _excludes: dict[Path, Ignore] = field(default_factory=dict)

    def file(self, path: Path) -> Path | None:
        """The settings file that governs the file at `path`, whether or not it can be read."""
        return self._nearest_to(Path(os.path.realpath(path)).parent)

    def settings(self, path: Path) -> Settings:
        """The settings that govern the file at `path`."""
        return self._read(self.file(path))

    def is_excluded(self, path: Path, is_folder: bool) -> bool:  # noqa: FBT001  # the shape that `find` asks for
        """Whether the settings that govern `path` leave it out of a search."""
        # A link is left out by its own name, not by that of what it leads to.
        own = Path(os.path.abspath(path))
        real = Path(os.path.realpath(own.parent), own.name)
        file = self._nearest_to(real.parent)
        exclude = self._read(file).exclude
        if file is None or not exclude:
            return False
        if file not in self._excludes:
            self._excludes[file] = patterns(file.parent, list(exclude))
        folder, leaves_out = self._excludes[file]
        return bool(leaves_out(real.relative_to(folder).as_posix() + ("/" if is_folder else "")))

    def _nearest_to(self, folder: Path) -> Path | None:
        if folder not in self._nearest:
            self._nearest[folder] = governing(folder)
        return self._nearest[folder]

    def _read(self, file: Path | None) -> Settings:
        if file not in self._settings:
            source = self.files.source(file) if file is not None else None
            self._settings[file] = settings_of(source) if isinstance(source, Source) else _DEFAULT
        return self._settings[file]
