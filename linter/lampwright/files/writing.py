"""Puts bytes in the place of a file, so that whoever looks, whenever the program ends, sees the old ones or the new.

Knows nothing of what files say. Another program that writes in the instant between the last look and the renaming
cannot be kept from losing its text: no file system offers more than that.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.files.reading import reason_of

# No search for plans finds a file of such a name.
_PREFIX = ".lampwright-"


def write_instead(path: Path, before: bytes | None, after: bytes) -> Refusal | None:
    """Put `after` in the place of the file at `path`, or say why not: then nothing has changed.

    `before` is what the file must still hold, None that there must be none. What a link leads to is replaced, not the
    link. Mode, owner and further attributes are kept, as far as they can be. A file that is write-protected is left
    alone, and so is one with several names (hard links), which would hold different texts from then on.
    """
    target = Path(os.path.realpath(path))
    try:
        status = target.stat() if before is not None else None
        refusal = _protection(target, status) if status is not None else None
        if refusal is None and not _swap(target, before, after, status):
            refusal = Refusal("changed")
    except PermissionError:
        return Refusal("unwritable")
    except (OSError, ValueError) as error:
        return Refusal(reason_of(error))
    return refusal


def _protection(target: Path, status: os.stat_result) -> Refusal | None:
    if not stat.S_ISREG(status.st_mode):
        return Refusal("no-file")
    # Who may write to a folder may replace what is write-protected in it, and root may do anything: the wish counts.
    if not status.st_mode & 0o222 or not os.access(target, os.W_OK):
        return Refusal("write-protected")
    return Refusal("hard-links") if status.st_nlink > 1 else None


def _swap(target: Path, before: bytes | None, after: bytes, status: os.stat_result | None) -> bool:
    """Whether the new bytes stand there; False if it was not the old ones that stood there till now."""
    return put_whole(target, after, status, lambda: _still_holds(target, before))


def put_whole(target: Path, data: bytes, status: os.stat_result | None, may: Callable[[], bool]) -> bool:
    """Put `data` in the place of `target`, whole, if `may` says so at the last moment; whether that was done.

    `status` is that of the file there, whose mode, owner and attributes are kept; None if there is none. Raises OSError
    and leaves what was there.
    """
    # Only who writes needs what this loads.
    import tempfile

    # A rename is done whole or not at all only within a file system, so the new file is made in the same folder.
    descriptor, name = tempfile.mkstemp(prefix=_PREFIX, dir=target.parent)
    temporary = Path(name)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
            file.flush()
            _resemble(temporary, target, status)
            # Else a power cut after the rename might leave an empty file.
            os.fsync(file.fileno())
        if not may():
            return False
        temporary.replace(target)
    finally:
        with suppress(OSError):
            temporary.unlink()
    _settle(target.parent)
    return True


def _resemble(temporary: Path, target: Path, status: os.stat_result | None) -> None:
    """Give the new file what the old one has beside its bytes; a file without a forerunner is like any new one."""
    if status is None:
        mask = os.umask(0o077)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)
        return
    if hasattr(os, "chown") and (status.st_uid, status.st_gid) != (os.getuid(), os.getgid()):
        # Only root may give files away; another one keeps at least the group, if it is in that.
        for owner, group in ((-1, status.st_gid), (status.st_uid, -1)):
            with suppress(OSError):
                os.chown(temporary, owner, group)
    if hasattr(os, "listxattr"):
        with suppress(OSError):
            for attribute in os.listxattr(target):
                with suppress(OSError):
                    os.setxattr(temporary, attribute, os.getxattr(target, attribute))
    temporary.chmod(stat.S_IMODE(status.st_mode))


def _still_holds(target: Path, before: bytes | None) -> bool:
    if before is None:
        return not os.path.lexists(target)
    with target.open("rb") as file:
        # One byte more tells whether it has grown.
        return file.read(len(before) + 1) == before


def _settle(folder: Path) -> None:
    """Have the renaming itself written to the disk; a system that cannot do that does it in its own time."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
