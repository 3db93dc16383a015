"""Outputs that burn the wrong way round, never, only while a key is pressed, or with nothing on them."""

from __future__ import annotations

import pytest

from key_rule_cases import HARD, NOTE, TOO_LONG, UNREAD, entries, keys, only, plan, silent, state, undecided
from rule_cases import WARNING
from seam import report

# --- wrong-way-headlamp -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "culprit", "words"),
    [
        (plan(keys(F0="output: white, when: reverse")), "reverse", '"white" is the wire of the front headlamp but burns in reverse only, as with F0 on, reverse'),
        (plan(keys(F0="output: yellow, when: [forward, moving]")), "[forward, moving]", '"yellow" is the wire of the rear headlamp but burns forward only, as with F0 on, forward, moving'),
        (plan(keys(F0="output: white, when: reverse"), lamps={"white": "Front head light"}), "reverse", '"white" feeds "Front head light" but burns in reverse only'),
        (plan(keys(F0="output: green, when: forward"), lamps={"green": "left rear headlamp"}), "forward", '"green" feeds "left rear headlamp" but burns forward only'),
        (plan(always="[{output: white, when: reverse}]"), "reverse", "as with all keys off, reverse"),
        (plan(keys(F0="output: white, when: [reverse, F3]", F6="output: white, when: [reverse, moving]")), "[reverse, F3]", "as with F6 on, reverse, moving"),
    ],
)  # fmt: skip
def test_a_headlamp_against_its_direction(text: str, culprit: str, words: str) -> None:
    found = only("wrong-way-headlamp", text)
    assert (found.level, found.span.text) == (WARNING, culprit)
    assert words in found.message
    assert set(found.data["state"]) == {"keys", "direction", "moving"}


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F0=("output: white, when: forward", "output: yellow, when: reverse"))),
        plan(keys(F0="output: white")),
        plan(keys(F0="output: white, when: reverse", F6="output: [white, yellow]")),
        plan(keys(F0="output: green, when: reverse")),
        # A tail lamp at the front burns in reverse.
        plan(keys(F0="output: white, when: reverse"), lamps={"white": "left tail lamp"}),
        plan(keys(F0="output: white, when: reverse"), lamps={"white": "rear headlamp"}),
        plan(keys(F0="output: white, when: [forward, reverse]")),
        plan(keys(F1="output: brown"), {"white": "", "brown": ""}),
        plan(keys(F0="output: white"), vehicle=", reversed: true"),
    ],
)
def test_a_headlamp_that_shows_the_way(text: str) -> None:
    silent("wrong-way-headlamp", text)


def test_what_the_name_of_a_lamp_says_counts_more_than_the_colour_of_its_wire() -> None:
    text = plan(keys(F0="output: white, when: forward"), lamps={"white": "rear headlamp"})
    (found,) = (finding for finding in report(text).findings if finding.rule == "wrong-way-headlamp")
    assert found.message == '"white" feeds "rear headlamp" but burns forward only, as with F0 on, forward'


def test_a_headlamp_that_nobody_can_judge() -> None:
    end = "the end that leads where the decoder runs the other way"
    for way in ("forward", "reverse"):
        text = plan(keys(F0=f"output: white, when: {way}"), vehicle=", reversed: true")
        assert undecided("wrong-way-headlamp", text) == [("white", end)]
    text = plan(keys(F0="output: white, when: reverse", F3="output: white, when: frward"))
    assert undecided("wrong-way-headlamp", text) == [("white", "entries that can be read")]
    text = plan(keys(F0="output: white, when: reverse", F28=f"output: white, when: {HARD}"))
    assert undecided("wrong-way-headlamp", text) == [("white", TOO_LONG)]


# --- dark-output and empty-output -------------------------------------------------------------------------------------


def test_a_circuit_that_nothing_turns_on() -> None:
    found = only("dark-output", plan(keys(F0="output: white, when: forward"), {"white": "", "brown": ""}))
    assert (found.level, found.span.text) == (WARNING, "brown")
    assert found.message == 'nothing turns on "brown": no key names it, and no entry of always'
    only("dark-output", plan("{F2: {label: Horn}}", {"brown": ""}))
    only("dark-output", plan(always="[{output: white}]", outputs={"white": "", "brown": ""}))


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F0="output: [white, brown]")),
        plan(always="[{output: brown, when: moving}]"),
        # That nothing ever turns it on is said where it is meant to be.
        plan(keys(F0="output: brown, when: [forward, reverse]")),
        plan(keys(F0="output: white"), {"white": "", "brown": ""}).replace("[lamp of brown]", "[]").replace("  lamp of brown: {bulb: {voltage: 14 V, current: 30 mA}}\n", ""),
        # That the decoder has no such output is said already.
        plan(keys(F0="output: white"), {"white": "", "brwn": ""}),
        # So is what the key was meant for.
        plan(keys(F0="output: [white, brwn]"), {"white": ""}),
    ],
)  # fmt: skip
def test_circuits_that_something_turns_on(text: str) -> None:
    silent("dark-output", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan(outputs={"brown": ""}), "a key that turns anything on"),
        (plan("{F0: {turns-on: [{output: brwn}]}}", {"brown": ""}), "keys that can all be read"),
        (plan("{F0: {turns-on: 12}}", {"brown": ""}), "keys that can all be read"),
        (plan("12", {"brown": ""}), "keys that can all be read"),
        (plan("{F0: {}}", {"brown": ""}).replace("[lamp of brown]", "12"), "a circuit that can be read"),
    ],
)
def test_circuits_that_may_be_turned_on(text: str, lack: str) -> None:
    assert undecided("dark-output", text) == [("brown", lack)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (plan(keys(F3="output: [white, green]"), {"white": ""}), 'F3 turns on "green", but nothing hangs on it'),
        (plan(keys(F0="output: white"), {"white": ""}, always="[{output: green, when: moving}]"), 'an entry of always turns on "green", but nothing hangs on it'),
        (plan(keys(F3="output: green"), {"green": ""}).replace("[lamp of green]", "[]").replace("  lamp of green: {bulb: {voltage: 14 V, current: 30 mA}}", "  {}"), 'F3 turns on "green", but nothing hangs on it'),
        (plan(keys(F3="output: green"), {"green": ""}).replace("[lamp of green]", "[{parallel: [[], []]}]").replace("  lamp of green: {bulb: {voltage: 14 V, current: 30 mA}}", "  {}"), 'F3 turns on "green", but nothing hangs on it'),
    ],
)  # fmt: skip
def test_an_output_with_nothing_on_it(text: str, words: str) -> None:
    found = only("empty-output", text)
    assert (found.level, found.span.text, found.message) == (WARNING, "green", words)


