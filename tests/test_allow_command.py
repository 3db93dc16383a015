"""`lampwright allow`: where the comment goes, what it leaves alone, and when there is none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from command import BURNING, FAULTY_SHEET, SPARE, Command, Outcome, lay
from faulty_plans import faulty_plan
from lampwright.engine.excusing import Excuse, excused
from lampwright.text import Source
from test_mending import judge

NAME = "a.lights.yaml"
COMMENT = "# lampwright: allow unprotected-led -- bench only"


def allow(
    command: Command, text: str, rule: str = "unprotected-led", line: int | str = 7, reason: str = "bench only"
) -> Outcome:
    lay({NAME: text})
    return command("allow", rule, f"{NAME}:{line}", "--reason", reason)


def read() -> str:
    return Path(NAME).read_bytes().decode()


def flow(written: str) -> str:
    """BURNING with its circuit written in another way; the LED is always in it."""
    return BURNING.replace("  white: {circuit: [front headlamp]}\n", written)


PLACES = {
    # Behind the line, if that can be.
    "behind": (BURNING, 7, BURNING.replace("[front headlamp]}", f"[front headlamp]}}  {COMMENT}")),
    "behind blanks": (
        BURNING.replace("[front headlamp]}", "[front headlamp]} "),
        7,
        BURNING.replace("[front headlamp]}", f"[front headlamp]}}  {COMMENT}"),
    ),
    "windows": (BURNING.replace("\n", "\r\n"), 7, BURNING.replace("[front headlamp]}", f"[front headlamp]}}  {COMMENT}").replace("\n", "\r\n")),
    "in braces over lines": (
        flow("  white: {\n    circuit: [\n      front headlamp,\n    ]}\n"),
        9,
        flow(f"  white: {{\n    circuit: [\n      front headlamp,  {COMMENT}\n    ]}}\n"),
    ),
    # A comment that is there already is not touched: then above the entry, innermost first.
    "above": (
        BURNING.replace("[front headlamp]}", "[front headlamp]}  # as built"),
        7,
        BURNING.replace("  white: {circuit: [front headlamp]}", f"  {COMMENT}\n  white: {{circuit: [front headlamp]}}  # as built"),
    ),
    "above an item": (
        flow("  white:\n    circuit:\n      - front headlamp # as built\n"),
        9,
        flow(f"  white:\n    circuit:\n      {COMMENT}\n      - front headlamp # as built\n"),
    ),
    "above, windows": (
        BURNING.replace("[front headlamp]}", "[front headlamp]}  # as built").replace("\n", "\r\n"),
        7,
        BURNING.replace("  white: {circuit: [front headlamp]}", f"  {COMMENT}\n  white: {{circuit: [front headlamp]}}  # as built").replace("\n", "\r\n"),
    ),
    # Far to the right nobody would read it.
    "wide": (
        flow(f"  white: {{circuit: [{' ' * 60}front headlamp]}}\n"),
        7,
        flow(f"  {COMMENT}\n  white: {{circuit: [{' ' * 60}front headlamp]}}\n"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("place", PLACES)
def test_the_comment_goes_where_it_excuses_least(command: Command, place: str) -> None:
    text, line, expected = PLACES[place]
    outcome = allow(command, text, line=line)
    assert (outcome.status, outcome.err) == (0, "")
    assert re.fullmatch(rf"a\.lights\.yaml:{line}:\d+: allowed: 1 unprotected-led -- bench only\n", outcome.out)
    assert read() == expected
    checked = command.json(NAME).json
    assert [finding["allowed"] for finding in checked["findings"]] == ["bench only"]


def test_the_last_line_may_lack_its_end(command: Command) -> None:
    last = BURNING.replace("keys:\n", "").replace(
        "  F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}\n", ""
    )
    text = f"keys: {{}}\n{last}".rstrip("\n")
    assert allow(command, text, line=8).status == 0
    assert read() == f"{text}  {COMMENT}"
    assert allow(command, f"{text} # x", line=8).status == 0
    assert read().endswith(f"\n  {COMMENT}\n  white: {{circuit: [front headlamp]}} # x")


@pytest.mark.parametrize(
    ("there", "then"),
    [
        ("allow overloaded-output -- as built", "allow overloaded-output, unprotected-led -- as built; bench only"),
        ("allow overloaded-output -- bench only", "allow overloaded-output, unprotected-led -- bench only"),
        ("allow overloaded-output", "allow overloaded-output, unprotected-led -- bench only"),
        ("allow unprotected-led", "allow unprotected-led -- bench only"),
        ("allow unprotected-led --", "allow unprotected-led -- bench only"),
        (
            "allow overloaded-output dim-led -- x -- y",
            "allow overloaded-output dim-led, unprotected-led -- x -- y; bench only",
        ),
    ],
)
def test_an_allowance_of_the_line_is_joined(command: Command, there: str, then: str) -> None:
    line = "  white: {circuit: [front headlamp]}  # lampwright: "
    # That nothing is found of the other rule is another finding, then as before.
    assert allow(command, flow(f"{line}{there}\n")).status == 0
    assert read() == flow(f"{line}{then}\n")


def test_all_of_the_rule_on_the_line_or_the_one_at_the_column(command: Command) -> None:
    text = BURNING.replace("lamps:\n", "lamps:\n  step lamp: {led: {forward-voltage: 3.0 V}}\n").replace(
        "[front headlamp]", "[{parallel: [[front headlamp], [step lamp]]}]"
    )
    assert "allowed: 2 unprotected-led" in allow(command, text, line=8).out
    column = text.splitlines()[7].index("step lamp") + 1
    assert "allowed: 1 unprotected-led" in allow(command, text, line=f"8:{column}:").out


def test_what_excuses_less_is_better_than_what_is_nearer(command: Command) -> None:
    text = flow("  white:\n    circuit: [{parallel: [\n      [front headlamp], [step lamp]]}]\n")
    text = text.replace("lamps:\n", "lamps:\n  step lamp: {led: {forward-voltage: 3.0 V}}\n")
    assert allow(command, text, line="10:8").status == 0
    assert read() == text.replace("      [front", f"      {COMMENT}\n      [front")
    assert [each["line"] for each in command.json(NAME).json["findings"] if each["allowed"] is None] == [11]


REFUSED = [
    ("unprotected-led", "7", "", "an allowance needs a reason"),
    ("unprotected-led", "7", "  ", "an allowance needs a reason"),
    ("unprotected-led", "7", "two\nlines", "the reason must be plain text in one line"),
    ("unprotected-led", "7", "x\u2028outputs: {}", "the reason must be plain text in one line"),
    ("unprotected-led", "7", "x\x85outputs: {}", "the reason must be plain text in one line"),
    ("unprotected-led", "7", "\x1b[31m", "the reason must be plain text in one line"),
    ("unprotcted-led", "7", "x", "there is no rule unprotcted-led; did you mean unprotected-led?"),
    ("bogie", "7", "x", "there is no rule bogie; see lampwright explain"),
    ("unprotected-led", "x", "x", "a.lights.yaml:x is no place in a file; write one as vehicles/loco.lights.yaml:9"),
    ("unprotected-led", "6", "x", "a.lights.yaml: no unprotected-led is found on line 6; there is on line 7"),
    ("unprotected-led", "7:3", "x", "a.lights.yaml: no unprotected-led is found on line 7, column 3; there is on line 7"),
    ("unwired-lamp", "7", "x", "a.lights.yaml: no unwired-lamp is found on line 7; there is unprotected-led"),
    ("unwired-lamp", "1", "x", "a.lights.yaml: no unwired-lamp is found on line 1"),
    ("unwired-lamp", "999999999", "x", "a.lights.yaml: no unwired-lamp is found on line 999999999"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "line", "reason", "complaint"), REFUSED)
def test_what_cannot_be_excused_is_one_line(
    command: Command, rule: str, line: str, reason: str, complaint: str
) -> None:
    outcome = allow(command, BURNING, rule, line, reason)
    assert (outcome.status, outcome.out, outcome.err) == (2, "", f"lampwright: {complaint}\n")
    assert read() == BURNING


def test_a_reason_must_be_given(command: Command) -> None:
    lay({NAME: BURNING})
    outcome = command("allow", "unprotected-led", f"{NAME}:7")
    assert (outcome.status, read()) == (2, BURNING)
    assert "--reason" in outcome.err


@pytest.mark.parametrize(
    ("place", "complaint"),
    [
        ("nowhere.lights.yaml:7", "nowhere.lights.yaml: there is no such file"),
        ("notes.txt:7", "notes.txt: its name must end in"),
        ("fleet:7", "fleet:7 is no place in a file"),
        ("./-:7", "-: there is no such file"),
        (":7", ":7 is no place in a file"),
    ],
)
def test_a_place_in_no_file_of_ours_is_one_line(command: Command, place: str, complaint: str) -> None:
    lay({NAME: BURNING, "notes.txt": "", "fleet/b.lights.yaml": BURNING})
    outcome = command("allow", "unprotected-led", place, "--reason", "x")
    assert (outcome.status, outcome.out, len(outcome.err.splitlines())) == (2, "", 1)
    assert outcome.err.startswith(f"lampwright: {complaint}")


def test_what_is_allowed_already_stays(command: Command) -> None:
    assert allow(command, BURNING).status == 0
    before = read()
    outcome = allow(command, before, reason="another")
    assert outcome.err == "lampwright: a.lights.yaml: unprotected-led on line 7 is allowed already: bench only\n"
    assert (outcome.status, read()) == (2, before)


def test_a_write_protected_file_is_one_line(command: Command) -> None:
    lay({NAME: BURNING})
    Path(NAME).chmod(0o444)
    outcome = command("allow", "unprotected-led", f"{NAME}:7", "--reason", "x")
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err == "lampwright: a.lights.yaml: it is write-protected, and is left as it is\n"


def test_sheets_and_names_with_colons_have_places_too(command: Command) -> None:
    lay({"a:3.decoder.yaml": FAULTY_SHEET})
    assert command("allow", "misspelt-unit", "a:3.decoder.yaml:3", "--reason", "as printed").status == 0
    assert command("check", "a:3.decoder.yaml").status == 0


def test_an_excuse_may_stand_where_the_text_breaks_off(command: Command) -> None:
    text = SPARE.replace("keys:\n", "keys: [\n")
    lay({NAME: text})
    (found,) = [each for each in command.json(NAME).json["findings"] if each["rule"] == "syntax-error"]
    assert allow(command, text, "syntax-error", found["line"]).status == 0
    assert {each["allowed"] for each in command.json(NAME).json["findings"] if each["rule"] == "syntax-error"} == {
        "bench only"
    }


def test_every_fault_of_random_plans_can_be_excused() -> None:
    for seed in range(60):
        plan = faulty_plan(seed)
        source, look = Source("plan.lights.yaml", plan.text), judge(dict(plan.files))
        for _ in range(3):
            found = [finding for finding in look(source).findings if finding.allowed is None]
            if not found:
                break
            finding = found[-1]
            excuse = Excuse(finding.rule, source.position(finding.span.start).line, None, "on purpose")
            meant = [each for each in found if excuse.speaks_of(each, source)]
            changed = excused(source, meant, excuse, look)
            assert changed is not None, seed
            assert without_excuses(changed.text) == plan.text, seed
            source = changed
        assert [each for each in look(source).findings if each.allowed is None] == [], seed


def without_excuses(text: str) -> str:
    """`text` without the comments that excuse: those on lines of their own with their lines."""
    text = re.sub(r"(?m)^[ \t]*# lampwright: [^\r\n]*\r?\n", "", text)
    return re.sub(r"[ \t]*# lampwright: [^\r\n]*", "", text)
