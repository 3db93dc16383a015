"""Keeps results between runs, in the folder that the system has for such things. Nothing in it is ever missed.

Whatever is wrong with that folder (read-only, full, damaged, written by others at the same time), nothing is found
there or nothing is kept, and nobody is told. Knows nothing of what is kept, but that JSON can hold it.
"""

from __future__ import annotations

import json
import os
import stat
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from lampwright import __version__
from lampwright.records import dataclass

try:
    # From `hashlib`, the same function comes with all of OpenSSL, which takes a twentieth of a short run to load.
    from _blake2 import blake2b
except ImportError:
    from hashlib import blake2b

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

LARGEST = 50_000_000
"""Bytes; a shelf that has grown beyond is not read again."""

ALL_TOGETHER = 200_000_000
"""Bytes; of more, what has not been written to for the longest time is thrown away."""

_UNUSED, _ABANDONED, _FUTURE = 30 * 24 * 3600, 3600, 24 * 3600
"""Seconds after which a shelf that nobody wrote to is thrown away; the same of one that was never finished, since its
writer was killed; and how far ahead of this clock another one may be."""

_READ_MODE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
_WRITE_MODE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
_OURS_ALONE = 0o700
"""As the XDG Base Directory Specification has it; what is kept holds names and texts of the user."""

_LIBRARIES = "ruamel/yaml", "pint", "pathspec"
"""What has a say in a check besides our own files."""


@dataclass(slots=True)
class Shelves:
    """What is kept, a file for each folder of a user's files. `folder` is where; None: nothing is kept."""

    folder: Path | None
    _stamp: str = ""

    def read(self, folder: str) -> dict[str, Any]:
        """What is kept of the files in `folder`, by a name; empty if that is nothing, or not what was written."""
        with suppress(OSError, ValueError, RecursionError, MemoryError):
            if self.folder is not None:
                digest, _, data = _taken(self._file(folder)).partition(b"\n")
                # A text of lone surrogates stays one: no escapes are read together as one character.
                entries = json.loads(data.decode("utf-8", "surrogatepass")) if digest == _seal(data) else None
                if isinstance(entries, dict):
                    return entries
        return {}

    def write(self, folder: str, entries: Mapping[str, Any]) -> None:
        """Keep `entries` beside those that are kept of other files in `folder`; the last writer wins."""
        if self.folder is None:
            return
        with suppress(OSError, ValueError, TypeError, RecursionError, MemoryError):
            path = self._file(folder)
            self._make_room()
            present = {name: entry for name, entry in self.read(folder).items() if _is_there(folder, name)}
            data = _written({**present, **entries})
            if len(data) > LARGEST:
                data = _written(entries)
            if len(data) <= LARGEST:
                _put(path, data)

    def tidy(self) -> None:
        """Throw away what other versions of this program have left, and what belongs to folders that are gone."""
        if self.folder is None:
            return
        now, size = time.time(), 0
        for changed, length, path in sorted(_contents(self.folder), reverse=True):
            # Only what is not finished yet has a point in its name.
            age, most = now - changed, _ABANDONED if "." in os.path.basename(path) else _UNUSED  # noqa: PTH119  # a text
            size += length
            if not -_FUTURE < age < most or size > ALL_TOGETHER:
                # Another process may be faster, and what is a folder is none of ours.
                with suppress(OSError):
                    os.unlink(path)  # noqa: PTH108  # the same

    def _file(self, folder: str) -> Path:
        assert self.folder is not None
        self._stamp = self._stamp or _own_stamp()
        return self.folder / digest_of(f"{self._stamp}\0{folder}".encode("utf-8", "surrogatepass"))

    def _make_room(self) -> None:
        assert self.folder is not None
        self.folder.parent.mkdir(mode=_OURS_ALONE, parents=True, exist_ok=True)
        self.folder.mkdir(mode=_OURS_ALONE, exist_ok=True)


