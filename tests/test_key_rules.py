"""What the keys can turn on: conditions that no state meets, and entries of one key that are at odds."""

from __future__ import annotations

import pytest

from rule_cases import ERROR, REACHING, Loud, assert_loud, assert_silent, has_name, lacks, plan
from seam import report, says

TWO = {"yellow": "[1.5 kohm 1 W, led b]"}


def keyed(keys: str, *, always: str = "", **how: str) -> str:
    """A plan whose keys are written in one line, in braces; something hangs on those of its outputs that they name."""
    more = how.pop("more", "") + (f"always: {always}\n" if always else "")
    others = TWO if "yellow" in keys + always else {}
    return plan(keys=keys, more=more, **{**others, **how})


def under_f0(*entries: str) -> str:
    return keyed(f"{{F0: {{turns-on: [{', '.join(f'{{{entry}}}' for entry in entries)}]}}}}")


# --- impossible-condition ---------------------------------------------------------------------------------------------

IMPOSSIBLE = [
    # The condition as it is written, and where a key or `always` is around it.
    ("[forward, reverse]", "under F0"),
    ("[moving, stopped]", "under F0"),
    ("[F3, not F3]", "under F0"),
    # The key that the entry stands under is on.
    ("not F0", "under F0"),
    ("[not F0, forward]", "under F0"),
    ("[not forward, not reverse]", "under F0"),
    ("[not forward, forward]", "under F0"),
    # At least one of none.
    ("{any: []}", "under F0"),
    ("{any: [not F0, [forward, reverse], {any: []}]}", "under F0"),
    ("[F1, [F2, [F3, {any: [not F1, not F2, not F3]}]]]", "under F0"),
]


@pytest.mark.parametrize(("condition", "under"), IMPOSSIBLE)
def test_impossible_condition(condition: str, under: str) -> None:
    message = f'no state meets "{condition}" {under}'
    assert_loud(
        "impossible-condition", Loud("", under_f0(f"output: white, when: {condition}"), ERROR, condition, (message,))
    )


HINT = "; a list means all of it at once, {any: [...]} at least one"


@pytest.mark.parametrize("condition", ["[forward, reverse]", "[F0, not F0]", "{any: []}"])
def test_impossible_under_no_key(condition: str) -> None:
    text = keyed("{}", always=f"[{{output: white, when: {condition}}}]")
    hint = HINT if condition.startswith("[") else ""
    assert says(text) == [("impossible-condition", condition, f'no state meets "{condition}"{hint}')]


def test_the_condition_of_a_list_below_is_marked_and_quoted_in_one_line() -> None:
    text = keyed(
        "\n  F7:\n    turns-on:\n      - output: white\n        when:\n          - forward\n          - reverse"
    )
    (finding,) = report(text).findings
    assert finding.span.text == "- forward\n          - reverse"
    assert finding.message == f'no state meets "- forward - reverse" under F7{HINT}'


@pytest.mark.parametrize(
    "condition",
    [
        "forward",
        "[]",
        "[forward, moving, F0, F68, not F1]",
        "[forward, not reverse]",
        "{any: [not F0, stopped]}",
        "{any: [forward, reverse]}",
        "[{any: [forward, moving]}, {any: [reverse, stopped]}]",
    ],
)
def test_possible_condition(condition: str) -> None:
    assert_silent("impossible-condition", under_f0(f"output: white, when: {condition}"))
    # What would contradict under F0 is nothing to F1.
    assert_silent("impossible-condition", keyed("{F1: {turns-on: [{output: white, when: not F0}]}}"))


@pytest.mark.parametrize("condition", ["[forward, reverse, frward]", "{any: [F99]}"])
def test_a_condition_that_could_not_be_read_is_another_mistake(condition: str) -> None:
    assert [rule for rule, _, _ in says(under_f0(f"output: white, when: {condition}"))] == ["unknown-name"]


def test_a_question_that_takes_too_long() -> None:
    # Thirty pairs of keys that are on alike: in the order of their numbers nobody keeps 2 to the 30th cases apart.
    pairs = [f"{{any: [[F{key}, F{key + 30}], [not F{key}, not F{key + 30}]]}}" for key in range(1, 31)]
    hard = f"[{', '.join(pairs)}]"
    later = f"{{output: white, when: {hard}, brightness: 60 %}}"
    entries = f"[{{output: white, brightness: 50 %}}, {later}]"
    whole = report(keyed(f"{{F0: {{turns-on: {entries}}}}}", sheet=REACHING))
    lack = "an answer within the time for one question"
    assert whole.findings == ()
    assert lacks(whole, "impossible-condition") == [(hard, lack)]
    assert lacks(whole, "conflicting-conditions") == [(later, lack)]


# --- conflicting-conditions -------------------------------------------------------------------------------------------

