"""Comments that excuse findings: what each reaches, and which of them are of no use."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from lampwright import engine
from lampwright.diagnostics import Finding, Severity
from lampwright.model.settings import Settings
from lampwright.rule import Context, Rule
from lampwright.text import Source
from seam import fix, report
from two_faults import BURNING, SHEET, TEXT, UNWIRED, places, put, useless


@pytest.mark.parametrize(
    ("at", "with_comment", "excused"),
    [
        ("  step lamp:\n", "  step lamp:  @\n", [UNWIRED]),
        ("  step lamp:\n", "  @\n  step lamp:\n", [UNWIRED]),
        ("  step lamp:\n", "@\n  step lamp:\n", [UNWIRED]),
        ("  step lamp:\n", "  @\n\n  # another word\n  \n  step lamp:\n", [UNWIRED]),
        ("  step lamp:\n", "  # another word\n  @\r\n\r\n  step lamp:\n", [UNWIRED]),
        ("lamps:\n", "@\nlamps:\n", [UNWIRED]),
        ("      - front headlamp", "      - front headlamp  @", [BURNING]),
        ("      - front headlamp", "      @\n      - front headlamp", [BURNING]),
        ("    circuit:\n", "    @\n    circuit:\n", [BURNING]),
        ("  white:\n", "  @\n  white:\n", [BURNING]),
        ("outputs:\n", "@\noutputs:\n", [BURNING]),
        # Neither on this line nor in this entry.
        ("40 mA}\n", "40 mA}  @\n", []),
        ("    bulb:", "    @\n    bulb:", []),
        ("  front headlamp:", "  @\n  front headlamp:", []),
        ("keys: {}\n", "@\nkeys: {}\n", []),
        ("keys: {}\n", "keys: {}\n@\n", []),
        ("keys: {}\n", "keys: {}\n@", []),
        ("vehicle:", "@\nvehicle:", []),
        ("vehicle:", "@\n---\n# another word\nvehicle:", []),
        ("Quarry switcher 7}", '"@"}', []),
    ],
)
def test_an_allowance_excuses_its_line_or_what_begins_below_it(
    at: str, with_comment: str, excused: list[tuple[str, str]]
) -> None:
    comment = "# lampwright: allow unwired-lamp, unprotected-led -- on purpose"
    text = put(at, with_comment.replace("@", comment))
    assert places(text, allowed=True) == excused
    assert {found.allowed for found in report(text).findings} - {None} == ({"on purpose"} if excused else set())
    still_open = [place for place in places(text) if place[0] != "useless-allowance"]
    assert still_open == [place for place in (UNWIRED, BURNING) if place not in excused]


@pytest.mark.parametrize(
    ("comment", "reason"),
    [
        ("# lampwright: allow unwired-lamp -- not fitted yet", "not fitted yet"),
        ("#lampwright:allow unwired-lamp -- not fitted yet  ", "not fitted yet"),
        ("# lampwright: allow unwired-lamp -- see #3 -- or ask", "see #3 -- or ask"),
        ("# lampwright: allow unprotected-led unwired-lamp -- spaces only", "spaces only"),
        ("# lampwright: allow unwired-lamp", None),
        ("# lampwright: allow unwired-lamp --", None),
        ("# lampwright: allow unwired-lamp - one dash", None),
        ("# lampwright: allow Unwired-Lamp -- capitals", None),
        ("# lampwright: alow unwired-lamp -- a slip", None),
        ("# lampwright allow unwired-lamp -- no colon", None),
        ("# lampwright: allow -- no rule", None),
    ],
)
def test_an_allowance_needs_a_rule_and_a_reason(comment: str, reason: str | None) -> None:
    text = put("  step lamp:\n", f"  step lamp:  {comment}\n")
    (found,) = [found for found in report(text).findings if found.rule == "unwired-lamp"]
    assert found.allowed == reason


@pytest.mark.parametrize(
    ("comments", "reason"),
    [
        ([("outputs:\n", "all"), ("  white:\n", "this output")], "this output"),
        ([("outputs:\n", "all"), ("      - front headlamp", "this lamp")], "this lamp"),
        # What is said of another entry before it changes nothing.
        ([("outputs:\n", "all"), ("  yellow:", "another output")], "all"),
        ([("  yellow:", "another output")], None),
    ],
)
def test_of_several_allowances_the_nearest_gives_the_reason(
    comments: list[tuple[str, str]], reason: str | None
) -> None:
    text = put("  white:\n", "  yellow: {circuit: [1.5 kohm 1/4 W, step lamp]}\n  white:\n")
    for at, words in comments:
        text = put(at, f"# lampwright: allow unprotected-led -- {words}\n{at}", text)
    (found,) = [found for found in report(text).findings if found.rule == "unprotected-led"]
    assert found.allowed == reason


def test_a_line_goes_before_what_is_around_it() -> None:
    text = put(
        "      - front headlamp",
        "      # lampwright: allow unprotected-led -- above\n      - front headlamp  # lampwright: allow unprotected-led -- beside",
    )
    assert [found.allowed for found in report(text).findings if found.rule == "unprotected-led"] == ["beside"]


@pytest.mark.parametrize(("in_plan", "in_sheet", "reason"), [("x", None, None), (None, "y", "y"), ("x", "y", "y")])
def test_a_finding_is_excused_in_the_file_in_which_it_stands(
    monkeypatch: pytest.MonkeyPatch, in_plan: str | None, in_sheet: str | None, reason: str | None
) -> None:
    def with_excuse(text: str, words: str | None) -> str:
        first, rest = text.split("\n", 1)
        return f"{first}  # lampwright: allow odd-sheet -- {words}\n{rest}" if words else text

    sheet = Source(SHEET, with_excuse("name: Bench six\noutputs: {white: {number: 1}}\n", in_sheet))
    plan = put(TEXT[TEXT.index("decoder:") : TEXT.index("lamps:")], f"decoder: {SHEET}\n")

    def odd_sheet(_: Context) -> Iterator[Finding]:
        yield Finding(sheet.span(0, 4), "the sheet is odd with this plan")

    rule = Rule("odd-sheet", Severity.ERROR, odd_sheet, needs_plan=True, has_fix=False)
    monkeypatch.setattr(engine, "RULES", (rule, *engine.RULES))
    monkeypatch.setattr(engine, "RULE_NAMES", (rule.name, *engine.RULE_NAMES))
    found = engine.check(Source("plan.lights.yaml", with_excuse(plan, in_plan)), Settings(), lambda *_: sheet)
    assert [item.allowed for item in found.findings if item.rule == "odd-sheet"] == [reason]


@pytest.mark.parametrize(
    ("comment", "culprit", "message"),
    [
        (
            "allow unwired-lamp",
            "# lampwright: allow unwired-lamp",
            'this allowance gives no reason and excuses nothing; write one after " -- "',
        ),
        ("allow -- why", "# lampwright: allow -- why", "this allowance names no rule"),
        ("alow unwired-lamp -- x", "alow", '"alow" does nothing here; did you mean "allow"?'),
        ("allow unwird-lamp -- x", "unwird-lamp", 'there is no rule "unwird-lamp"; did you mean "unwired-lamp"?'),
        ("allow duplicate-key -- x", "duplicate-key", "there is no duplicate-key here to be excused"),
        (
            "allow unwired-lamp, unprotected-led -- x",
            "unprotected-led",
            "there is no unprotected-led here to be excused",
        ),
    ],
)
def test_an_allowance_of_no_use_is_found(comment: str, culprit: str, message: str) -> None:
    assert useless(put("  step lamp:\n", f"  step lamp:  # lampwright: {comment}\n")) == [(culprit, message)]


@pytest.mark.parametrize(
    ("at", "with_comment", "stale"),
    [
        # Of the two rules that it names one has something to excuse: the other name is the culprit.
        (
            "  step lamp:\n",
            "  # lampwright: allow unprotected-led, unwired-lamp -- x\n  step lamp:\n",
            ["unprotected-led"],
        ),
        ("lamps:\n", "# lampwright: allow unwired-lamp, unprotected-led -- x\nlamps:\n", ["unprotected-led"]),
        ("outputs:\n", "# lampwright: allow unwired-lamp unprotected-led -- x\noutputs:\n", ["unwired-lamp"]),
        (
            "      - front headlamp",
            "      - front headlamp  # lampwright: allow duplicate-key, unprotected-led, unknown-key -- x",
            ["duplicate-key", "unknown-key"],
        ),
        ("keys: {}", "keys: {  # lampwright: allow unwired-lamp, unknown-key -- x\n}", ["unwired-lamp", "unknown-key"]),
        # Both excuse something.
        ("vehicle:", "vehicle:", []),
    ],
)
def test_of_an_allowance_the_part_that_is_stale_is_found(at: str, with_comment: str, stale: list[str]) -> None:
    text = put(at, with_comment)
    assert useless(text) == [(name, f"there is no {name} here to be excused") for name in stale]
    done = fix(text, sure=True)
    assert useless(done) == []
    # What excuses something stays, with its reason.
    kept = {name for name in ("unprotected-led", "unwired-lamp") if name in with_comment} - set(stale)
    assert all(f"allow {name} -- x" in done for name in kept)


# What is behind two feeds that meet cannot be told.
MEETING = put(
    "      - front headlamp",
    "      - parallel:\n          - {series: [1.5 kohm 1/4 W, front headlamp], return: rail}\n      - 1.5 kohm 1/4 W",
)
OTHER_OUTPUT = put("white: {number: 1,", "yellow: {number: 2, limit: 100 mA}, white: {number: 1,", MEETING).replace(
    "keys: {}", "  yellow:\n    circuit: [1.5 kohm 1/4 W, step lamp]\nkeys: {}"
)


@pytest.mark.parametrize(
    ("text", "comment", "settings"),
    [
        (put("  step lamp:\n", "  step lamp:  @\n"), "unwired-lamp", None),
        # A rule that has no file yet, one that is ignored, one that could not tell here, one that saw only half a plan.
        (put("  step lamp:\n", "  step lamp:  @\n"), "short-stock", None),
        (put("  step lamp:\n", "  step lamp:  @\n"), "duplicate-key", Settings(levels={"duplicate-key": None})),
        (put("      - 1.5 kohm 1/4 W\n", "      - 1.5 kohm 1/4 W  @\n", MEETING), "overheated-resistor", None),
        (put("  white:\n", "  @\n  white:\n", MEETING), "overloaded-output", None),
        (put("outputs:\n", "@\noutputs:\n", MEETING), "overdriven-led", None),
        (put("40 mA}\n", "40 milliamps}  @\n"), "wrong-lamp-voltage", None),
        (put("keys: {}", "keys: {\n@"), "unlit-string", None),
        # It may excuse itself, and stays when there is nothing of the kind any more.
        (put("  step lamp:\n", "  step lamp:  @\n"), "useless-allowance", None),
        (put("  step lamp:\n", "  step lamp:  @\n"), "duplicate-key, useless-allowance", None),
    ],
)
def test_an_allowance_that_may_be_of_use_is_left_alone(text: str, comment: str, settings: Settings | None) -> None:
    text = text.replace("@", f"# lampwright: allow {comment} -- on purpose")
    assert [place for place in places(text, settings) if place[0] == "useless-allowance"] == []
    excused = [place for place in places(text, settings, allowed=True) if place[0] == "useless-allowance"]
    assert excused == ([("useless-allowance", "duplicate-key")] if "duplicate-key, useless" in comment else [])


def test_what_cannot_be_told_of_one_output_says_nothing_of_another() -> None:
    text = put(
        "    circuit: [1.5 kohm 1/4 W, step lamp]",
        "    # lampwright: allow overheated-resistor -- x\n    circuit: [1.5 kohm 1/4 W, step lamp]",
        OTHER_OUTPUT,
    )
    assert [culprit for culprit, _ in useless(text)] == ["overheated-resistor"]


def test_allowances_in_a_sheet_excuse_what_is_wrong_in_the_sheet() -> None:
    sheet = "name: Bench six\noutputs:\n  white: {number: 1, limit: 100 ma}{}\n"
    comment = "  # lampwright: allow {} -- as printed"
    text = put(TEXT[TEXT.index("decoder:") : TEXT.index("lamps:")], f"decoder: {SHEET}\n")
    open_, excused = (
        report(text, files={SHEET: sheet.replace("{}", end)}) for end in ("", comment.replace("{}", "misspelt-unit"))
    )
    assert [found.allowed for found in open_.findings if found.rule == "misspelt-unit"] == [None]
    assert [found.allowed for found in excused.findings if found.rule == "misspelt-unit"] == ["as printed"]
    # Rules of plans were not asked about the sheet; others were.
    right = sheet.replace("100 ma", "100 mA")
    assert useless(right.replace("{}", comment.replace("{}", "unwired-lamp, dim-led")), SHEET) == []
    assert [culprit for culprit, _ in useless(right.replace("{}", comment.replace("{}", "duplicate-key")), SHEET)] == [
        "duplicate-key"
    ]


@pytest.mark.parametrize(
    ("comment", "fixed"),
    [
        ("  step lamp:  # lampwright: allow duplicate-key -- x\n", "  step lamp:\n"),
        ("  # lampwright: allow duplicate-key -- x\n  step lamp:\n", "  step lamp:\n"),
        ("  # lampwright: allow duplicate-key -- x\r\n  step lamp:\r\n", "  step lamp:\r\n"),
        (
            "  step lamp:  # lampwright: allow duplicate-key, unwired-lamp -- x\n",
            "  step lamp:  # lampwright: allow unwired-lamp -- x\n",
        ),
        (
            "  step lamp:  # lampwright: allow unwired-lamp, duplicate-key -- x\n",
            "  step lamp:  # lampwright: allow unwired-lamp -- x\n",
        ),
        (
            "  step lamp:  # lampwright: allow unwired-lamp duplicate-key -- x\n",
            "  step lamp:  # lampwright: allow unwired-lamp -- x\n",
        ),
        (
            "  step lamp:  # lampwright: allow duplicate-key unwired-lamp -- x\n",
            "  step lamp:  # lampwright: allow unwired-lamp -- x\n",
        ),
        ("  step lamp:  # lampwright: allow duplicate-key, unknown-key -- x, y\n", "  step lamp:\n"),
        (
            "  step lamp:  # lampwright: alow unwired-lamp -- x\n",
            "  step lamp:  # lampwright: allow unwired-lamp -- x\n",
        ),
    ],
)
def test_a_useless_allowance_is_taken_out_and_nothing_else(comment: str, fixed: str) -> None:
    text = put("      - front headlamp", "      - 1.5 kohm 1/4 W\n      - front headlamp")
    assert fix(put("  step lamp:\n", comment, text)) == put("  step lamp:\n", fixed, text)
