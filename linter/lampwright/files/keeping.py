"""Keeps results between runs, in the folder that the system has for such things. Nothing in it is ever missed.

Whatever is wrong with that folder (read-only, full, damaged, written by others at the same time), nothing is found
there or nothing is kept, and nobody is told. Knows nothing of what is kept, but that JSON can hold it.
"""

from __future__ import annotations

import json
import os
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

_UNUSED = 30 * 24 * 3600
"""Seconds after which a shelf that nobody wrote to is thrown away."""


@dataclass(slots=True)
class Shelves:
    """What is kept, a file for each folder of a user's files. `folder` is where; None: nothing is kept."""

    folder: Path | None
    _stamp: str = ""

    def read(self, folder: str) -> dict[str, Any]:
        """What is kept of the files in `folder`, by a name; empty if that is nothing, or not what was written."""
        with suppress(OSError, ValueError, RecursionError):
            if self.folder is not None:
                data = self._file(folder).read_bytes()
                digest, _, text = data.partition(b"\n")
                if len(data) <= LARGEST and digest == digest_of(text).encode("ascii"):
                    entries: dict[str, Any] = json.loads(text)
                    return entries
        return {}

    def write(self, folder: str, entries: Mapping[str, Any]) -> None:
        """Keep `entries` beside those that are kept of other files in `folder`; the last writer wins."""
        if self.folder is None:
            return
        with suppress(OSError, ValueError, TypeError, RecursionError):
            path = self._file(folder)
            path.parent.mkdir(parents=True, exist_ok=True)
            present = {name: entry for name, entry in self.read(folder).items() if _is_there(folder, name)}
            text = json.dumps({**present, **entries}, ensure_ascii=True, separators=(",", ":")).encode("ascii")
            _put(path, digest_of(text).encode("ascii") + b"\n" + text)
            self._tidy()

    def _file(self, folder: str) -> Path:
        assert self.folder is not None
        self._stamp = self._stamp or _own_stamp()
        return self.folder / digest_of(f"{self._stamp}\0{folder}".encode("utf-8", "surrogatepass"))

    def _tidy(self) -> None:
        """Throw away what other versions of this program have left, and what belongs to folders that are gone."""
        assert self.folder is not None
        limit = time.time() - _UNUSED
        with os.scandir(self.folder) as entries:
            for entry in entries:
                # Another process may be faster.
                with suppress(OSError):
                    if entry.stat(follow_symlinks=False).st_mtime < limit:
                        os.unlink(entry.path)  # noqa: PTH108  # the entry has its path as text


def digest_of(data: bytes) -> str:
    """What stands for `data`: equal only for equal bytes, as far as anyone knows."""
    return blake2b(data, digest_size=20).hexdigest()


def usual_folder(environment: Mapping[str, str]) -> Path | None:
    """Where programs keep such things here: by the XDG Base Directory Specification, or the system's own custom."""
    chosen, home = environment.get("XDG_CACHE_HOME", ""), Path("~").expanduser()
    if Path(chosen).is_absolute():
        return Path(chosen, "lampwright")
    if sys.platform == "win32":
        own = environment.get("LOCALAPPDATA", "")
        return Path(own, "lampwright", "cache") if own else None
    if not home.is_absolute():
        return None
    return home / ("Library/Caches" if sys.platform == "darwin" else ".cache") / "lampwright"


def _put(path: Path, data: bytes) -> None:
    """Whole or not at all; what a power failure leaves has the wrong digest, so that nobody waits for the disk."""
    aside = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        aside.write_bytes(data)
        aside.replace(path)
    finally:
        aside.unlink(missing_ok=True)


def _is_there(folder: str, name: str) -> bool:
    return os.path.exists(os.path.join(folder, name))  # noqa: PTH110, PTH118  # asked for each of a thousand


def _own_stamp() -> str:
    """What stands for this very program: its version, and its files, since not every change has a version."""
    lines = [__version__, sys.version, *_own_files(str(Path(__file__).parents[1]))]
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