CONFLICTING = [
    Loud(
        "brightness",
        under_f0("output: white, brightness: 100 %", "output: white, when: stopped, brightness: 40 %"),
        ERROR,
        "{output: white, when: stopped, brightness: 40 %}",
        ('F0 wants two looks of "white" with F0 on, forward: brightness 100 % and 40 %',),
        {"state": {"keys": ["F0"], "direction": "forward", "moving": False}},
        related=("{output: white, brightness: 100 %}",),
    ),
    Loud(
        "effect",
        under_f0("output: white, effect: strobe", "output: white, effect: wagging lamp, when: [reverse, moving]"),
        ERROR,
        "{output: white, effect: wagging lamp, when: [reverse, moving]}",
        ('with F0 on, reverse, moving: effect "strobe" and "wagging lamp"',),
        {"state": {"keys": ["F0"], "direction": "reverse", "moving": True}},
    ),
    Loud(
        "rate",
        under_f0("output: white, rate: 60 per minute", "output: white, rate: 90 per minute"),
        ERROR,
        "{output: white, rate: 90 per minute}",
        ("rate 60 per minute and 90 per minute",),
    ),
    Loud(
        "several properties",
        under_f0(
            "output: white, effect: strobe, brightness: 50 %, rate: 60 per minute",
            "output: white, effect: beacon, brightness: 60 %, rate: 60 per minute",
        ),
        ERROR,
        "{output: white, effect: beacon, brightness: 60 %, rate: 60 per minute}",
        ('forward: effect "strobe" and "beacon" and brightness 50 % and 60 %',),
    ),
    Loud(
        "several outputs",
        under_f0("output: [white, yellow], brightness: 50 %", "output: [yellow, white], brightness: 60 %"),
        ERROR,
        "{output: [yellow, white], brightness: 60 %}",
        ('F0 wants two looks of "white" and "yellow" with F0 on, forward',),
    ),
    Loud(
        "one output in common",
        under_f0("output: [white, yellow], brightness: 50 %", "output: yellow, brightness: 60 %"),
        ERROR,
        "{output: yellow, brightness: 60 %}",
        ('two looks of "yellow" with',),
    ),
    Loud(
        "with another key on",
        under_f0("output: white, when: F3, brightness: 50 %", "output: white, when: [F7, not F1], brightness: 60 %"),
        ERROR,
        "{output: white, when: [F7, not F1], brightness: 60 %}",
        ("with F0, F3 and F7 on, forward: brightness",),
        {"state": {"keys": ["F0", "F3", "F7"], "direction": "forward", "moving": False}},
    ),
    Loud(
        "at least one of",
        under_f0("output: white, when: {any: [F3, reverse]}, brightness: 50 %", "output: white, brightness: 60 %"),
        ERROR,
        "{output: white, brightness: 60 %}",
        ("with F0 on, reverse: brightness 50 % and 60 %",),
    ),
    Loud(
        "steady is an effect like others",
        under_f0("output: white, effect: steady", "output: white, effect: strobe"),
        ERROR,
        "{output: white, effect: strobe}",
        ('effect "steady" and "strobe"',),
    ),
]


@pytest.mark.parametrize("case", CONFLICTING, ids=has_name)
def test_conflicting_conditions(case: Loud) -> None:
    assert_loud("conflicting-conditions", case)


def test_three_ways_are_two_findings() -> None:
    text = under_f0(
        *(f"output: white, when: {when}, brightness: {share} %" for when, share in [("F1", 10), ("F2", 20), ("F3", 30)])
    )
    found = report(text).findings
    assert [finding.rule for finding in found] == ["conflicting-conditions"] * 2
    # The second is at odds with the first, the third with both: one finding, which names both places.
    assert [[note.span.text[-5:-1] for note in finding.notes] for finding in found] == [["10 %"], ["10 %", "20 %"]]
    assert [note.message for note in found[1].notes] == [
        "the other one is wanted here",
        "and another one here, with F0, F2 and F3 on, forward",
    ]
    assert found[1].message == 'F0 wants two looks of "white" with F0, F1 and F3 on, forward: brightness 10 % and 30 %'


def test_each_key_for_itself() -> None:
    pair = "{turns-on: [{output: white, brightness: 50 %}, {output: white, brightness: 60 %}]}"
    keys = f"{{F3: {pair}, F12: {pair.replace('white', 'yellow')}}}"
    assert [message.split(" wants")[0] for _, _, message in says(keyed(keys))] == ["F3", "F12"]


@pytest.mark.parametrize(
    "entries",
    [
        # Conditions that exclude each other.
        ("output: white, when: forward, brightness: 50 %", "output: white, when: reverse, brightness: 60 %"),
        ("output: white, when: F3, brightness: 50 %", "output: white, when: not F3, brightness: 60 %"),
        ("output: white, when: [moving, F2], brightness: 50 %", "output: white, when: {any: [stopped, not F2]}, brightness: 60 %"),
        # The same look, another output, another property; an entry that names none asks for none.
        ("output: white, brightness: 50 %", "output: white, when: forward, brightness: 50 %"),
        ("output: white, brightness: 50 %", "output: yellow, brightness: 60 %"),
        ("output: white, effect: strobe", "output: white, brightness: 60 %"),
        ("output: white, brightness: 50 %", "output: white"),
        ("output: white", "output: white"),
        ("output: white",),
        # An entry that never holds is a mistake of its own.
        ("output: white, brightness: 50 %", "output: white, when: [forward, reverse], brightness: 60 %"),
    ],
)  # fmt: skip
def test_entries_that_agree(entries: tuple[str, ...]) -> None:
    assert_silent("conflicting-conditions", under_f0(*entries))


@pytest.mark.parametrize(
    "text",
    [
        # Between two keys, with `always` and inside it: that is the rule conflicting-effects.
        keyed(
            "{F0: {turns-on: [{output: white, brightness: 50 %}]}, F1: {turns-on: [{output: white, brightness: 60 %}]}}"
        ),
        keyed("{F0: {turns-on: [{output: white, brightness: 50 %}]}}", always="[{output: white, brightness: 60 %}]"),
        keyed("{}", always="[{output: white, brightness: 50 %}, {output: white, brightness: 60 %}]"),
        # The usual look of an output gives way to an entry.
        keyed("{F0: {turns-on: [{output: white, brightness: 50 %}]}}").replace("led a]}", "led a], brightness: 60 %}"),
    ],
)
def test_looks_of_two_places(text: str) -> None:
    assert_silent("conflicting-conditions", text)


def test_an_entry_that_could_not_be_read_is_left_out() -> None:
    text = under_f0("output: white, brightness: 50 %", "output: white, when: frward, brightness: 60 %")
    assert [rule for rule, _, _ in says(text)] == ["unknown-name"]
