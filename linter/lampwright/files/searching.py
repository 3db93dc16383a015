"""Finds our files below a folder, without what is left out; opens none of them."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

from lampwright.files.ignoring import ignores_above, ignores_at, is_ignored
from lampwright.files.reading import reason_of
from lampwright.kinds import kind_of

Hides = Callable[[Path, bool], bool]
"""Whether a path (and: it is a folder) is to be left out."""

# Some editors mark a file that is being edited with a dangling link of this name beside it.
_LOCK = ".#"


def find(folder: Path, is_hidden: Hides, complain: Callable[[Path, str], None]) -> Iterator[Path]:
    """All files of our kinds below `folder`, without those that `is_hidden` or a `.gitignore` leaves out.

    Who names a folder that is itself left out means it all the same: then only what stands below it counts. Symbolic
    links to folders are not followed, so that a loop of them ends. A folder that cannot be read is complained about,
    and the rest is searched.
    """
    above = ignores_above(folder)
    hides = _nothing if is_hidden(folder, True) else is_hidden  # noqa: FBT003  # the shape of Hides
    waiting = [(folder, () if is_ignored(folder, above, is_folder=True) else above)]
    while waiting:
        here, above = waiting.pop()
        ignores = ignores_at(here, above)
        for name, is_below in _listed(here, complain):
            path = here / name
            if hides(path, is_below) or is_ignored(path, ignores, is_folder=is_below):
                continue
            if is_below:
                waiting.append((path, ignores))
            else:
                yield path


def _listed(folder: Path, complain: Callable[[Path, str], None]) -> list[tuple[str, bool]]:
    """The names in `folder` that matter to us, each with whether it is a folder."""
    try:
        with os.scandir(folder) as entries:
            return [(entry.name, is_below) for entry in entries if (is_below := _is_below(entry)) is not None]
    except OSError as error:
        complain(folder, reason_of(error))
        return []


def _is_below(entry: os.DirEntry[str]) -> bool | None:
    """Whether an entry is a folder to be searched (true) or a file of ours (false); None if it is neither."""
    if entry.is_dir(follow_symlinks=False):
        return True if entry.name != ".git" else None
    is_ours = kind_of(entry.name) is not None and not entry.name.startswith(_LOCK) and not _leads_to_folder(entry)
    return False if is_ours else None


def _leads_to_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:
        return False


def _nothing(_path: Path, _is_folder: bool) -> bool:  # noqa: FBT001  # the shape of Hides
    return False
