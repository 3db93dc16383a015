"""Known findings, by what they are about: kept as a text, taken out of a report, and known to be gone.

An entry has the file, the rule, the keys on the way and the culprit, so that it is true when lines move, and for that
finding only. The text has an entry a line, in order, so that git merges two branches of it. Opens nothing.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from lampwright.diagnostics import Finding, Report
from lampwright.engine.improvement import needs_plan
from lampwright.records import dataclass, replace
from lampwright.rules import RULES
from lampwright.text import Source

_HEADER = "lampwright-baseline"
_VERSION = 1
_LONGEST_CULPRIT = 100

# Behind them nothing, or nothing that means anything, is read.
_BREAKING = frozenset({"syntax-error", "unreadable-file", "unsupported-yaml", "unsupported-version"})


_OF_FLEET = frozenset(rule.name for rule in RULES if rule.of_fleet is not None)


@dataclass(frozen=True, slots=True, order=True)
class Entry:
    """What a known finding is about. `file` is relative to the folder of the baseline, with forward slashes."""

    file: str
    rule: str
    path: tuple[str, ...]
    culprit: str


Baseline = Mapping[Entry, int]
"""The known findings, and how many of each there are."""

NameOf = Callable[[Source], str]
"""Gives the name by which a baseline calls a file."""


@dataclass(frozen=True, slots=True)
class Corrupt:
    """Why a text is no baseline: "json", "header", "version", "entry" or "conflict", and the line, from 1."""

    reason: str
    line: int


def entry_of(finding: Finding, name_of: NameOf) -> Entry:
    """What a finding is about. A culprit that nobody would read to its end is cut, and told apart by a checksum."""
    culprit = finding.culprit
    if len(culprit) > _LONGEST_CULPRIT:
        from hashlib import sha256

        rest = sha256(culprit.encode("utf-8", "surrogatepass")).hexdigest()[:16]
        culprit = f"{culprit[:_LONGEST_CULPRIT]}… {rest}"
    return Entry(name_of(finding.span.source), finding.rule, finding.path, culprit)


def baseline_of(report: Report, name_of: NameOf) -> Baseline:
    """All that is found in `report` and not allowed."""
    return Counter(entry_of(finding, name_of) for finding in report.findings if finding.allowed is None)


# --- At work ----------------------------------------------------------------------------------------------------------


def without_known(report: Report, baseline: Baseline, name_of: NameOf) -> Report:
    """`report` without the findings in `baseline`, of each as many as that counts; it says how many were left out."""
    left = Counter(baseline)
    kept: list[Finding] = []
    for finding in report.findings:
        entry = entry_of(finding, name_of)
        if finding.allowed is None and left[entry] > 0:
            left[entry] -= 1
        else:
            kept.append(finding)
    return replace(report, findings=tuple(kept), known=(report.known or 0) + len(report.findings) - len(kept))


def gone(
    report: Report,
    baseline: Baseline,
    name_of: NameOf,
    is_lost: Callable[[str], bool],
    has_neighbours: Callable[[str], bool],
) -> Baseline:
    """The entries, with how many of each, that do not occur any more.

    `report` has all that is found now. Of the files that it does not speak of, those that are lost count; and what
    could not be told is not gone: it would be back as soon as it can be. So is what is found among plans where not all
    `has_neighbours` of a file were checked.
    """
    found = baseline_of(report, name_of)
    may_hide = _Hidden.by(report, baseline, name_of)
    checked = {name_of(source) for source in report.sources}

    def is_gone(entry: Entry) -> bool:
        if entry.file not in checked:
            return is_lost(entry.file)
        if entry.rule in _OF_FLEET and (may_hide.is_anywhere or not has_neighbours(entry.file)):
            return False
        return not may_hide.holds(entry)

    left = {entry: number - found.get(entry, 0) for entry, number in baseline.items()}
    return {entry: number for entry, number in sorted(left.items()) if number > 0 and is_gone(entry)}


@dataclass(frozen=True, slots=True)
class _Hidden:
    """Where findings may be that cannot be told now: by file and rule, by file, and by file for rules of plans."""

    rules: frozenset[str]
    pairs: frozenset[tuple[str, str]]
    broken: frozenset[str]
    half_read: frozenset[str]

    @classmethod
    def by(cls, report: Report, baseline: Baseline, name_of: NameOf) -> _Hidden:
        """What a report does not tell. A mistake of writing that the baseline knows hid the same when that was made."""
        names = {source.name: name_of(source) for source in report.sources}
        pairs = {(name_of(item.span.source), item.rule) for item in report.undecided}
        pairs |= {(names.get(item.file, item.file), item.rule) for item in report.failures if item.rule is not None}
        new = [entry for entry in baseline_of(report, name_of) if entry not in baseline and not needs_plan(entry.rule)]
        return cls(
            frozenset(report.ignored),
            frozenset(pairs),
            frozenset(entry.file for entry in new if entry.rule in _BREAKING),
            frozenset(entry.file for entry in new),
        )

    @property
    def is_anywhere(self) -> bool:
        """Whether any file could not be read as a whole, so that its plan may have a say in what is found elsewhere."""
        return bool(self.broken or self.half_read)

    def holds(self, entry: Entry) -> bool:
        """Whether what `entry` is about may be there all the same."""
        is_of_half = entry.file in self.half_read and needs_plan(entry.rule)
        is_open = entry.rule in self.rules or (entry.file, entry.rule) in self.pairs
        return is_open or is_of_half or entry.file in self.broken


def renewed(baseline: Baseline, lost: Baseline, found: Baseline, *, grow: bool) -> Baseline:
    """`baseline` without the entries `lost`; with `grow` also with all of `found` that it did not know."""
    kept = {entry: number - lost.get(entry, 0) for entry, number in baseline.items()}
    if grow:
        kept |= {entry: max(number, kept.get(entry, 0)) for entry, number in found.items()}
    return {entry: number for entry, number in kept.items() if number > 0}


# --- As a text --------------------------------------------------------------------------------------------------------


def written(baseline: Baseline) -> str:
    """The text of a baseline, always the same for the same entries."""
    lines = [_json({_HEADER: _VERSION}), *(_json(_as_object(entry, baseline[entry])) for entry in sorted(baseline))]
    return "".join(f"{line}\n" for line in lines)


def read_baseline(text: str) -> Baseline | Corrupt:
    """The entries of a text. Of two lines for the same, as a merge may leave, the one that counts more is meant."""
    entries: dict[Entry, int] = {}
    has_header = False
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        if line.startswith(("<<<<<<<", "=======", ">>>>>>>", "|||||||")):
            return Corrupt("conflict", number)
        try:
            value = json.loads(line)
        except (ValueError, RecursionError):
            return Corrupt("json", number)
        if not has_header:
            if not isinstance(value, dict) or _HEADER not in value:
                return Corrupt("header", number)
            if value != {_HEADER: _VERSION}:
                return Corrupt("version", number)
            has_header = True
            continue
        read = _entry(value)
        if read is None:
            return Corrupt("entry", number)
        entry, count = read
        entries[entry] = max(count, entries.get(entry, 0))
    return entries if has_header else Corrupt("header", 1)


def _entry(value: Any) -> tuple[Entry, int] | None:
    match value:
        case {"file": str(file), "rule": str(rule), "path": list(path), "culprit": str(culprit), **more}:
            count = more.pop("count", 1)
            is_right = not more and not isinstance(count, bool) and all(isinstance(key, str) for key in path)
            if is_right and isinstance(count, int) and count > 0:
                return Entry(file, rule, tuple(path), culprit), count
    return None


def _as_object(entry: Entry, number: int) -> dict[str, Any]:
    found = {"file": entry.file, "rule": entry.rule, "path": list(entry.path), "culprit": entry.culprit}
    return found if number == 1 else {**found, "count": number}


def _json(value: Any) -> str:
    # What does not print, such as what would turn a line round, has a code that means the same.
    text = json.dumps(value, ensure_ascii=False)
    return "".join(each if each.isprintable() else json.dumps(each)[1:-1] for each in text)
