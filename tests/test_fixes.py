"""Every fix of every rule: what it makes can be read, lacks the finding, has no other, and differs in nothing else.

On the bad examples of the rules' pages, on the club's mistakes, and on random plans whose outputs have one fault each.
LAMPWRIGHT_PLANS=5000 in the environment asks for more of the last.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from difflib import SequenceMatcher
from pathlib import Path
from typing import NamedTuple

import pytest

from faulty_plans import FAULTS, PREFERRED, faulty_plan, tangled_plan
from lampwright.diagnostics import Finding, Fix
from lampwright.model.settings import Settings
from lampwright.rule import Rule
from lampwright.rules import RULES
from lampwright.syntax import Mapping as Braces
from lampwright.syntax import Node, Scalar, Sequence, parse
from lampwright.text import Source, apply
from rule_cases import ADVICE
from seam import PLAN, report
from test_rule_pages import Example, examples

MISTAKES = Path(__file__).parent.parent / "examples" / "mistakes"
PLANS = int(os.environ.get("LAMPWRIGHT_PLANS", "300"))
PARTS = 6

# What supplies a unit or changes a current is for the installer to decide, who may have meant something else.
NEVER_SURE = {*FAULTS, "missing-unit", "wrong-unit"}


class Place(NamedTuple):
    """A text with its name and the files that it may refer to."""

    text: str
    name: str = PLAN
    files: tuple[tuple[str, str], ...] = ()
    settings: Settings | None = None

    def fixes(self) -> Iterator[tuple[Finding, Fix]]:
        """All fixes in this text, with the findings that they are for."""
        for finding in self.findings():
            if finding.span.source.name == self.name:
                yield from ((finding, fix) for fix in finding.fixes)

    def waiting(self) -> set[str]:
        """The rules that have rested, because another one is to be cured first."""
        undecided = report(self.text, self.name, dict(self.files), self.settings).undecided
        return {item.rule for item in undecided if item.lacks.startswith("a cure for")}

    def faults(self) -> list[Finding]:
        """The findings, but for the advice about circuits that are drawn for their currents."""
        return [finding for finding in self.findings() if finding.rule not in ADVICE]

    def findings(self) -> tuple[Finding, ...]:
        if self not in _FINDINGS:
            _FINDINGS[self] = report(self.text, self.name, dict(self.files), self.settings).findings
        return _FINDINGS[self]


# A plan is asked many times for its findings; nothing changes them.
_FINDINGS: dict[Place, tuple[Finding, ...]] = {}


def about(findings: Iterable[Finding]) -> Counter[tuple[str, str]]:
    """The findings by what they are about: the figures in a message may change without harm.

    Where a resistor is put in, it may be the one to name of several that LEDs share.
    """
    return Counter(
        (finding.rule, "" if finding.rule == "shared-resistor" else finding.span.text) for finding in findings
    )


def mended(place: Place, finding: Finding, fix: Fix) -> Place:
    """What `fix` makes of the text, held against all that a fix promises."""
    assert re.match(r"[A-Z].*[^.]\Z", fix.title)
    assert not (fix.sure and finding.rule in NEVER_SURE)
    after = place._replace(text=apply(finding.span.source, fix.edits))
    assert_little_changed(place, after, fix)
    before_findings, after_findings = place.findings(), after.findings()
    added = about(after_findings) - about(before_findings)
    # Behind what is cured first, other rules may have waited with a finding of their own.
    assert not added or {rule for rule, _ in added} <= place.waiting(), f"{fix.title} adds {added}"
    gone = about(before_findings) - about(after_findings)
    assert about([finding]) <= gone, f"{fix.title} does not remove its finding"
    # What is done cannot be done a second time.
    assert (finding.fingerprint, fix.title) not in {(one.fingerprint, other.title) for one, other in after.fixes()}
    return after


def assert_little_changed(before: Place, after: Place, fix: Fix) -> None:
    """That a reader finds one place changed for each edit, and all comments and line ends as they were."""
    old, new = (parse(Source(place.name, place.text)) for place in (before, after))
    assert new.complete >= old.complete
    changes = SequenceMatcher(None, list(words(old.root)), list(words(new.root)), autojunk=False).get_opcodes()
    assert sum(kind != "equal" for kind, *_ in changes) <= len(fix.edits)
    if not fix.title.startswith(("Remove", "Write allow")):
        assert [comment.text for comment in new.comments] == [comment.text for comment in old.comments]
    if re.search("\r\n", before.text) and not re.search("(?<!\r)\n", before.text):
        assert not re.search("(?<!\r)\n", after.text)


def words(node: Node | None) -> Iterator[str]:
    """Every key and every scalar below `node`, in the order of the text."""
    if isinstance(node, Scalar):
        yield str(node)
    elif isinstance(node, Braces):
        for key, value in node.items():
            yield str(key)
            yield from words(value)
    elif isinstance(node, Sequence):
        for item in node:
            yield from words(item)


# --- The pages and the club's mistakes --------------------------------------------------------------------------------


def bad(rule: Rule) -> list[Example]:
    return [example for example in examples(rule.page) if example.heading == "Bad"]


def commented(text: str) -> str:
    """`text` with a comment behind each line that has none."""
    lines = [line if "#" in line else f"{line} # {number}" for number, line in enumerate(text.splitlines())]
    return "\n".join([*lines, ""])


def with_windows_line_ends(text: str) -> str:
    return text.replace("\n", "\r\n")


@pytest.mark.parametrize("changed", [str, with_windows_line_ends, commented])
@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_fixes_of_the_pages(rule, changed):
    places = [Place(changed(example.text), example.name, settings=example.settings) for example in bad(rule)]
    # What a page excuses, because it is another rule's side of the same mistake, is no matter of its own.
    fixes = [(place, finding, fix) for place in places for finding, fix in place.fixes() if finding.allowed is None]
    # A comment behind an allowance is a reason for it.
    assert bool(fixes) == rule.has_fix or (rule.name, changed) == ("useless-allowance", commented)
    for place, finding, fix in fixes:
        mended(place, finding, fix)


def test_fixes_of_the_clubs_mistakes():
    rules = set()
    for path in sorted(MISTAKES.glob("*.yaml")):
        text = path.read_text("utf-8")
        named = {MISTAKES / name: name for name in re.findall(r"[\w./-]+\.yaml", text)}
        files = tuple((name, file.read_text("utf-8")) for file, name in named.items() if file.is_file())
        place = Place(text, path.name, files)
        for finding, fix in place.fixes():
            if finding.allowed is None:
                mended(place, finding, fix)
                rules.add(finding.rule)
    assert rules >= {*FAULTS, "decimal-comma", "duplicate-key", "missing-unit", "unknown-key", "unknown-name"}


# --- Random plans -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", range(PARTS))
def test_fixes_of_random_plans(part):
    tried = Counter()
    for seed in range(part, PLANS, PARTS):
        faulty = faulty_plan(seed)
        place = Place(faulty.text, files=faulty.files)
        # Each fault is one finding, and has a fix.
        faults = Counter(filter(None, faulty.faults.values()))
        assert Counter(finding.rule for finding in place.faults()) == faults, seed
        assert all(finding.fixes for finding in place.faults()), seed
        # One fix after the other cures the whole plan.
        for number in range(faults.total()):
            cures = [(finding, fix) for finding, fix in place.fixes() if finding.rule in FAULTS]
            finding, fix = cures[seed % (faults.total() - number)]
            assert_is_next_up(place, finding)
            place = mended(place, finding, fix)
        assert place.faults() == [], seed
        tried += faults
        _FINDINGS.clear()
    assert set(tried) == set(FAULTS)


def test_fixes_of_tangled_plans():
    tried = Counter()
    for seed in range(PLANS // 6):
        place = Place(tangled_plan(seed).text, files=tangled_plan(seed).files)
        # Any one of them, so that there are more plans for the time.
        for finding, fix in list(place.fixes())[seed % 7 :][:1]:
            mended(place, finding, fix)
            tried[finding.rule] += 1
        _FINDINGS.clear()
    assert set(tried) >= set(FAULTS)


def assert_is_next_up(place: Place, finding: Finding) -> None:
    """That the next smaller preferred value, where it is written in the same place, leaves the finding."""
    if finding.rule not in ("overdriven-led", "overloaded-output"):
        return
    ohms = round(finding.data["suggested"])
    smaller = f"{PREFERRED[PREFERRED.index(ohms) - 1]} ohm"
    (edit,) = (edit for edit in finding.fixes[0].edits if "ohm" in edit.text)
    assert said(ohms) in edit.text
    left = place.text[: edit.span.start] + edit.text.replace(said(ohms), smaller) + place.text[edit.span.end :]
    assert finding.rule in {one.rule for one in place._replace(text=left).findings()}


def said(ohms: int) -> str:
    return f"{ohms / 1000:g} kohm" if ohms >= 1000 else f"{ohms} ohm"
