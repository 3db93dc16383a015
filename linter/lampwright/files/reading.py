"""A file, or bytes as if they were one, become a source; knows encodings and sizes, nothing of what files say."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.patterns import pattern
from lampwright.text import Source

MAXIMUM_SIZE = 2_000_000
"""Bytes; no plan that a person writes comes near it."""

# How the first bytes of a YAML text tell its encoding: YAML 1.2.2 section 5.2. Without a byte order mark we want to see
# two characters before we believe it, since a lone NUL in UTF-8 is a slip of another kind.
_OTHER_ENCODINGS = (
    (pattern(rb"\x00\x00\xfe\xff|\x00\x00\x00[^\x00]"), "utf-32-be"),
    (pattern(rb"\xff\xfe\x00\x00|[^\x00]\x00\x00\x00"), "utf-32-le"),
    (pattern(rb"\xfe\xff|\x00[^\x00]\x00[^\x00]"), "utf-16-be"),
    (pattern(rb"\xff\xfe|[^\x00]\x00[^\x00]\x00"), "utf-16-le"),
)
_UTF8_MARK = b"\xef\xbb\xbf"


def read(path: Path, shown: str) -> Source | Refusal:
    """The file at `path`, which users know as `shown`. A pipe or a device is never opened: it may have no end."""
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            return Refusal("folder")
        if not stat.S_ISREG(mode):
            return Refusal("no-file")
        with path.open("rb") as file:
            return decoded(file.read(MAXIMUM_SIZE + 1), shown)
    except (OSError, ValueError) as error:
        return Refusal(reason_of(error))


class Disk:
    """The files as they are now. Where a folder really is, is looked up once."""

    __slots__ = ("_folders",)

    def __init__(self) -> None:
        self._folders: dict[str, str] = {}

    def really(self, path: Path) -> Path:
        """`path` with its links resolved."""
        folder, name = os.path.split(path)
        if name in {"", os.curdir, os.pardir}:
            return Path(os.path.realpath(path))
        real = self._folders.get(folder)
        if real is None:
            real = self._folders[folder] = os.path.realpath(folder)
        file = os.path.join(real, name)  # noqa: PTH118  # a thousand files ask, and a Path takes ten times as long
        return Path(os.path.realpath(file) if os.path.islink(file) else file)  # noqa: PTH114  # the same

    def read(self, real: Path, shown: str) -> Source | Refusal:
        """The file at `real`, which users know as `shown`."""
        return read(real, shown)

    def is_file(self, path: Path) -> bool:
        """Whether a regular file is there, as far as one may look."""
        return is_file(path)


def text_of(path: Path, most: int = 100_000_000) -> str | Refusal:
    """A text that is none of our plans, of at most `most` bytes."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            return Refusal("it is no regular file")
        with path.open("rb") as file:
            data = file.read(most + 1)
        return data.decode("utf-8") if len(data) <= most else Refusal("it is too large")
    except UnicodeDecodeError:
        return Refusal("it is no UTF-8")
    except (OSError, ValueError) as error:
        return Refusal(reason_of(error))


def is_file(path: Path) -> bool:
    """Whether a regular file is at `path`, as far as one may look; unlike `Path.is_file` this never raises."""
    return stat.S_ISREG(_mode(path))


def is_folder(path: Path) -> bool:
    """The same of a folder."""
    return stat.S_ISDIR(_mode(path))


def exists(path: Path) -> bool:
    """The same of anything."""
    return _mode(path) != 0


def _mode(path: Path) -> int:
    try:
        return path.stat().st_mode
    except (OSError, ValueError):
        return 0


def reason_of(error: OSError | ValueError) -> str:
    """Why something cannot be read: a code that others word, or the system's own words."""
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return "missing"
    if isinstance(error, PermissionError):
        return "permission"
    words = str(getattr(error, "strerror", None) or error)
    return words[:1].lower() + words[1:]


def decoded(data: bytes, shown: str) -> Source:
    """`data` as a source. What is no UTF-8, or too long, is a source with a fault that tells as much as can be told."""
    if len(data) > MAXIMUM_SIZE:
        return Source(shown, data[:200].decode("utf-8", "replace"), fault="size")
    for first_bytes, encoding in _OTHER_ENCODINGS:
        if first_bytes.match(data):
            return Source(shown, data.decode(encoding, "replace").removeprefix("\ufeff"), fault="encoding")
    has_mark = data.startswith(_UTF8_MARK)
    data = data.removeprefix(_UTF8_MARK)
    try:
        return Source(shown, data.decode("utf-8"), has_mark)
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        # Latin-1 gives every byte a character, so that the frame shows the line that the user knows.
        return Source(shown, before + data[error.start :].decode("latin-1"), has_mark, "encoding", len(before))


def encoded(source: Source) -> bytes:
    """The bytes that were decoded to `source`, which has no fault."""
    return (_UTF8_MARK if source.bom else b"") + source.text.encode("utf-8")
