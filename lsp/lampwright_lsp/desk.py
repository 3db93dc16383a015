"""The open texts on top of the files on the disk: who reads a file that is open gets what its buffer holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.files.reading import Disk
from lampwright.text import Source
from lampwright_lsp.addresses import path_of, uri_of
from lampwright_lsp.texts import Text

Stamp = tuple[int, int, int]
"""What tells that a file is still the same: when it was written, its size, its place on the disk."""


_NO_FILE: Stamp = (0, -1, 0)

_FEW_READ = 256
"""Files that are kept read without a look at which of them are still there."""


class Desk:
    """All open texts by URI. Files on the disk are read once and again when they have changed."""

    def __init__(self) -> None:
        self._disk = Disk()
        self._texts: dict[str, Text] = {}
        self._open: dict[Path, Text] = {}
        self._folders: tuple[tuple[Path, Path], ...] = ()
        self._folder_of: dict[Path, Path] = {}
        self._read: dict[tuple[Path, str], tuple[Stamp, Source | Refusal]] = {}
        self._most_read = _FEW_READ

    @property
    def folders(self) -> tuple[Path, ...]:
        """The client's folders, as it calls them."""
        return tuple(folder for folder, _ in self._folders)

    @folders.setter
    def folders(self, folders: Iterable[Path]) -> None:
        self._folders = tuple((folder, self.really(folder)) for folder in dict.fromkeys(folders))
        self._folder_of.clear()

    def folder_of(self, path: Path) -> Path:
        """The folder that the names of what concerns `path` are relative to: the innermost around it, or its own."""
        # Another thread may forget all of them between a look and the next.
        found = self._folder_of.get(path)
        if found is None:
            real = self.really(path)
            around = (each for each in self._folders if real.is_relative_to(each[1]))
            found = max(around, key=lambda each: len(each[1].parts), default=(path.parent, path.parent))[0]
            self._folder_of[path] = found
        return found

    def lay(self, text: Text) -> None:
        """From now on, `text` is what its buffer holds."""
        self._texts[text.uri] = text
        path = path_of(text.uri)
        if path is not None:
            self._open[self.really(path)] = text

    def take_away(self, uri: str) -> None:
        """The buffer was closed: the file on the disk counts again."""
        text = self._texts.pop(uri, None)
        real = next((path for path, other in self._open.items() if other is text), None)
        if real is not None:
            del self._open[real]
            # A file may be open under two names.
            for other in self._texts.values():
                path = path_of(other.uri)
                if path is not None and self.really(path) == real:
                    self._open[real] = other

    def text(self, uri: str) -> Text | None:
        """The text of an open buffer."""
        return self._texts.get(uri)

    def open_uris(self) -> list[str]:
        """The URIs of all open buffers."""
        return list(self._texts)

    def uri(self, real: Path) -> str:
        """What the client calls the file at `real`."""
        text = self._open.get(real)
        if text is not None:
            return text.uri
        folder, really = next((each for each in self._folders if real.is_relative_to(each[1])), (real, real))
        return uri_of(folder / real.relative_to(really))

    def look_again(self) -> None:
        """Where a folder really is may have changed."""
        self._disk = Disk()
        self._folder_of.clear()

    # --- As `lampwright.files` reads ----------------------------------------------------------------------------------

    def really(self, path: Path) -> Path:
        """`path` with its links resolved."""
        return self._disk.really(path)

    def read(self, real: Path, shown: str) -> Source | Refusal:
        """The file at `real`, which users know as `shown`; the same object as long as nothing has changed."""
        text = self._open.get(real)
        if text is not None:
            return text.source(shown)
        stamp = _stamp(real)
        known = self._read.get((real, shown))
        if known is not None and known[0] == stamp:
            return known[1]
        loaded = self._disk.read(real, shown)
        self._read[real, shown] = stamp, loaded
        if len(self._read) > self._most_read:
            self._forget_what_is_gone()
        return loaded

    def _forget_what_is_gone(self) -> None:
        """Each time when there are twice as many: files come and go, and nobody asks again for those that went."""
        for place in list(self._read):
            if _stamp(place[0]) == _NO_FILE:
                self._read.pop(place, None)
        self._most_read = max(_FEW_READ, 2 * len(self._read))

    def is_file(self, path: Path) -> bool:
        """Whether a file is there, if only in a buffer."""
        return path in self._open or self._disk.is_file(path)


@dataclass(slots=True)
class Trace:
    """Reads from a desk and remembers what was looked at, so that one can ask whether it still looks the same."""

    desk: Desk
    sources: dict[tuple[Path, str], Source | Refusal] = field(default_factory=dict)
    files: dict[Path, bool] = field(default_factory=dict)
    folders: tuple[Path, ...] = field(init=False)

    def __post_init__(self) -> None:
        # By what name a file is known hangs on them.
        self.folders = self.desk.folders

    def really(self, path: Path) -> Path:
        """`path` with its links resolved."""
        return self.desk.really(path)

    def read(self, real: Path, shown: str) -> Source | Refusal:
        """The file at `real`."""
        loaded = self.sources[real, shown] = self.desk.read(real, shown)
        return loaded

    def is_file(self, path: Path) -> bool:
        """Whether a file is there."""
        found = self.files[path] = self.desk.is_file(path)
        return found

    def still_holds(self) -> bool:
        """Whether all that was looked at still looks the same."""
        return (
            self.folders == self.desk.folders
            and all(self.desk.read(*place) == source for place, source in self.sources.items())
            and all(self.desk.is_file(path) == found for path, found in self.files.items())
        )


def _stamp(path: Path) -> Stamp:
    try:
        status = path.stat()
    except (OSError, ValueError):
        return _NO_FILE
    return status.st_mtime_ns, status.st_size, status.st_ino