def digest_of(data: bytes) -> str:
    """What stands for `data`: equal only for equal bytes, as far as anyone knows."""
    return blake2b(data, digest_size=20).hexdigest()


def usual_folder(environment: Mapping[str, str]) -> Path | None:
    """Where programs keep such things here: by the XDG Base Directory Specification, or the system's own custom."""
    # Unlike `Path.expanduser` this raises nothing for a user who has no home.
    chosen, home = environment.get("XDG_CACHE_HOME", ""), Path(os.path.expanduser("~"))  # noqa: PTH111  # see above
    if Path(chosen).is_absolute():
        return Path(chosen, "lampwright")
    if sys.platform == "win32":
        own = environment.get("LOCALAPPDATA", "")
        return Path(own, "lampwright", "cache") if own else None
    if not home.is_absolute():
        return None
    return home / ("Library/Caches" if sys.platform == "darwin" else ".cache") / "lampwright"


# --- One shelf --------------------------------------------------------------------------------------------------------


def _taken(path: Path) -> bytes:
    """The bytes of a regular file that is ours; a pipe is not waited for, and a link is not followed."""
    with os.fdopen(os.open(path, _READ_MODE), "rb") as file:
        status = os.fstat(file.fileno())
        is_ours = sys.platform == "win32" or status.st_uid == os.geteuid()
        if not is_ours or not stat.S_ISREG(status.st_mode) or status.st_size > LARGEST + 100:
            raise ValueError(path)
        return file.read()


def _written(entries: Mapping[str, Any]) -> bytes:
    return json.dumps(entries, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def _seal(data: bytes) -> bytes:
    return digest_of(data).encode("ascii")


def _put(path: Path, data: bytes) -> None:
    """Whole or not at all; what a power failure leaves has the wrong digest, so that nobody waits for the disk."""
    aside = path.with_name(f"{path.name}.{os.urandom(8).hex()}")
    try:
        with os.fdopen(os.open(aside, _WRITE_MODE, 0o600), "wb") as file:
            file.write(_seal(data) + b"\n" + data)
        aside.replace(path)
    finally:
        with suppress(OSError):
            aside.unlink(missing_ok=True)


def _is_there(folder: str, name: str) -> bool:
    return os.path.exists(os.path.join(folder, name))  # noqa: PTH110, PTH118  # asked for each of a thousand


def _contents(folder: Path) -> Iterator[tuple[float, int, str]]:
    """When each thing in `folder` was changed, how many bytes it has, and where it is."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            with suppress(OSError):
                status = entry.stat(follow_symlinks=False)
                yield status.st_mtime, status.st_size, entry.path


# --- Whose it is ------------------------------------------------------------------------------------------------------


def _own_stamp() -> str:
    """What stands for this very program: its version, and its files, since not every change has a version."""
    lines = [__version__, sys.version, *_own_files(str(Path(__file__).parents[1])), *_libraries()]
    return digest_of("\n".join(lines).encode("utf-8", "surrogatepass"))


def _own_files(folder: str) -> Iterator[str]:
    with os.scandir(folder) as entries:
        for entry in sorted(entries, key=lambda entry: entry.name):
            if entry.is_dir():
                if entry.name != "__pycache__":
                    yield from _own_files(entry.path)
            elif entry.name.endswith(".py"):
                status = entry.stat()
                yield f"{entry.path} {status.st_mtime_ns} {status.st_size}"


def _libraries() -> Iterator[str]:
    """Where the libraries are that a check asks, and since when; to ask for their versions takes longer."""
    for name in _LIBRARIES:
        for folder in sys.path:
            # Their folder changes also if only the part of one changes that is compiled.
            with suppress(OSError, ValueError):
                status, around = os.stat(f"{folder}/{name}/__init__.py"), os.stat(folder or ".")  # noqa: PTH116  # a text
                yield f"{folder}/{name} {status.st_mtime_ns} {status.st_size} {around.st_mtime_ns}"
                break
