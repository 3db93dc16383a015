"""Which `lampwright.yaml` governs a path, and what it leaves out of a search. Opens nothing itself; `files` does."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from lampwright.engine import settings_of
from lampwright.files import Files, governing, patterns
from lampwright.model.settings import Settings
from lampwright.text import Source

_DEFAULT = Settings()


@dataclass(slots=True)
class Governance:
    """Finds the settings of each path: the nearest file upwards, nothing merged. Each file is read once."""

    files: Files
    _settings: dict[Path | None, Settings] = field(default_factory=dict)

    def settings(self, path: Path) -> Settings:
        """The settings that govern the file at `path`."""
        file = governing(path)
        if file not in self._settings:
            source = self.files.source(file) if file is not None else None
            self._settings[file] = settings_of(source) if isinstance(source, Source) else _DEFAULT
        return self._settings[file]

    def source(self, path: Path) -> Source | None:
        """The settings file that governs `path`, if there is one that can be read."""
        file = governing(path)
        source = self.files.source(file) if file is not None else None
        return source if isinstance(source, Source) else None

    def is_excluded(self, path: Path, is_folder: bool) -> bool:  # noqa: FBT001  # the shape that `find` asks for
        """Whether the settings that govern `path` leave it out of a search."""
        file = governing(path)
        exclude = self.settings(path).exclude
        if file is None or not exclude:
            return False
        folder, leaves_out = patterns(file.parent, list(exclude))
        real = path.parent.resolve() / path.name
        return bool(leaves_out(real.relative_to(folder).as_posix() + ("/" if is_folder else "")))
