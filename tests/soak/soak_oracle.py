"""What `lampwright check` says of the same texts, laid out in files, against what the client was told of each of them."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from soak_club import Club
from soak_units import column_of, lines_of

from command import environment
from lampwright.files import Files
from lampwright.text import Source
from said import Said, by_command, by_server

Held = Mapping[str, list[dict[str, Any]]]
"""The diagnostics that a client shows, by URI."""

_MARK = "\ufeff"


def differences(club: Club, held: Held, units: str, mirror: Path, *, tells_of_closed: bool) -> tuple[int, list[str]]:
    """How many findings were compared, and each that only one of the two has."""
    expected = _expected(club, mirror, tells_of_closed=tells_of_closed)
    points = _Points(club, units)
    told = Counter(
        said for uri, items in held.items() for said in by_server(club.name, uri, items, points.point)
    )  # fmt: skip
    only = [f"only the command: {each}" for each in (expected - told).elements()]
    only += [f"only the server: {each}" for each in (told - expected).elements()]
    return sum(expected.values()), sorted(only)


def _expected(club: Club, mirror: Path, *, tells_of_closed: bool) -> Counter[Said]:
    club.laid_out(mirror)
    opened = {club.name(uri) for uri in club.buffers}
    found: Counter[Said] = Counter()
    for folder in club.folders:
        names = _below(folder, opened)
        found |= _checked(mirror, folder, [".", *names] if tells_of_closed else names)
    for folder, names in _elsewhere(club, opened).items():
        found |= _checked(mirror, folder, names)
    shutil.rmtree(mirror)
    return Counter({each: count for each, count in found.items() if tells_of_closed or each.file in opened})


def _below(folder: str, names: set[str]) -> list[str]:
    return sorted(
        PurePosixPath(each).relative_to(folder).as_posix()
        for each in names
        if PurePosixPath(each).is_relative_to(folder)
    )


def _elsewhere(club: Club, opened: set[str]) -> dict[str, list[str]]:
    """Open files outside the client's folders, by the folder that they lie in."""
    found: dict[str, list[str]] = defaultdict(list)
    for name in sorted(opened):
        path = PurePosixPath(name)
        if path.parts[0] not in club.folders:
            found[path.parent.as_posix()].append(path.name)
    return found


def _checked(mirror: Path, folder: str, names: list[str]) -> Counter[Said]:
    if not names:
        return Counter()
    line = [sys.executable, "-m", "lampwright", "check", "--no-cache", "--format", "json", "--", *names]
    outcome = subprocess.run(line, cwd=mirror / folder, env=environment(), capture_output=True, check=False)
    assert outcome.returncode in (0, 1) or b"holds no lighting plan" in outcome.stderr, outcome.stderr.decode()
    return Counter(by_command(json.loads(outcome.stdout), folder))


class _Points:
    """Turns the places of a client into code points, by the texts that it has."""

    def __init__(self, club: Club, units: str) -> None:
        self._club, self._units = club, units
        self._lines: dict[str, list[str]] = {}

    def point(self, uri: str, line: int, character: int) -> tuple[int, int]:
        name = self._club.name(uri)
        if name not in self._lines:
            self._lines[name] = lines_of(self._text(name))
        lines = self._lines[name]
        if line >= len(lines):
            return line, -1
        is_marked = line == 0 and lines[0].startswith(_MARK)
        return line, column_of(lines[line], character, self._units) - is_marked

    def _text(self, name: str) -> str:
        buffer = self._club.holder(name)
        if buffer is not None:
            return buffer.text
        path = self._club.root / name
        source = Files(path.parent).source(path)
        return source.text if isinstance(source, Source) else ""
