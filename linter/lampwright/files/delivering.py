"""Writes a report to a file, whole or not at all: who reads it at the same time sees the old one or the new one."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from lampwright.files.reading import exists, is_file, is_folder


def write_whole(path: Path, text: str) -> None:
    """Put `text`, as UTF-8, into the file at `path`; a link leads to its file, a device or a pipe is just written to.

    Raises OSError, worded for the user, and leaves what was there before.
    """
    data = text.encode("utf-8", "backslashreplace")
    try:
        if exists(path) and not is_file(path) and not is_folder(path):
            path.write_bytes(data)
        else:
            _replace(Path(os.path.realpath(path)), data)
    except (OSError, ValueError) as error:
        number, words = getattr(error, "errno", None), getattr(error, "strerror", None) or str(error)
        raise OSError(number, f"the report cannot be written to {path}: {words}") from error


def _replace(path: Path, data: bytes) -> None:
    temporary = path.with_name(f".lampwright-{os.urandom(8).hex()}")
    try:
        with temporary.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if is_file(path):
            temporary.chmod(path.stat().st_mode & 0o7777)
        temporary.replace(path)
    except BaseException:
        with suppress(OSError):
            temporary.unlink()
        raise
