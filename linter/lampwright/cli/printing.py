"""What every command does with its words: results to standard output, complaints to standard error."""

from __future__ import annotations

import errno
import sys

_NARROWEST = 60


def print_result(text: str) -> None:
    """Write `text` to standard output as UTF-8; a terminal that cannot show a character gets its code.

    Raises OSError, worded for the user, if it cannot be written, and BrokenPipeError if nobody reads it any more.
    """
    stream = sys.stdout
    if stream is None:
        # So Python says that it was closed before the start.
        raise OSError(errno.EBADF, "standard output is closed")
    if hasattr(stream, "reconfigure"):
        encoding = stream.encoding if stream.isatty() else "utf-8"
        stream.reconfigure(encoding=encoding, errors="backslashreplace")
    try:
        stream.write(text)
        stream.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OSError(error.errno, f"the report cannot be written: {error.strerror}") from error


def print_visibly(text: str) -> None:
    """Write `text` to standard output as it is, but to a terminal without what that would obey."""
    if sys.stdout is not None and sys.stdout.isatty():
        from lampwright.harmless import visible

        text = "\n".join("\t".join(map(visible, line.split("\t"))) for line in text.split("\n"))
    print_result(text)


def print_aside(line: str) -> None:
    """One line on standard error that is no complaint."""
    from contextlib import suppress

    with suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(f"{line}\n")


def terminal_width() -> int | None:
    """How many columns the terminal has; None if the result goes elsewhere."""
    if sys.stdout is None or not sys.stdout.isatty():
        return None
    # `lampwright --version` needs nothing of what this loads.
    import shutil

    return max(_NARROWEST, shutil.get_terminal_size((100, 24)).columns)


def columns(otherwise: int) -> int:
    """The columns of the terminal; where the result goes elsewhere, as many as COLUMNS says (POSIX), else `otherwise`.

    So an editor that shows a table beside a plan can say how much room there is.
    """
    width = terminal_width()
    if width is not None:
        return width
    import os

    said = os.environ.get("COLUMNS", "")
    return max(_NARROWEST, int(said)) if said.isdecimal() and len(said) < 5 else otherwise


def shows(characters: str) -> bool:
    """Whether standard output can show all of `characters`; a file and a pipe can, a terminal may not."""
    if sys.stdout is None or not sys.stdout.isatty():
        return True
    try:
        characters.encode(sys.stdout.encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def complain(line: str) -> None:
    """One line on standard error, whatever `line` quotes; if that is closed or full, nobody can be told."""
    # Few runs have anything to complain of, and they need not wait for what these load.
    from contextlib import suppress

    from lampwright.harmless import visible

    with suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(f"lampwright: {visible(line)}\n")
