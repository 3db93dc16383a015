"""The only package that opens and finds files. Paths go in, sources come out, or one word why not.

Knows what our files are called, what a `.gitignore` hides and where a repository ends; nothing of what files say.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.files.ignoring import Ignore, patterns
from lampwright.files.reading import MAXIMUM_SIZE, Disk, decoded, encoded, exists, is_folder, reason_of, text_of
from lampwright.files.searching import find
from lampwright.records import dataclass, field
from lampwright.text import Source

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Protocol

    class State(Protocol):
        """Where files are read, and what links lead to there."""

        def really(self, path: Path) -> Path:
            """`path`, which is absolute, with its links resolved."""

        def read(self, real: Path, shown: str) -> Source | Refusal:
            """The file at `real`, which users know as `shown`."""

        def is_file(self, path: Path) -> bool:
            """Whether a regular file is there, as far as one may look."""


SETTINGS_NAME = "lampwright.yaml"


@dataclass(slots=True)
class Files:
    """Reads each file once and remembers where it came from. `working_directory` is what names are relative to.

    `state` is where it reads: on the disk, or in the past.
    """

    working_directory: Path
    state: State = field(default_factory=Disk)
    _sources: dict[str, Source | Refusal] = field(default_factory=dict)
    _paths: dict[Source, Path] = field(default_factory=dict)
    _roots: dict[Path, Path] = field(default_factory=dict)
    _shown: dict[str, str] = field(default_factory=dict)
    _reals: dict[str, Path] = field(default_factory=dict)
    _folders: dict[str, Path] = field(default_factory=dict)
    _homes: dict[Source, Path] = field(default_factory=dict)
    _loaded: dict[tuple[Path, str], Source | Refusal] = field(default_factory=dict)

    def source(self, path: Path) -> Source | Refusal:
        """The file at `path`, read and decoded."""
        real = self.really(path)
        name = key_of(real)
        if name not in self._sources:
            loaded = self._sources[name] = self.state.read(real, self.shown(path))
            if isinstance(loaded, Source):
                self._put(loaded, real)
        return self._sources[name]

    def given(self, path: Path, data: bytes) -> Source:
        """`data` as if it were the file at `path`, for text from standard input."""
        real = self.really(path)
        source = decoded(data, self.shown(path))
        self._put(source, real)
        self.settle(source)
        return source

    def imagined(self, source: Source, like: Source) -> Source:
        """`source` as if it stood where `like` does, for what it refers to; whoever reads that file gets `like`."""
        self._put(source, self._paths[like])
        return source

    def placed(self, source: Source, path: Path) -> Source:
        """`source` as if it stood at `path`, where there may be no file any more."""
        self._put(source, self.really(path))
        return source

    def settle(self, source: Source) -> None:
        """From now on, whoever reads the file of `source` gets that."""
        self._sources[key_of(self._paths[source])] = source
        self._loaded.clear()

    def write(self, source: Source, instead_of: Source) -> Refusal | None:
        """Put the text of `source` into the file that holds `instead_of`; the reason if that cannot be done."""
        # Most commands only read.
        from lampwright.files.writing import write_instead

        refused = write_instead(self._paths[instead_of], encoded(instead_of), encoded(source))
        if refused is None:
            self.imagined(source, instead_of)
            self.settle(source)
        return refused

    def path(self, source: Source) -> Path:
        """Where a source came from."""
        return self._paths[source]

    def home(self, source: Source) -> Path:
        """The folder that a source is in, the same object for all that is."""
        return self._homes[source]

    def _put(self, source: Source, real: Path) -> None:
        self._paths[source] = real
        self._homes[source] = self.folder(real)

    def load(self, source: Source, reference: str) -> Source | Refusal:
        """The file that `reference` in `source` names, if it lies inside the root of `source`."""
        folder = self.home(source)
        # Plans beside each other name the same files.
        if (folder, reference) not in self._loaded:
            self._loaded[folder, reference] = self._load(source, folder, reference)
        return self._loaded[folder, reference]

    def _load(self, source: Source, folder: Path, reference: str) -> Source | Refusal:
        if "\0" in reference:
            return Refusal("missing")
        if folder not in self._roots:
            self._roots[folder] = root_of(self._paths[source], self.working_directory, self.has_settings)
        # By its own name: else what a file is called would hang on which of several links to it is followed first.
        real = self.really(folder / reference)
        if not real.is_relative_to(self._roots[folder]):
            return Refusal("outside")
        loaded = self.source(real)
        if isinstance(loaded, Source) and loaded.fault == "size":
            return Refusal("size")
        return loaded

    def really(self, path: Path) -> Path:
        """`path` with its links resolved."""
        name = key_of(path)
        real = self._reals.get(name)
        if real is None:
            real = self._reals[name] = self.state.really(self.working_directory / path)
        return real

    def folder(self, path: Path) -> Path:
        """The folder that `path` is in, the same object for all that is: many files ask about few folders."""
        text = os.path.dirname(path)  # noqa: PTH120  # see above
        folder = self._folders.get(text)
        if folder is None:
            folder = self._folders[text] = path.parent
        return folder

    def has_settings(self, folder: Path) -> bool:
        """Whether settings stand in `folder`, for all that is below it."""
        return self.state.is_file(folder / SETTINGS_NAME)

    def shown(self, path: Path) -> str:
        """How a path is shown: relative to the working directory, with forward slashes."""
        folder, name = os.path.split(path)
        if name in {"", os.curdir, os.pardir}:
            return self._shown_path(path)
        prefix = self._shown.get(folder)
        if prefix is None:
            prefix = self._shown[folder] = self._shown_path(path).removesuffix(name)
        return prefix + name

    def _shown_path(self, path: Path) -> str:
        textual, real = self._relative(path), self._relative(os.path.realpath(path.parent), path.name)
        # `link/..` is not where it seems to be, and a working directory may be known under two names.
        leads_astray = ".." in path.parts[:-1] or (textual.startswith("../") and not real.startswith("../"))
        return real if leads_astray else textual

    def _relative(self, *parts: str | Path) -> str:
        path = Path(self.working_directory, *parts)
        try:
            return Path(os.path.relpath(path, self.working_directory)).as_posix()
        except ValueError:
            # On Windows another drive has no relative path.
            return path.as_posix()


def key_of(path: Path) -> str:
    """Equal for equal paths. A thousand files are asked for by it, and to compare paths takes three times as long."""
    return os.path.normcase(path)


def root_of(path: Path, working_directory: Path, has_settings: Callable[[Path], bool]) -> Path:
    """The folder that references in the file at `path` must stay in."""
    folders = path.parent, *path.parent.parents
    for is_root in (has_settings, _is_repository):
        root = next(filter(is_root, folders), None)
        if root is not None:
            return root
    here = Path(os.path.realpath(working_directory))
    return here if path.is_relative_to(here) else path.parent


def _is_repository(folder: Path) -> bool:
    # In a worktree or a submodule .git is a file.
    return exists(folder / ".git")


__all__ = [
    "MAXIMUM_SIZE",
    "SETTINGS_NAME",
    "Files",
    "Ignore",
    "exists",
    "find",
    "is_folder",
    "key_of",
    "patterns",
    "reason_of",
    "root_of",
    "text_of",
]
