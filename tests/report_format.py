"""Holds a JSON report to every word of "What the commands print for programs" on the plan language's page."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from lampwright.rules import RULES

NAMES = {rule.name for rule in RULES}
TOP = ["lampwright", "format", "findings", "undecided", "failures", "summary"]
PLACE = ["file", "line", "column", "end-line", "end-column"]
FINDING = ["rule", "level", *PLACE, "message", "allowed", "related", "fixes", "fingerprint", "data"]
SUMMARY = ["files", "errors", "warnings", "notes", "allowed", "not-decided", "rules-ignored"]
FIGURES = {"current", "voltage", "power", "resistance", "limit", "margin", "life", "light", "suggested"}
CORNER = {"supply", "forward-voltage", "resistance"}
STATE = {"keys": list, "direction": str, "moving": bool}


Folder = Path | Mapping[str, str]
"""Where the files lie that a report speaks of, or their texts by name."""


def hold(document: Mapping[str, Any], folder: Folder) -> None:
    """Fails where `document`, printed in `folder`, breaks a promise."""
    assert list(document) == TOP
    assert re.fullmatch(r"\d+\.\d+\.\d+", document["lampwright"])
    assert document["format"] == 1
    findings, undecided = document["findings"], document["undecided"]
    for finding in findings:
        _hold_finding(finding, folder)
    for item in undecided:
        assert list(item) == ["rule", "file", "line", "column", "lacks"]
        assert item["rule"] in NAMES
        assert is_words(item["lacks"])
        assert 1 <= item["column"] <= len(lines_of(item["file"], folder)[item["line"] - 1]) + 1
    for failure in document["failures"]:
        assert list(failure) == ["rule", "file", "text"]
        assert failure["rule"] is None or failure["rule"] in NAMES
        assert is_words(failure["text"])
    for listed in (findings, undecided):
        places = [(item["file"], item["line"], item["column"], item["rule"]) for item in listed]
        assert places == sorted(places)
    _hold_summary(document["summary"], findings, undecided)
    keys = [(finding["file"], finding["fingerprint"]) for finding in findings]
    assert len(set(keys)) == len(keys)


def _hold_finding(finding: Mapping[str, Any], folder: Folder) -> None:
    assert list(finding) == FINDING
    assert finding["rule"] in NAMES
    assert finding["level"] in {"error", "warning", "note"}
    assert finding["allowed"] is None or is_words(finding["allowed"])
    assert is_words(finding["message"])
    assert re.fullmatch("[0-9a-f]{16}", finding["fingerprint"])
    hold_place(finding, folder)
    for note in finding["related"]:
        assert list(note) == [*PLACE, "message"]
        assert is_words(note["message"])
        hold_place(note, folder)
    for fix in finding["fixes"]:
        assert list(fix) == ["title", "sure", "edits"]
        assert is_words(fix["title"])
        assert isinstance(fix["sure"], bool)
        assert fix["edits"]
        for edit in fix["edits"]:
            assert list(edit) == [*PLACE, "text"]
            assert isinstance(edit["text"], str)
            hold_place(edit, folder, may_be_empty=edit["text"] != "")
    _hold_data(finding["data"])


_LINE_END = re.compile("\r\n|\r|\n")


def hold_place(item: Mapping[str, Any], folder: Folder, *, may_be_empty: bool = False) -> None:
    """Lines and columns count from 1, columns in code points, ends exclusive; only the end of a file is empty."""
    file, numbers = item["file"], [item[name] for name in PLACE[1:]]
    assert "\\" not in file
    assert not Path(file).is_absolute()
    assert [type(number) for number in numbers] == [int] * 4
    lines, (line, column, end_line, end_column) = lines_of(file, folder), numbers
    assert 1 <= line <= end_line <= len(lines)
    assert 1 <= column <= len(lines[line - 1]) + 1
    assert 1 <= end_column <= len(lines[end_line - 1]) + 1
    assert (line, column) <= (end_line, end_column)
    is_at_the_end = (line, column) == (len(lines), len(lines[-1]) + 1)
    assert may_be_empty or is_at_the_end or (line, column) < (end_line, end_column)


def lines_of(file: str, folder: Folder) -> list[str]:
    """The lines as code points, without a byte order mark; bytes that are no UTF-8 count one each."""
    if isinstance(folder, Mapping):
        return _LINE_END.split(folder[file])
    path = folder / file
    return _lines(path.resolve(), path.stat().st_mtime_ns)


@lru_cache(maxsize=100)
def _lines(path: Path, _changed: int) -> list[str]:
    data = path.read_bytes()
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", "replace")
    elif b"\0" in data[:2] and data.count(b"\0") < len(data):
        text = data.decode("utf-16-le" if data[1:2] == b"\0" else "utf-16-be", "replace")
    else:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "surrogateescape")
    return _LINE_END.split(text)


def is_words(value: Any) -> bool:
    """A sentence or a part of one: not empty, without blanks around it."""
    return isinstance(value, str) and value != "" and value == value.strip()


def _hold_data(data: Mapping[str, Any]) -> None:
    assert set(data) <= FIGURES | {"corner", "state"}
    for name in FIGURES & set(data):
        assert _is_figure(data[name]), name
    corner = data.get("corner", {})
    assert set(corner) <= CORNER
    assert all(map(_is_figure, corner.values()))
    for name, value in (data.get("state") or {}).items():
        assert isinstance(value, STATE[name])


def _is_figure(value: Any) -> bool:
    return value is None or (isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value))


def _hold_summary(summary: Mapping[str, Any], findings: list[dict[str, Any]], undecided: list[dict[str, Any]]) -> None:
    assert list(summary) == SUMMARY
    levels = [finding["level"] for finding in findings if finding["allowed"] is None]
    assert [summary[f"{level}s"] for level in ("error", "warning", "note")] == [
        levels.count(level) for level in ("error", "warning", "note")
    ]
    assert summary["allowed"] == len(findings) - len(levels)
    assert summary["not-decided"] == len(undecided)
    assert isinstance(summary["files"], int)
    assert summary["rules-ignored"] == sorted(set(summary["rules-ignored"]) & NAMES)
