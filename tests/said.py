"""What was found, in one form for the command and the server, so that both can be held against each other."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

LEVELS = {1: "error", 2: "warning", 3: "note"}

Ends = tuple[tuple[int, int], tuple[int, int]]
"""Where something starts and ends: lines and columns from 0."""


class Said(NamedTuple):
    """A finding, whoever says so."""

    file: str
    start: tuple[int, int]
    end: tuple[int, int]
    rule: str
    level: str
    message: str
    fingerprint: str
    notes: tuple[tuple[str, tuple[int, int], tuple[int, int], str], ...]


def by_command(report: Mapping[str, Any], folder: str = "") -> list[Said]:
    """What a report as JSON says, in order; it was made in `folder`, which all names get before them."""

    def name(item: Mapping[str, Any]) -> str:
        return posixpath.normpath(posixpath.join(folder, item["file"]))

    def place(item: Mapping[str, Any]) -> Ends:
        return (item["line"] - 1, item["column"] - 1), (item["end-line"] - 1, item["end-column"] - 1)

    return sorted(
        Said(
            name(each), *place(each), each["rule"], each["level"], each["message"], each["fingerprint"],
            tuple((name(note), *place(note), note["message"]) for note in each["related"]),
        )
        for each in report["findings"]
        if each["allowed"] is None
    )  # fmt: skip


def _counted(_uri: str, line: int, character: int) -> tuple[int, int]:
    return line, character


def by_server(
    name: Callable[[str], str],
    uri: str,
    items: Iterable[Mapping[str, Any]],
    point: Callable[[str, int, int], tuple[int, int]] = _counted,
) -> list[Said]:
    """What diagnostics of the file of `uri` say, as they came.

    `name` gives the name of a URI, and `point` counts a place in code points; without it the server has done so.
    """

    def place(uri: str, item: Mapping[str, Any]) -> Ends:
        ends = (item["range"][end] for end in ("start", "end"))
        start, end = (point(uri, each["line"], each["character"]) for each in ends)
        return start, end

    def note(item: Mapping[str, Any]) -> tuple[str, tuple[int, int], tuple[int, int], str]:
        where = item["location"]
        return name(where["uri"]), *place(where["uri"], where), item["message"]

    return [
        Said(
            name(uri), *place(uri, item), item["code"], LEVELS[item["severity"]], item["message"], item["data"],
            tuple(note(each) for each in item.get("relatedInformation", ())),
        )
        for item in items
    ]  # fmt: skip
