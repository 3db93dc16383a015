"""Fixes in rounds: slips are undone to the byte, faults are cured, and a second time changes nothing.

LAMPWRIGHT_PLANS=10000 in the environment asks for more plans.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace

import pytest

from faulty_plans import FAULTS, faulty_plan, slipped_plan, tangled_plan
from lampwright import engine
from lampwright.diagnostics import Finding, Fix, Report, Severity
from lampwright.engine import Refusal, fixing
from lampwright.engine.fixing import MOST_ROUNDS, Judge, Mended, mend
from lampwright.model.settings import Settings
from lampwright.rule import Context, Rule
from lampwright.syntax import parse
from lampwright.text import Edit, Source, apply
from rule_cases import ADVICE
from two_faults import TEXT, put

PLAN = "plan.lights.yaml"
# Circuits that are drawn for their faults are not drawn as an adviser would have them.
QUIET = Settings(levels=dict.fromkeys(ADVICE))
PLANS = int(os.environ.get("LAMPWRIGHT_PLANS", "240"))
PARTS = 4


def judge(files: Mapping[str, str] | None = None) -> Judge:
    sources = {name: Source(name, text) for name, text in (files or {}).items()}

    def report(source: Source) -> Report:
        load = lambda _, path: sources.get(path, Refusal("missing"))  # noqa: E731
        return engine.check(source, QUIET, load, raising=True)

    return report


def mended(text: str, files: Mapping[str, str] | None = None, *, unsure: bool = False) -> Mended:
    return mend(Source(PLAN, text), judge(files), unsure=unsure)


def again(done: Mended, files: Mapping[str, str] | None = None, *, unsure: bool = False) -> Mended:
    return mend(done.source, judge(files), unsure=unsure)


# --- Random plans -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", range(PARTS))
def test_slips_are_undone_and_every_other_byte_stays(part: int) -> None:
    tried: Counter[str] = Counter()
    for seed in range(part, PLANS, PARTS):
        slipped = slipped_plan(seed)
        done = mended(slipped.typed, dict(slipped.files))
        assert done.source.text == slipped.meant, seed
        assert sorted(repair.finding.rule for repair in done.repairs) == sorted(slipped.slips), seed
        assert all(repair.fix.sure for repair in done.repairs)
        # What is left are the faults of the circuits, which nobody but the installer can cure.
        assert {finding.rule for finding in done.report.findings} <= set(FAULTS), seed
        assert again(done, dict(slipped.files)).repairs == (), seed
        tried.update(slipped.slips)
    assert set(tried) == {"misspelt-unit", "decimal-comma", "unknown-key", "useless-allowance"}


@pytest.mark.parametrize("part", range(PARTS))
def test_faults_are_cured_when_asked_for(part: int) -> None:
    for seed in range(part, PLANS, PARTS):
        plan = faulty_plan(seed)
        files = dict(plan.files)
        assert mended(plan.text, files).repairs == (), seed
        done = mended(plan.text, files, unsure=True)
        assert done.report.findings == (), seed
        assert len(done.repairs) == len(list(filter(None, plan.faults.values()))), seed
        assert_replayed(plan.text, done)
        assert again(done, files, unsure=True).repairs == (), seed


def test_tangled_faults_are_cured_as_far_as_there_are_fixes() -> None:
    for seed in range(PLANS // 4):
        plan = tangled_plan(seed)
        files = dict(plan.files)
        done = mended(plan.text, files, unsure=True)
        assert not any(finding.fixes for finding in done.report.findings), seed
        assert_replayed(plan.text, done)
        assert again(done, files, unsure=True).repairs == (), seed


def assert_replayed(text: str, done: Mended) -> None:
    """That the edits of the repairs, and nothing else, make what came out; and that all comments are still there."""
    source = Source(PLAN, text)
    waiting = list(done.repairs)
    while waiting:
        round_of = waiting[0].finding.span.source
        assert round_of.text == source.text
        here = [repair for repair in waiting if repair.finding.span.source is round_of]
        source = Source(PLAN, apply(round_of, [edit for repair in here for edit in repair.fix.edits]))
        waiting = waiting[len(here) :]
    assert source.text == done.source.text
    comments = [[each.text for each in parse(Source(PLAN, each)).comments] for each in (text, done.source.text)]
    assert comments[0] == comments[1]


# --- Rounds -----------------------------------------------------------------------------------------------------------


def offer(monkeypatch: pytest.MonkeyPatch, *pairs: tuple[str, str], name: str = "typing-slip") -> None:
    """One more rule, which finds each first word and offers to write the second in its place."""

    def find(context: Context) -> Iterator[Finding]:
        source = context.tree.source
        for word, instead in pairs:
            at = source.text.find(word)
            if at >= 0:
                span = source.span(at, at + len(word))
                yield Finding(span, f"{word} is found", fixes=(Fix("Write it", (Edit(span, instead),), sure=True),))

    rule = Rule(name, Severity.WARNING, find, needs_plan=False, has_fix=True)
    monkeypatch.setattr(engine, "RULES", (rule, *engine.RULES))
    monkeypatch.setattr(engine, "RULE_NAMES", (rule.name, *engine.RULE_NAMES))
    monkeypatch.setattr(fixing, "needs_plan", lambda _: False)


CLEAN = put("      - front headlamp", "      - 1.5 kohm 1/4 W\n      - front headlamp")


@pytest.mark.parametrize(
    ("text", "pairs", "made", "repairs"),
    [
        # Side by side in one round; one in the other, and end to end, in two.
        ("# one two", [("one", "1"), ("two", "2")], "# 1 2", 2),
        ("# onetwo", [("one", "1"), ("two", "2")], "# 12", 2),
        ("# one two", [("one two", "1"), ("two", "2")], "# 1", 1),
        # One makes work for another, again and again.
        ("# one", [("one", "two"), ("two", "three")], "# three", 0),
        # What goes round comes to an end.
        ("# one", [("one", "two"), ("two", "one")], "# one", 0),
        # What makes nothing better is not done.
        ("# one", [("one", "one")], "# one", 0),
    ],
)
def test_fixes_that_meet(
    monkeypatch: pytest.MonkeyPatch, text: str, pairs: list[tuple[str, str]], made: str, repairs: int
) -> None:
    offer(monkeypatch, *pairs)
    done = mended(CLEAN + text)
    if repairs:
        assert (done.source.text, len(done.repairs)) == (CLEAN + made, repairs)
    else:
        # The second finding would be new, so that the first fix only moves the trouble.
        assert (done.source.text, done.repairs) == (CLEAN + text, ())


@pytest.mark.parametrize("instead", ["}{", "- [", "\tx: 1", "outputs: {}", "vehicle: {}", "&a x"])
def test_a_fix_that_hurts_is_taken_back_and_others_stand(monkeypatch: pytest.MonkeyPatch, instead: str) -> None:
    offer(monkeypatch, ("# hurt", instead), ("good", "better"))
    done = mended(f"{CLEAN}# hurt\n# good\n")
    assert done.source.text == f"{CLEAN}# hurt\n# better\n"
    assert [repair.fix.edits[0].text for repair in done.repairs] == ["better"]


def test_what_comes_round_again_is_not_done(monkeypatch: pytest.MonkeyPatch) -> None:
    offer(monkeypatch, ("one", "two"), ("two", "one"))
    monkeypatch.setattr(fixing, "is_better", lambda *_: True)
    assert mended(f"{CLEAN}# one").source.text == f"{CLEAN}# two"


def test_what_hurt_is_tried_again_when_something_else_was_mended(monkeypatch: pytest.MonkeyPatch) -> None:
    offer(monkeypatch, ("first", "1st"), ("second", "2nd"))

    def is_better(_before: Report, after: Report, *_: object) -> bool:
        text = after.sources[0].text
        return "1st" not in text or ("2nd" in text and "second" not in text and len(tried) > 2)

    tried: list[Report] = []
    monkeypatch.setattr(fixing, "is_better", lambda *given: tried.append(given[1]) or is_better(*given))
    done = mended(f"{CLEAN}# first second")
    assert done.source.text == f"{CLEAN}# 1st 2nd"
    # Both at once, the first alone, the second alone, the first again.
    assert len(tried) == 4


def test_a_fix_that_leaves_its_finding_is_taken_back(monkeypatch: pytest.MonkeyPatch) -> None:
    def find(context: Context) -> Iterator[Finding]:
        source = context.tree.source
        at, other = source.text.find("# here"), source.text.find("x")
        edit = Edit(source.span(other, other + 1), "y")
        yield Finding(source.span(at, at + 6), "it stays", fixes=(Fix("Write y", (edit,), sure=True),))

    rule = Rule("idle-fix", Severity.WARNING, find, needs_plan=False, has_fix=True)
    monkeypatch.setattr(engine, "RULES", (rule, *engine.RULES))
    assert mended(f"{CLEAN}# here x").repairs == ()


def test_a_fix_that_burns_a_lamp_is_taken_back(monkeypatch: pytest.MonkeyPatch) -> None:
    offer(monkeypatch, ("1.5 kohm 1/4 W", "47 ohm 5 W"), ("# good", "# better"))
    done = mended(f"{CLEAN}# good\n")
    assert done.source.text == f"{CLEAN}# better\n"
    # A rule that could not tell before may tell now, and does so of this text as of any other.
    board = CLEAN.replace("1.5 kohm 1/4 W", "{board: {voltage: 12 V, current: 20 mA}}")
    offer(monkeypatch, ("{board: {voltage: 12 V, current: 20 mA}}", "47 ohm 5 W"))
    assert "overdriven-led" in {finding.rule for finding in mended(board).report.findings}


def test_rounds_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    # Each round takes one letter away, and the findings are all about other culprits.
    words = ["x" * length for length in range(1, 4 * MOST_ROUNDS)]

    def find(context: Context) -> Iterator[Finding]:
        source = context.tree.source
        at = source.text.find("#") + 1
        span = source.span(at, len(source.text))
        if span.text in words:
            yield Finding(span, "too long", fixes=(Fix("Cut", (Edit(span, span.text[1:]),), sure=True),))

    rule = Rule("long-word", Severity.WARNING, find, needs_plan=False, has_fix=True)
    monkeypatch.setattr(engine, "RULES", (rule,))
    monkeypatch.setattr(fixing, "is_better", lambda *_: True)
    done = mended(f"{CLEAN}#{words[-1]}")
    assert len(done.repairs) == MOST_ROUNDS


def test_what_is_allowed_is_not_fixed() -> None:
    text = put("voltage: 12 V", "voltage: 12 v", CLEAN)
    excused = text.replace(
        "12 v, current: 40 mA}", "12 v, current: 40 mA}  # lampwright: allow misspelt-unit -- as printed"
    )
    assert mended(text).source.text == CLEAN
    assert mended(excused).source.text == excused


def test_a_source_with_a_fault_is_left_alone() -> None:
    source = Source(PLAN, TEXT, fault="encoding")
    assert mend(source, judge()).source is source


def test_the_mark_at_the_start_stays() -> None:
    source = Source(PLAN, put("voltage: 12 V", "voltage: 12 v", CLEAN), bom=True)
    assert mend(source, judge()).source.bom


def test_of_two_cures_of_one_output_the_second_waits() -> None:
    led = "{led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}"
    branches = "[47 ohm 5 W, front headlamp], [47 ohm 5 W, step led]"
    together = CLEAN.replace("      - 1.5 kohm 1/4 W\n      - front headlamp", f"      - parallel: [{branches}]")
    together = together.replace("lamps:\n", f"lamps:\n  step led: {led}\n")
    assert rounds(mended(together, unsure=True)) == [1, 1, 1]
    apart = together.replace(
        f"- parallel: [{branches}]",
        "- 47 ohm 5 W\n      - front headlamp\n  yellow:\n    circuit: [47 ohm 5 W, step led]",
    )
    apart = apart.replace("outputs: {white", "outputs: {yellow: {number: 2}, white")
    assert rounds(mended(apart, unsure=True))[0] == 2


def rounds(done: Mended) -> list[int]:
    """How many fixes were applied in each round."""
    return list(Counter(id(repair.finding.span.source) for repair in done.repairs).values())


def test_cured_writing_may_bring_what_could_not_be_seen_to_light() -> None:
    text = CLEAN.replace("1.5 kohm 1/4 W", "39 ohm 5 W").replace("track: 14.5 V", "track: 14.5 v")
    done = mended(text)
    assert "14.5 V" in done.source.text
    assert "overdriven-led" in {finding.rule for finding in done.report.findings}


def test_quotes_stay() -> None:
    for quote in ("'", '"'):
        typed = CLEAN.replace("circuit:", f"{quote}circut{quote}:")
        assert mended(typed).source.text == CLEAN.replace("circuit:", f"{quote}circuit{quote}:")


def test_many_mistakes_of_one_kind_are_all_mended() -> None:
    # More than a report shows of one rule.
    lamps = "".join(f"  lamp {number}: {{bulb: {{voltage: 12 v, current: 40 mA}}}}\n" for number in range(150))
    text = CLEAN.replace("lamps:\n", f"lamps:\n{lamps}")
    done = mended(text)
    assert done.source.text == text.replace("12 v", "12 V")
    assert len(done.repairs) == 150


def test_a_report_about_other_files_is_no_reason_to_touch_them() -> None:
    sheet = "name: Bench six\noutputs:\n  white: {number: 1, limit: 100 ma}\n"
    text = put(TEXT[TEXT.index("decoder:") : TEXT.index("lamps:")], "decoder: bench-six.decoder.yaml\n", CLEAN)
    done = mended(text, {"bench-six.decoder.yaml": sheet})
    assert (done.source.text, done.repairs) == (text, ())
    assert [finding.rule for finding in done.report.findings if finding.fixes] == ["misspelt-unit"]


def test_what_came_out_is_reported_as_it_is() -> None:
    typed = put("voltage: 12 V", "voltage: 12 v", CLEAN)
    done = mended(typed)
    fresh = judge()(replace(done.source))
    assert [(each.rule, each.fingerprint) for each in done.report.findings] == [
        (each.rule, each.fingerprint) for each in fresh.findings
    ]
