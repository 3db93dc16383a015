"""Levels, failing rules, bounds, fingerprints and the order of a report."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

import pytest

from lampwright import engine
from lampwright.diagnostics import Failure, Finding, Problem, Report, Severity, Undecided
from lampwright.engine import MOST_FINDINGS, Refusal, merge_reports
from lampwright.model.settings import Settings
from lampwright.rule import Context, Rule, Verdict
from lampwright.text import Source
from seam import check, report
from two_faults import BURNING, SHEET, TEXT, UNWIRED, put, useless

# --- Levels -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("level", "unwired", "burning"),
    [
        (Severity.ERROR, Severity.ERROR, Severity.ERROR),
        (Severity.WARNING, Severity.WARNING, Severity.WARNING),
        (Severity.NOTE, Severity.NOTE, Severity.NOTE),
        (None, None, None),
    ],
)
def test_the_settings_give_a_rule_any_level(
    level: Severity | None, unwired: Severity | None, burning: Severity | None
) -> None:
    found = report(TEXT, settings=Settings(levels={"unwired-lamp": level, "unprotected-led": level}))
    assert [item.level for item in found.findings] == [each for each in (unwired, burning) if each is not None]
    assert found.ignored == (("unprotected-led", "unwired-lamp") if level is None else ())


def judge_with(
    monkeypatch: pytest.MonkeyPatch, *verdicts: Verdict | Exception, level: Severity = Severity.ERROR
) -> None:
    """One more rule, which says what is given."""

    def judge(_: Context) -> Iterator[Verdict]:
        for verdict in verdicts:
            if isinstance(verdict, Exception):
                raise verdict
            yield verdict

    rule = Rule("fading-lamp", level, judge, needs_plan=False, has_fix=False)
    monkeypatch.setattr(engine, "RULES", (rule, *engine.RULES))
    monkeypatch.setattr(engine, "RULE_NAMES", (rule.name, *engine.RULE_NAMES))


@pytest.mark.parametrize("ceiling", [None, *Severity])
@pytest.mark.parametrize("usual", list(Severity))
@pytest.mark.parametrize("wished", [None, *Severity])
def test_a_ceiling_holds_whatever_the_settings_say(
    monkeypatch: pytest.MonkeyPatch, ceiling: Severity | None, usual: Severity, wished: Severity | None
) -> None:
    source = Source("plan.lights.yaml", TEXT)
    judge_with(monkeypatch, Finding(source.span(0, 7), "m", ceiling=ceiling), level=usual)
    settings = Settings(levels={} if wished is None else {"fading-lamp": wished})
    found = next(found for found in engine.check(source, settings, missing).findings if found.rule == "fading-lamp")
    assert found.level is min(wished or usual, ceiling or Severity.ERROR)


def missing(_source: Source, _path: str) -> Refusal:
    return Refusal("missing")


# --- Rules that fail --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "error", [KeyError("white"), RecursionError("deep"), AssertionError(), MemoryError(), RuntimeError("two\nlines")]
)
def test_a_rule_that_raises_costs_its_own_findings_only(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    source = Source("plan.lights.yaml", put("  step lamp:\n", "  step lamp:  # lampwright: allow fading-lamp -- x\n"))
    judge_with(monkeypatch, error)
    found = engine.check(source, Settings(), missing)
    assert [item.rule for item in found.findings] == ["unwired-lamp", "unprotected-led"]
    assert found.failures == (Failure("fading-lamp", source.name, f"{type(error).__name__}: {error}"),)
    with pytest.raises(type(error)):
        engine.check(source, Settings(), missing, raising=True)


# --- Bounds -----------------------------------------------------------------------------------------------------------


def bulbs(number: int, comment: str = "") -> str:
    lines = "".join(
        f"  lamp {index}: {{bulb: {{voltage: 12 V, current: 40 mA}}}}{comment}\n" for index in range(number)
    )
    return put("  step lamp:\n    bulb: {voltage: 12 V, current: 40 mA}\n", lines)


@pytest.mark.parametrize("number", [1, 99, 100, 101, 102, 1000])
def test_after_a_hundred_findings_a_last_one_says_how_many_more(number: int) -> None:
    found = [item for item in report(bulbs(number)).findings if item.rule == "unwired-lamp"]
    assert len(found) == min(number, MOST_FINDINGS + 1)
    if number > MOST_FINDINGS:
        assert found[-1].message == f"and {number - MOST_FINDINGS} more of unwired-lamp in this file"
        assert found[-1].span.text == "lamp 100"
        assert found[-1].level is Severity.WARNING
    assert len({item.fingerprint for item in found}) == len(found)


def test_what_is_left_out_weighs_no_more_than_what_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    source = Source("plan.lights.yaml", TEXT)
    judge_with(monkeypatch, *(Finding(source.span(0, 7), f"m {index}", ceiling=Severity.NOTE) for index in range(300)))
    found = [item for item in engine.check(source, Settings(), missing).findings if item.rule == "fading-lamp"]
    assert {item.level for item in found} == {Severity.NOTE}
    assert "and 200 more of fading-lamp in this file" in {item.message for item in found}


def test_problems_are_bounded_alike() -> None:
    text = put("keys: {}", "keys: {" + ", ".join(f"X{index}: 1" for index in range(250)) + "}")
    found = [item for item in report(text).findings if item.rule == "unknown-key"]
    assert len(found) == MOST_FINDINGS + 1
    assert found[-1].message == "and 150 more of unknown-key in this file"


def test_excused_findings_do_not_hide_open_ones() -> None:
    lines = bulbs(150, "  # lampwright: allow unwired-lamp -- spares").replace(
        "outputs:\n  white", "  last lamp: {bulb: {voltage: 12 V, current: 40 mA}}\noutputs:\n  white"
    )
    found = [item for item in report(lines).findings if item.rule == "unwired-lamp"]
    assert [item.span.text for item in found if item.allowed is None] == ["last lamp"]
    assert [item.message for item in found if item.allowed is not None][
        -1
    ] == "and 50 more of unwired-lamp in this file"
    assert useless(lines) == []


def test_an_allowance_beyond_the_bound_is_of_use() -> None:
    text = bulbs(300).replace("lamp 250: {", "lamp 250:  # lampwright: allow unwired-lamp -- x\n    {")
    found = [item for item in report(text).findings if item.rule == "unwired-lamp"]
    assert [item.span.text for item in found if item.allowed is not None] == ["lamp 250"]
    assert "and 199 more of unwired-lamp in this file" in [item.message for item in found]
    assert useless(text) == []


def test_what_cannot_be_told_is_counted_beyond_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    source = Source("plan.lights.yaml", TEXT)
    verdicts: list[Verdict] = [Finding(source.span(0, 7), f"m {index}") for index in range(300)]
    judge_with(monkeypatch, *verdicts, *(Undecided(source.span(0, 7), f"l {index}") for index in range(300)))
    found = engine.check(source, Settings(), missing)
    assert sum(item.rule == "fading-lamp" for item in found.undecided) == 300


@pytest.mark.parametrize("is_worded", [True, False])
@pytest.mark.parametrize("comment", ["", "# lampwright: allow fading-lamp -- x\n"])
def test_two_hundred_thousand_findings_take_a_moment(
    monkeypatch: pytest.MonkeyPatch, comment: str, *, is_worded: bool
) -> None:
    text = comment + "x: y\n" * 2
    source = Source("plan.decoder.yaml", text)
    start = len(comment)
    spans = [source.span(start, start + 1)] * 200_000
    asked: list[int] = []

    def judge(context: Context) -> Iterator[Verdict]:
        places = [problem.span for problem in context.problems_of("fading-lamp")] if is_worded else spans
        asked.append(len(places))
        yield from (Finding(span, "m") for span in places)

    rule = Rule("fading-lamp", Severity.ERROR, judge, needs_plan=False, has_fix=False, words_problems=is_worded)
    problems = tuple(Problem("fading-lamp", span) for span in spans) if is_worded else ()
    monkeypatch.setattr(engine, "RULES", (rule,))
    read = engine.read_document
    monkeypatch.setattr(engine, "read_document", lambda *given: replace(read(*given), problems=problems))
    before = time.process_time()
    found = engine.check(source, Settings(), missing)
    assert time.process_time() - before < 10
    assert {item.message for item in found.findings} == {"m", "and 199900 more of fading-lamp in this file"}
    assert asked[0] <= (2 * MOST_FINDINGS if is_worded else 200_000)
    assert {item.allowed for item in found.findings} == {"x" if comment else None}


# --- Fingerprints -----------------------------------------------------------------------------------------------------


def keys_of(text: str) -> dict[tuple[str, str], str]:
    """The fingerprint of each finding, by rule and culprit."""
    return {(found.rule, found.span.text): found.fingerprint for found in report(text).findings}


@pytest.mark.parametrize(
    ("at", "instead"),
    [
        ("vehicle:", "# a word\n\nvehicle:"),
        ("  front headlamp:", "  rear headlamp: {led: {forward-voltage: 3.0 V}}\n  front headlamp:"),
        ("      - front headlamp", "      - {diode: 0.7 V}\n      - front headlamp"),
        ("  white:\n", "  yellow: {circuit: []}\n  white:\n"),
        ("    circuit:\n      - front headlamp\n", "    circuit: [front headlamp]\n"),
        ("supply: {track: 14.5 V}\n", "supply: {track: 16 V}\n"),
        ("  step lamp:\n    bulb:", "  step lamp:   # beside the door\n      bulb:"),
    ],
)
def test_a_finding_keeps_its_fingerprint_when_other_things_move(at: str, instead: str) -> None:
    before, after = keys_of(TEXT), keys_of(put(at, instead))
    assert set(before) == {UNWIRED, BURNING}
    assert {place: after[place] for place in before} == before


def test_entries_may_change_places() -> None:
    lamps = [f"  lamp {letter}: {{bulb: {{voltage: 12 V, current: 40 mA}}}}\n" for letter in "abc"]
    texts = [put("  front headlamp:", "".join(order) + "  front headlamp:") for order in permutations(lamps)]
    assert len({tuple(sorted(keys_of(text).items())) for text in texts}) == 1


@pytest.mark.parametrize(
    ("at", "instead"),
    [
        ("  step lamp:", "  door lamp:"),
        ("  white:\n", "  brown:\n"),
        ("      - front headlamp", "      - parallel: [[front headlamp]]"),
    ],
)
def test_another_place_or_culprit_is_another_finding(at: str, instead: str) -> None:
    before, after = keys_of(TEXT), keys_of(put(at, instead).replace("white: {", "brown: {"))
    assert len(set(before.values()) & set(after.values())) == 1


def test_fingerprints_are_unique_in_a_file() -> None:
    text = put("      - front headlamp\n", "      - parallel:\n" + "          - [stranger]\n" * 20)
    found = report(text).findings
    assert len({item.fingerprint for item in found}) == len(found) >= 20


# --- Merging ----------------------------------------------------------------------------------------------------------


def test_reports_merge_to_the_same_in_any_order() -> None:
    texts = {
        "b.lights.yaml": TEXT,
        "a.lights.yaml": TEXT.replace("- front", "- frnt"),
        "c.parts.yaml": "resistors: 3\n",
    }
    reports = [report(text, name) for name, text in texts.items()]
    reports.append(Report(failures=(Failure(None, "b", "x"), Failure("dim-led", "a", "x"), Failure(None, "a", "x"))))
    merged = merge_reports(reports)
    for _ in range(10):
        random.shuffle(reports)
        other = merge_reports([*reports, random.choice(reports)])
        assert (other.findings, other.undecided, other.failures) == (merged.findings, merged.undecided, merged.failures)
        assert set(other.sources) == set(merged.sources)
    places = [(item.span.source.name, item.span.start, item.rule) for item in merged.findings]
    assert places == sorted(places)
    assert len(places) == sum(len(each.findings) for each in reports)


def test_one_line_is_sorted_by_column_then_rule_then_end() -> None:
    source = Source("a", "x: [y, z]")
    found = [
        Finding(source.span(*span), "m", rule=rule)
        for span, rule in [((4, 5), "b"), ((4, 8), "a"), ((0, 9), "z"), ((4, 5), "a")]
    ]
    merged = merge_reports([Report(findings=tuple(found))])
    assert [(item.span.start, item.rule, item.span.end) for item in merged.findings] == [
        (0, "z", 9),
        (4, "a", 5),
        (4, "a", 8),
        (4, "b", 5),
    ]


def test_a_finding_in_the_sheet_of_two_plans_is_one() -> None:
    sheet = "name: Bench six\noutputs: {white: {number: 1, limit: 100 ma}}\n"
    text = put(TEXT[TEXT.index("decoder:") : TEXT.index("lamps:")], f"decoder: {SHEET}\n")
    reports = [report(text, name, {SHEET: sheet}) for name in ("a.lights.yaml", "b.lights.yaml")]
    assert [found.rule for found in merge_reports(reports).findings].count("misspelt-unit") == 1
    assert [found.span.source.name for found in check(sheet, SHEET)] == [SHEET]
