"""What every command does with its words: results to standard output, complaints to standard error."""

from __future__ import annotations

import sys


def print_result(text: str) -> None:
    """Write `text` to standard output as UTF-8; a terminal that cannot show a character gets its code."""
    stream = sys.stdout
    if hasattr(stream, "reconfigure"):
        encoding = stream.encoding if stream.isatty() else "utf-8"
        stream.reconfigure(encoding=encoding, errors="backslashreplace")
    stream.write(text)


def complain(line: str) -> None:
    """One line on standard error."""
    sys.stderr.write(f"lampwright: {line}\n")
