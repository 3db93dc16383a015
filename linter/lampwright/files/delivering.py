"""Writes a report to a file, whole or not at all: who reads it at the same time sees the old one or the new one."""

from __future__ import annotations

import os
from pathlib import Path

from lampwright.files.reading import exists, is_file, is_folder
from lampwright.files.writing import put_whole


def write_whole(path: Path, text: str) -> None:
    """Put `text`, as UTF-8, into the file at `path`; a link leads to its file, a device or a pipe is just written to.

    Raises OSError, worded for the user, and leaves what was there before.
    """
    data = text.encode("utf-8", "backslashreplace")
    try:
        if exists(path) and not is_file(path) and not is_folder(path):
            path.write_bytes(data)
        else:
            target = Path(os.path.realpath(path))
            put_whole(target, data, target.stat() if is_file(target) else None, lambda: True)
    except (OSError, ValueError) as error:
        number, words = getattr(error, "errno", None), getattr(error, "strerror", None) or str(error)
        raise OSError(number, f"the report cannot be written to {path}: {words}") from error