def test_an_empty_output_may_be_a_slip_where_no_sheet_says_what_there_is() -> None:
    text = plan(keys(F3=("output: gren", "output: green")), {"green": ""}, sheet="{common: {drop: 1.4 V}}")
    found = only("empty-output", text)
    assert found.message == 'F3 turns on "gren", but nothing hangs on it; did you mean "green"?'


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F3="output: green")),
        plan("{F2: {label: Horn}, F3: {turns-on: []}}"),
        # It turns nothing on, and that is said already.
        plan(keys(F3="output: green, when: [forward, reverse]"), {}),
        # What hangs on it could not be read; that something does could.
        plan(keys(F3="output: green")).replace("[lamp of green]", "[lmp of green]"),
        plan(keys(F3="output: green")).replace("[lamp of green]", "12"),
    ],
)
def test_outputs_with_something_on_them(text: str) -> None:
    silent("empty-output", text)


def test_an_output_that_may_have_been_meant_by_another_name() -> None:
    text = plan(keys(F3="output: green"), {"gren": ""})
    assert [finding.rule for finding in report(text).findings] == ["unknown-name"]
    assert undecided("empty-output", text) == [("green", "outputs whose names can all be read")]


# --- momentary-light --------------------------------------------------------------------------------------------------


def momentary(key: str, *items: str) -> str:
    return f"{key}: {entries(*items).replace('{turns-on', '{momentary: true, turns-on', 1)}"


@pytest.mark.parametrize(
    ("text", "words", "witness"),
    [
        (plan(f"{{{momentary('F4', 'output: green')}}}"), 'F4 is momentary, so "green" burns only while it is pressed, as with F4 on, forward', state("F4")),
        (plan(f"{{{momentary('F4', 'output: [green, violet], effect: steady')}}}"), '"green" and "violet" burn only', state("F4")),
        (plan(f"{{{momentary('F4', 'output: green')}}}", always="[{output: green, when: forward}]"), "as with F4 on, reverse", state("F4", direction="reverse")),
        # The entry's own wish goes before that of the output.
        (plan(f"{{{momentary('F4', 'output: green, effect: steady')}}}", {"green": ", effect: strobe"}), '"green" burns only', state("F4")),
        (plan(f"{{{momentary('F4', 'output: green, when: not F3', 'output: green, when: F3, effect: strobe')}}}"), '"green" burns only', state("F4")),
    ],
)  # fmt: skip
def test_a_steady_light_on_a_momentary_key(text: str, words: str, witness: dict[str, object]) -> None:
    found = only("momentary-light", text)
    assert found.level == NOTE
    assert words in found.message
    assert found.data == {"state": witness}
    assert [note.span.text for note in found.notes] == ["F4"]


@pytest.mark.parametrize(
    "text",
    [
        plan("{F2: {label: Horn, momentary: true}}"),
        plan(keys(F4="output: green")),
        plan(keys(F4="output: green").replace("{turns-on", "{momentary: false, turns-on")),
        plan(f"{{{momentary('F4', 'output: green, effect: strobe')}}}"),
        plan(f"{{{momentary('F4', 'output: green')}}}", {"green": ", effect: strobe"}),
        # Another key has lit it already; this one dims it.
        plan(f"{{F0: {entries('output: green')}, {momentary('F4', 'output: green, when: F0, brightness: 40 %')}}}"),
        # Nothing hangs on it, which is said already.
        plan(f"{{{momentary('F4', 'output: green')}}}", {}),
        plan(f"{{{momentary('F4', 'output: green, when: [forward, reverse]')}}}"),
    ],
)
def test_what_a_momentary_key_may_do(text: str) -> None:
    silent("momentary-light", text)


def test_a_momentary_key_that_nobody_can_judge() -> None:
    for item in ("output: green, effect: strob", "output: green, rate: 12"):
        text = plan(f"{{{momentary('F4', item)}}}")
        assert undecided("momentary-light", text) == [(f"{{{item}}}", UNREAD)]
    text = plan(f"{{{momentary('F4', 'output: green')}, F5: {entries('output: green, when: frward')}}}")
    assert undecided("momentary-light", text) == [("{output: green}", UNREAD)]
    text = plan(f"{{{momentary('F28', 'output: green')}, F27: {entries(f'output: green, when: {HARD}')}}}")
    assert undecided("momentary-light", text) == [("{output: green}", TOO_LONG)]


def test_what_a_decoder_turns_on_by_itself_is_not_dark() -> None:
    sheet = "keys: {mapping: fixed, fixed: {F0: [{output: white}]}}"
    text = plan(keys(F1="output: yellow")).replace("decoder: {", f"decoder: {{{sheet}, ")
    assert [finding.rule for finding in report(text).findings if finding.rule == "dark-output"] == []
