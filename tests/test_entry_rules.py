"""Entries that are at odds, that add nothing, or whose key turns nothing off."""

from __future__ import annotations

import pytest

from key_rule_cases import HARD, TOO_LONG, entries, keys, named_outputs, only, plan, silent, state, undecided
from rule_cases import ERROR, WARNING
from seam import fix, report

# --- conflicting-effects ----------------------------------------------------------------------------------------------


def test_two_keys_at_odds() -> None:
    text = plan(keys(F0="output: white, brightness: 100 %", F3="output: white, when: reverse, brightness: 40 %"))
    found = only("conflicting-effects", text)
    assert (found.level, found.span.text) == (ERROR, "{output: white, when: reverse, brightness: 40 %}")
    words = 'F0 and F3 want two looks of "white" with F0 and F3 on, reverse: brightness 100 % and 40 %'
    assert found.message == words
    assert found.data == {"state": state("F0", "F3", direction="reverse")}
    assert [note.span.text for note in found.notes] == ["{output: white, brightness: 100 %}"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            plan(keys(F7="output: brown, effect: strobe"), always="[{output: brown, effect: glow}]"),
            "always and F7 want",
        ),
        (plan(always="[{output: brown, rate: 60 per minute}, {output: brown, rate: 90 per minute}]"), "always wants"),
    ],
)
def test_at_odds_with_always(text: str, words: str) -> None:
    found = [finding for finding in report(text).findings if finding.rule == "conflicting-effects"]
    assert [finding.message.startswith(f'{words} two looks of "brown" with ') for finding in found] == [True]


def test_three_keys_at_odds_are_two_findings() -> None:
    text = plan(keys(**{f"F{key}": f"output: white, brightness: {key}0 %" for key in (1, 2, 3)}))
    found = report(text).findings
    assert [finding.rule for finding in found] == ["conflicting-effects"] * 2
    assert [len(finding.notes) for finding in found] == [1, 2]


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F0="output: white, when: not F3, brightness: 90 %", F3="output: white, brightness: 40 %")),
        plan(keys(F0="output: white, when: forward", F5="output: white, when: [forward, F0], brightness: 40 %")),
        plan(keys(F0="output: white, brightness: 40 %", F3="output: white, when: moving, brightness: 40 %")),
        plan(keys(F0="output: white, brightness: 40 %", F3="output: yellow, brightness: 50 %")),
        # That is the rule conflicting-conditions.
        plan(keys(F0=("output: white, brightness: 40 %", "output: white, brightness: 50 %"))),
        # The usual look of an output gives way to an entry.
        plan(keys(F0="output: white, brightness: 40 %"), {"white": ", brightness: 100 %"}),
    ],
)
def test_keys_that_are_at_one(text: str) -> None:
    silent("conflicting-effects", text)


def test_keys_that_nobody_can_see_through() -> None:
    later = f"{{output: white, when: {HARD}, brightness: 60 %}}"
    text = plan(f"{{F0: {entries('output: white, brightness: 50 %')}, F28: {{turns-on: [{later}]}}}}")
    assert undecided("conflicting-effects", text) == [(later, TOO_LONG)]


# --- covered-entry ----------------------------------------------------------------------------------------------------

COVERED = [
    # The covered entry first, then the one that covers it; which is the later one does not matter.
    ("output: white, when: forward", "output: white"),
    ("output: white, when: [forward, moving]", "output: white, when: moving"),
    ("output: white, when: [F3, F4]", "output: white, when: {any: [F3, F5]}"),
    ("output: white, when: moving", "output: [yellow, white]"),
    ("output: white, when: moving", "output: white, brightness: 40 %"),
    ("output: white, when: moving, brightness: 40 %", "output: white, brightness: 40 %, effect: strobe"),
]


@pytest.mark.parametrize(("covered", "covering"), COVERED)
def test_the_later_entry_adds_nothing(covered: str, covering: str) -> None:
    text = plan(keys(F0=(covering, covered)))
    found = only("covered-entry", text)
    assert (found.level, found.span.text) == (WARNING, f"{{{covered}}}")
    assert found.message.startswith('this entry adds nothing: whenever it turns on "white", another one does so anyway')
    assert [note.span.text for note in found.notes] == [f"{{{covering}}}"]
    assert fix(text) == plan(keys(F0=covering), dict.fromkeys(named_outputs(covering), ""))
    assert found.fixes[0].sure


@pytest.mark.parametrize(("covered", "covering"), COVERED)
def test_the_later_entry_leaves_nothing_to_the_earlier_one(covered: str, covering: str) -> None:
    text = plan(keys(F0=(covered, covering)))
    found = only("covered-entry", text)
    assert found.span.text == f"{{{covering}}}"
    assert "leaves nothing to an earlier one" in found.message
    assert [note.span.text for note in found.notes] == [f"{{{covered}}}"]
    assert fix(text) == plan(keys(F0=covering), dict.fromkeys(named_outputs(covering), ""))


def test_of_two_entries_that_say_the_same_the_later_one_goes() -> None:
    text = plan(keys(F0="output: white, when: F3", F3="output: white, when: F0"))
    found = only("covered-entry", text)
    assert found.message.endswith("as with F0 and F3 on, forward")
    assert found.data == {"state": state("F0", "F3")}
    # The only entry goes with the key of its list.
    assert "F3: {}" in fix(text)


def test_one_that_covers_several_is_one_finding() -> None:
    text = plan(keys(F0=("output: white, when: forward", "output: white, when: F5", "output: white")))
    found = only("covered-entry", text)
    words = 'leaves nothing to 2 earlier ones: whenever one of them turns on "white", this one does so anyway'
    assert words in found.message
    assert len(found.notes) == 2
    # Of two in one list, how the one goes depends on the other.
    assert found.fixes == ()
    apart = plan(keys(F0="output: white, when: F7", F5="output: white, when: F7", F7="output: white"))
    assert only("covered-entry", apart).fixes[0].title == "Remove the 2 earlier entries"
    assert "F0: {}, F5: {}" in fix(apart)


