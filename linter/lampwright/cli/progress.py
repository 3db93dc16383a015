"""How far a long run is, on a terminal; elsewhere not a word."""

from __future__ import annotations

import os
import sys
import time
from contextlib import suppress

_PATIENCE, _PAUSE = 0.5, 0.1
"""Seconds before the first word, and between two."""

_ERASE = "\r\x1b[K"


class Progress:
    """Counts the files that are done of `total`. What it has written is gone when it ends."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._done = 0
        self._is_shown = sys.stderr is not None and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
        self._has_written = False
        self._next = time.monotonic() + _PATIENCE

    def advance(self, count: int = 1) -> None:
        """`count` files more are done."""
        self._done += count
        if self._is_shown and time.monotonic() >= self._next:
            self._next = time.monotonic() + _PAUSE
            self._has_written = True
            self._write(f"{_ERASE}{self._done} of {self._total} files are checked")

    def close(self) -> None:
        """Nothing is left to say."""
        if self._has_written:
            self._write(_ERASE)

    def _write(self, text: str) -> None:
        # Whoever closes the terminal wants to know nothing any more.
        with suppress(OSError, ValueError):
            sys.stderr.write(text)
            sys.stderr.flush()
