"""The only module that opens and finds files. Paths go in, sources come out, or one line why not.

Knows what our files are called, what a `.gitignore` hides and where a repository ends; nothing of what files say.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from lampwright.engine import Refusal
from lampwright.plan.kinds import kind_of
from lampwright.text import Source

MAXIMUM_SIZE = 2_000_000
"""Bytes; no plan that a person writes comes near it."""

SETTINGS_NAME = "lampwright.yaml"

Hides = Callable[[Path, bool], bool]
"""Whether a path (and: it is a folder) is to be left out."""


@dataclass(slots=True)
class Files:
    """Reads each file once and remembers where it came from. `working_directory` is what names are relative to."""

    working_directory: Path
    _sources: dict[Path, Source | Refusal] = field(default_factory=dict)
    _paths: dict[Source, Path] = field(default_factory=dict)

    def source(self, path: Path) -> Source | Refusal:
        """The file at `path`, read and decoded."""
        real = Path(os.path.realpath(path))
        if real not in self._sources:
            loaded = self._sources[real] = _read(real, self.shown(path))
            if isinstance(loaded, Source):
                self._paths[loaded] = real
        return self._sources[real]

    def given(self, path: Path, data: bytes) -> Source:
        """`data` as if it were the file at `path`, for text from standard input."""
        real = Path(os.path.realpath(path))
        source = _decode(data, self.shown(path))
        self._sources[real] = source
        self._paths[source] = real
        return source

    def path(self, source: Source) -> Path:
        """Where a source came from."""
        return self._paths[source]

    def load(self, source: Source, reference: str) -> Source | Refusal:
        """The file that `reference` in `source` names, if it lies inside the root of `source`."""
        here = self._paths[source]
        if "\0" in reference:
            return Refusal("missing")
        path = here.parent / reference
        if not Path(os.path.realpath(path)).is_relative_to(root_of(here, self.working_directory)):
            return Refusal("outside")
        loaded = self.source(path)
        if isinstance(loaded, Source) and loaded.fault == "size":
            return Refusal("size")
        return loaded

    def shown(self, path: Path) -> str:
        """How a path is shown: relative to the working directory, with forward slashes."""
        try:
            return Path(os.path.relpath(path, self.working_directory)).as_posix()
        except ValueError:
            # On Windows another drive has no relative path.
            return path.as_posix()


def root_of(path: Path, working_directory: Path) -> Path:
    """The folder that references in the file at `path` must stay in."""
    folders = path.parent, *path.parent.parents
    for marker in (SETTINGS_NAME, ".git"):
        for folder in folders:
            candidate = folder / marker
            if candidate.is_file() if marker == SETTINGS_NAME else candidate.exists():
                return folder
    here = Path(os.path.realpath(working_directory))
    return here if path.is_relative_to(here) else path.parent


def governing(path: Path) -> Path | None:
    """The settings file that governs `path`: the nearest one upwards."""
    real = Path(os.path.realpath(path))
    folders = real.parent, *real.parent.parents
    return next((folder / SETTINGS_NAME for folder in folders if (folder / SETTINGS_NAME).is_file()), None)


def find(folder: Path, is_hidden: Hides, complain: Callable[[Path, str], None]) -> Iterator[Path]:
    """All files of our kinds below `folder`, in order, without those that `is_hidden` or a `.gitignore` leaves out.

    Symbolic links to folders are not followed, so that a loop of them ends. A folder that cannot be read is
    complained about, and the rest is searched.
    """
    ignores = {folder: _ignores_above(folder)}

    def unreadable(error: OSError) -> None:
        complain(Path(error.filename), error.strerror or "cannot be read")

    for at, folders, names in os.walk(folder, onerror=unreadable):
        here = Path(at)
        ignored = _ignores_at(here, ignores.pop(here, ()))

        def leave_out(path: Path, *, is_folder: bool, ignored: tuple[Ignore, ...] = ignored) -> bool:
            return is_hidden(path, is_folder) or _is_ignored(path, ignored, is_folder=is_folder)

        kept = sorted(name for name in folders if name != ".git" and not leave_out(here / name, is_folder=True))
        folders[:] = kept
        ignores.update({here / name: ignored for name in kept})
        for name in sorted(names):
            path = here / name
            if kind_of(name) is not None and path.is_file() and not leave_out(path, is_folder=False):
                yield path


# --- Reading ----------------------------------------------------------------------------------------------------------


def _read(path: Path, shown: str) -> Source | Refusal:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            return Refusal("folder")
        if not stat.S_ISREG(status.st_mode):
            return Refusal("no-file")
        with path.open("rb") as file:
            data = file.read(MAXIMUM_SIZE + 1)
    except FileNotFoundError:
        return Refusal("missing")
    except PermissionError:
        return Refusal("permission")
    except (OSError, ValueError) as error:
        return Refusal(f"system: {getattr(error, 'strerror', None) or error}")
    if len(data) > MAXIMUM_SIZE:
        return Source(shown, data[:200].decode("utf-8", "replace"), fault="size")
    return _decode(data, shown)


def _decode(data: bytes, shown: str) -> Source:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return Source(shown, data.decode("utf-16", "replace"), fault="encoding")
    has_mark = data.startswith(b"\xef\xbb\xbf")
    data = data[3:] if has_mark else data
    try:
        return Source(shown, data.decode("utf-8"), has_mark)
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        # Latin-1 gives every byte a character, so that the frame shows the line that the user knows.
        return Source(shown, before + data[error.start :].decode("latin-1"), has_mark, "encoding", len(before))


# --- .gitignore -------------------------------------------------------------------------------------------------------

Ignore = tuple[Path, Callable[[str], bool | None]]
"""A folder, and whether its `.gitignore` ignores a path below it (None: it does not say)."""


def patterns(folder: Path, lines: list[str]) -> Ignore:
    """The patterns of a `.gitignore`, or written like one, that hold below `folder`."""
    # Only folders with patterns pay for this import.
    from pathspec import GitIgnoreSpec

    spec = GitIgnoreSpec.from_lines(lines)
    return folder, lambda path: spec.check_file(path).include


def _ignores_above(folder: Path) -> tuple[Ignore, ...]:
    """What is ignored by folders above `folder`, up to the one that holds `.git`; nothing if there is none."""
    real = Path(os.path.abspath(folder))
    found: tuple[Ignore, ...] = ()
    for above in (real, *real.parents):
        if above != real:
            found = (*_ignores_at(above, ()), *found)
        if (above / ".git").exists():
            return found
    return ()


def _ignores_at(folder: Path, above: tuple[Ignore, ...]) -> tuple[Ignore, ...]:
    path = folder / ".gitignore"
    try:
        lines = path.read_text("utf-8", "replace").splitlines() if path.is_file() else []
    except OSError:
        lines = []
    return (*above, patterns(Path(os.path.abspath(folder)), lines)) if lines else above


def _is_ignored(path: Path, ignores: tuple[Ignore, ...], *, is_folder: bool) -> bool:
    """Whether the nearest `.gitignore` that says anything of `path` ignores it."""
    absolute = Path(os.path.abspath(path))
    for folder, ignores_path in reversed(ignores):
        verdict = ignores_path(absolute.relative_to(folder).as_posix() + ("/" if is_folder else ""))
        if verdict is not None:
            return verdict
    return False