def test_a_key_that_says_the_look_of_always_once_more_adds_nothing() -> None:
    text = plan(keys(F7="output: brown, brightness: 40 %"), always="[{output: brown, brightness: 40 %}]")
    found = only("covered-entry", text)
    assert found.message.endswith('whenever it turns on "brown", another one does so anyway, as with F7 on, forward')


def test_a_chain_of_coverings_names_the_top() -> None:
    text = plan(keys(F0=("output: white", "output: white, when: F1", "output: white, when: [F1, F2]")))
    found = report(text).findings
    assert [finding.rule for finding in found] == ["covered-entry"] * 2
    assert [finding.notes[0].span.text for finding in found] == ["{output: white}"] * 2


def test_a_comment_that_would_go_makes_a_fix_unsure() -> None:
    block = "\n  F0:\n    turns-on:\n      - {output: white}\n      - {output: white, when: forward}  # for the yard\n"
    text = plan(block, {"white": ""})
    (found,) = report(text).findings
    assert [each.sure for each in found.fixes] == [False]
    assert "yard" not in fix(text)
    (found,) = report(text.replace("  # for the yard", "")).findings
    assert [each.sure for each in found.fixes] == [True]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            "\n  F0:\n    turns-on:\n    - output: white\n    # both ways\n    - output: white\n      when: forward\n  F2: {}\n",
            "\n  F0:\n    turns-on:\n    - output: white\n    # both ways\n  F2: {}\n",
        ),
        (
            "\n  F0: {turns-on: [{output: white}]}\n  F3:\n    label: Old\n    turns-on:\n    - {output: white, when: F0}\n",
            "\n  F0: {turns-on: [{output: white}]}\n  F3:\n    label: Old\n",
        ),
    ],
)
def test_what_is_taken_out_in_a_block(before: str, after: str) -> None:
    assert fix(plan(before, {"white": ""})) == plan(after, {"white": ""})


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F0=("output: white, when: forward", "output: white, when: reverse"))),
        plan(keys(F0=("output: white, when: forward", "output: white, when: moving"))),
        # By two others together, but by no other one.
        plan(keys(F0=("output: white, when: forward", "output: white, when: reverse", "output: white, when: F5"))),
        plan(keys(F0=("output: white", "output: yellow", "output: [white, yellow], when: F5"))),
        # It dims.
        plan(keys(F0="output: white, when: forward", F5="output: white, when: [forward, F0], brightness: 40 %")),
        plan(keys(F0=("output: white, brightness: 80 %", "output: white, when: moving, brightness: 40 %"))),
        # One of its outputs is not turned on elsewhere.
        plan(keys(F0=("output: white", "output: [white, yellow], when: moving"))),
        # An entry that never holds is a mistake of its own, and leaves no other one superfluous.
        plan(keys(F0=("output: white", "output: white, when: [forward, reverse]"))),
        # Each is a mistake of its own.
        plan(keys(F0=("output: white", "output: white, when: frward"))),
        plan(keys(F0=("output: white", "output: white, when: moving, brightness: 40"))),
    ],
)
def test_entries_that_say_something(text: str) -> None:
    silent("covered-entry", text)


def test_an_entry_that_nobody_can_see_through() -> None:
    hard = f"{{output: white, when: {HARD}}}"
    text = plan(f"{{F0: {{turns-on: [{{output: white, when: moving}}, {hard}]}}}}")
    assert undecided("covered-entry", text) == [("{output: white, when: moving}", TOO_LONG), (hard, TOO_LONG)]


# --- always-lit -------------------------------------------------------------------------------------------------------

ALWAYS_LIT = [
    ("[{output: brown}]", "output: brown", "brown"),
    ("[{output: brown, brightness: 40 %}]", "output: brown, when: moving", "brown"),
    ("[{output: brown, when: forward}, {output: brown, when: reverse}]", "output: [white, brown]", "brown"),
    ("[{output: brown, when: not F7}]", "output: brown", "brown"),
]


@pytest.mark.parametrize(("always", "entry", "culprit"), ALWAYS_LIT)
def test_a_key_that_turns_nothing_off(always: str, entry: str, culprit: str) -> None:
    found = only("always-lit", plan(keys(F7=entry), always=always))
    assert (found.level, found.span.text) == (WARNING, culprit)
    assert found.message == 'F7 cannot turn "brown" off: it burns in every state, also with all keys off, forward'
    assert found.data == {"state": state()}
    assert [note.span.text for note in found.notes] == [f"{{{each}}}" for each in always[2:-2].split("}, {")]


@pytest.mark.parametrize(
    "text",
    [
        plan(always="[{output: brown}]"),
        plan(keys(F7="output: brown"), always="[{output: brown, when: moving}]"),
        plan(keys(F7="output: brown"), always="[{output: brown, when: F5}]"),
        plan(keys(F7="output: brown")),
        # It dims what burns always.
        plan(keys(F7="output: brown, brightness: 40 %"), always="[{output: brown}]"),
        plan(keys(F7="output: white"), always="[{output: brown}]"),
    ],
)
def test_a_key_that_turns_something_off(text: str) -> None:
    silent("always-lit", text)


def test_always_is_too_hard_to_say() -> None:
    text = plan(keys(F0="output: brown"), always=f"[{{output: brown, when: {HARD}}}]")
    assert undecided("always-lit", text) == [("brown", TOO_LONG)]
