"""What is said to match no path matches none for git, and pathspec either; what nothing is said of matches some.

Source: gitignore(5) and wildmatch.c, by git itself, and pathspec, which reads the patterns for us.
"""

from __future__ import annotations

import subprocess
from itertools import product
from pathlib import Path

import pytest

from lampwright.files.ignoring import patterns
from lampwright.plan.ignoring import fault_of_pattern

# Every path of up to three of these characters, and what the patterns name.
PATHS = [
    *("".join(each) for length in (1, 2, 3) for each in product("ab[]!#-^{", repeat=length)),
    "a\\", "\\", "x/y", "x", "a/b", "attic/b", "z", "m", "{a,b}", "a c",
]  # fmt: skip
MATCHING = [
    "a", "a*", "?", "[ab]", "[!a]b", "[]]", "[]a]", "[^]]", "[a-b]", "[b-]", "a]", "\\[", "\\#", "\\!a", "**", "**/b", "a/**", "attic/",
    "/x", "x/y", "{a,b}", "a c", "[!]a]", "a#", "^", "[[]", "\\a",
]  # fmt: skip
DEAD = {
    "[": "bracket", "[]": "bracket", "[!]": "bracket", "a[b": "bracket", "[a": "bracket", "x/[": "bracket",
    "\\": "backslash", "a\\": "backslash", "a\\\\\\": "backslash", "#": "comment", "#a": "comment", "": "nothing", "/": "nothing", "../a": "dots", "./a": "dots", "a/../b": "dots",
}  # fmt: skip


def ignored_by_git(pattern: str, folder: Path) -> list[str]:
    (folder / ".gitignore").write_text(f"{pattern}\n", "utf-8")
    line = ["git", "check-ignore", "--no-index", "-z", "--stdin"]
    given = "\0".join(PATHS).encode()
    done = subprocess.run(line, cwd=folder, input=given, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr
    return [path for path in done.stdout.decode().split("\0") if path]


def ignored_by_us(pattern: str, folder: Path) -> list[str]:
    _, ignores = patterns(folder, [pattern])
    return [path for path in PATHS if ignores(path)]


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)  # noqa: S607
    return tmp_path


@pytest.mark.parametrize("pattern", MATCHING)
def test_what_nothing_is_said_of_matches_something(pattern: str, repository: Path) -> None:
    assert fault_of_pattern(pattern) is None
    assert ignored_by_git(pattern, repository)
    assert ignored_by_us(pattern, repository)


@pytest.mark.parametrize("pattern", DEAD)
def test_what_is_said_to_match_nothing_matches_nothing(pattern: str, repository: Path) -> None:
    assert fault_of_pattern(pattern) == DEAD[pattern]
    assert ignored_by_git(pattern, repository) == []
    assert ignored_by_us(pattern, repository) == []


@pytest.mark.parametrize("pattern", ["[b-a]", "x[z-a]"])
def test_a_range_that_runs_backwards_matches_one_character_at_most(pattern: str, repository: Path) -> None:
    assert fault_of_pattern(pattern) == "range"
    # To git it is its first character alone, and nothing to pathspec.
    assert {path.rpartition("/")[2] for path in ignored_by_git(pattern, repository)} <= {"b"}
    assert ignored_by_us(pattern, repository) == []
