"""Files as they were in a revision of a git repository; asks git, changes nothing of the repository.

What lies outside of it, such as settings in a folder above, is not of any revision: that is as it is now.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from lampwright.diagnostics import Refusal
from lampwright.files.reading import MAXIMUM_SIZE, Disk, decoded
from lampwright.kinds import kind_of
from lampwright.records import dataclass
from lampwright.text import Source

_LINK = "120000"
_MOST_LINKS = 40


@dataclass(frozen=True, slots=True)
class Entry:
    """What a revision has at a path: its mode as git writes it, the name of its content, and the bytes of that."""

    mode: str
    content: str
    size: int


@dataclass(frozen=True, slots=True)
class Revision:
    """The files of our kinds in one revision, and the links, by their paths in the repository at `top`.

    `earlier` has the earlier path of each file that was renamed since.
    """

    top: Path
    entries: Mapping[str, Entry]
    contents: Mapping[str, bytes]
    earlier: Mapping[str, str]

    def path_then(self, path: Path) -> Path:
        """Where the file that is now at the real `path` was."""
        name = self._name(path)
        return self.top / self.earlier.get(name, name) if name is not None else path

    def really(self, path: Path) -> Path:
        """`path`, which is absolute, without links: those of the revision inside of the repository."""
        parts = list(reversed(path.parts))
        at, links = Path(parts.pop()), 0
        while parts:
            part = parts.pop()
            at = at.parent if part == ".." else at / part
            target = self._target(at) if part != ".." else None
            if target is not None and links < _MOST_LINKS:
                links += 1
                parts += reversed(target.parts)
                at = at.parent
        return at

    def read(self, real: Path, shown: str) -> Source | Refusal:
        """The file at the real path `real`, which users know as `shown`."""
        name = self._name(real)
        if name is None:
            return Disk().read(real, shown)
        entry = self.entries.get(name)
        if entry is None:
            return Refusal("missing")
        if entry.size > MAXIMUM_SIZE:
            return Source(shown, "", fault="size")
        return decoded(self.contents[entry.content], shown)

    def is_file(self, path: Path) -> bool:
        """Whether a file of ours was at `path`."""
        name = self._name(path)
        return name in self.entries if name is not None else Disk().is_file(path)

    def _target(self, path: Path) -> Path | None:
        """What the link at `path` leads to; None if it is none."""
        name = self._name(path)
        entry = self.entries.get(name) if name is not None else None
        if entry is None or entry.mode != _LINK:
            return None
        return Path(os.fsdecode(self.contents[entry.content]))

    def _name(self, path: Path) -> str | None:
        """How the repository calls a path; None if that lies outside of it."""
        return path.relative_to(self.top).as_posix() if path.is_relative_to(self.top) else None


def revision(folder: Path, name: str) -> Revision | Refusal:
    """The revision `name` of the repository that holds `folder`; `name...` is where the branch left it."""
    try:
        return _revision(folder, name)
    except (FileNotFoundError, NotADirectoryError, PermissionError):
        return Refusal("git is not installed")
    except subprocess.CalledProcessError as error:
        words = os.fsdecode(error.stderr).strip().splitlines()
        if any("not a git repository" in line for line in words):
            return Refusal("this folder is in no git repository")
        return Refusal(f"git says: {words[0]}" if words else "git failed and does not say why")
    except (OSError, ValueError) as error:
        return Refusal(str(error))


def _revision(folder: Path, name: str) -> Revision | Refusal:
    top = _git_or_fail(folder, "rev-parse", "--show-toplevel")
    branch = name.removesuffix("...")
    commit = _git(folder, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{branch}^{{commit}}", is_tried=True)
    if commit is not None and branch != name:
        commit = _git(folder, "merge-base", _line(commit), "HEAD", is_tried=True)
    if commit is None:
        return Refusal("unknown")
    place = Path(os.path.realpath(_line(top)))
    entries = dict(_entries(_git_or_fail(place, "ls-tree", "-r", "-z", "-l", "--full-tree", _line(commit))))
    return Revision(place, entries, _contents(place, entries), dict(_renamed(place, _line(commit))))


def _entries(listed: bytes) -> Iterator[tuple[str, Entry]]:
    for line in listed.split(b"\0")[:-1]:
        data, _, name = line.partition(b"\t")
        mode, kind, content, size = data.decode("ascii").split()
        path = os.fsdecode(name)
        if kind == "blob" and (mode == _LINK or kind_of(path) is not None):
            if not size.isdecimal():
                raise ValueError(f"git has lost what {path} was in this revision")
            yield path, Entry(mode, content, int(size))


def _contents(top: Path, entries: Mapping[str, Entry]) -> dict[str, bytes]:
    """The bytes of all that we may have to read, asked for at once: a process for each would take seconds."""
    wanted = list(dict.fromkeys(entry.content for entry in entries.values() if entry.size <= MAXIMUM_SIZE))
    answer = _git_or_fail(top, "cat-file", "--batch", given="".join(f"{each}\n" for each in wanted).encode())
    found: dict[str, bytes] = {}
    at = 0
    while at < len(answer):
        end = answer.index(b"\n", at)
        content, kind, *size = answer[at:end].decode("ascii", "replace").split()
        if kind != "blob":
            raise ValueError(f"git has lost the content {content} of this revision")
        start, length = end + 1, int(size[0])
        found[content] = answer[start : start + length]
        at = start + length + 1
    return found


def _renamed(top: Path, commit: str) -> Iterator[tuple[str, str]]:
    """The path now and the path then of each file that git takes for renamed; also where nobody has told git yet."""
    with tempfile.TemporaryDirectory(prefix="lampwright-") as folder:
        aside = _told_of_new_files(top, Path(folder))
        # Git would take the occasion to refresh its index.
        settings = ("-c", "diff.relative=false", "-c", "diff.autoRefreshIndex=false")
        named = ("diff", "--no-ext-diff", "--name-status", "-z", "-M", "--diff-filter=R")
        listed = _git_or_fail(top, *settings, *named, commit, "--", aside=aside).split(b"\0")[:-1]
    for _, before, now in zip(listed[::3], listed[1::3], listed[2::3], strict=True):
        yield os.fsdecode(now), os.fsdecode(before)


def _told_of_new_files(top: Path, folder: Path) -> Mapping[str, str]:
    """An environment in which git knows of the files that it was not told of, while the repository stays as it is."""
    listed = _git_or_fail(top, "ls-files", "-z", "--others", "--exclude-standard").split(b"\0")[:-1]
    new = [name for name in listed if kind_of(os.fsdecode(name)) is not None]
    index, objects = (top / _line(_git_or_fail(top, "rev-parse", "--git-path", name)) for name in ("index", "objects"))
    if not new or not index.exists():
        return {}
    (folder / "index").write_bytes(index.read_bytes())
    (folder / "objects").mkdir()
    aside = {
        "GIT_INDEX_FILE": str(folder / "index"),
        "GIT_OBJECT_DIRECTORY": str(folder / "objects"),
        "GIT_ALTERNATE_OBJECT_DIRECTORIES": str(objects),
    }
    words = ("--literal-pathspecs", "add", "--intent-to-add", "--pathspec-from-file=-", "--pathspec-file-nul")
    _git_or_fail(top, *words, given=b"\0".join(new), aside=aside)
    return aside


# --- Git --------------------------------------------------------------------------------------------------------------


def _git(
    folder: Path, *words: str, is_tried: bool = False, given: bytes = b"", aside: Mapping[str, str] | None = None
) -> bytes | None:
    """What git prints in `folder`; None if it fails and may. `aside` is added to the environment."""
    environment = {**os.environ, "LC_ALL": "C", **(aside or {})}
    line = ["git", "-C", str(folder), *words]
    done = subprocess.run(line, input=given, capture_output=True, check=not is_tried, env=environment)  # noqa: S603  # no shell
    return done.stdout if done.returncode == 0 else None


def _git_or_fail(folder: Path, *words: str, given: bytes = b"", aside: Mapping[str, str] | None = None) -> bytes:
    answer = _git(folder, *words, given=given, aside=aside)
    assert answer is not None
    return answer


def _line(answer: bytes) -> str:
    return os.fsdecode(answer).rstrip("\n")
