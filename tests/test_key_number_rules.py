"""Keys that the decoder does not know or the club means otherwise, and addresses that no packet can carry."""

from __future__ import annotations

import pytest

from key_rule_cases import NOTE, SHEET, keys, only, plan, silent, undecided
from lampwright.model.settings import Settings
from rule_cases import ERROR, WARNING
from seam import fix

# --- key-out-of-reach -------------------------------------------------------------------------------------------------


def reaching(highest: int | None) -> str:
    return SHEET.replace("keys: {highest: 28}, ", f"keys: {{highest: {highest}}}, " if highest is not None else "")


@pytest.mark.parametrize(
    ("text", "culprit", "words"),
    [
        (plan(keys(F13="output: brown"), sheet=reaching(12)), "F13", '"F13" is above the highest key of this decoder, F12'),
        (plan("{F68: {label: Coupler, momentary: true}}", sheet=reaching(67)), "F68", '"F68" is above'),
        (plan(keys(F3="output: brown, when: [forward, F13]"), sheet=reaching(12)), "[forward, F13]", '"F13" is above'),
        (plan(keys(F3="output: brown, when: {any: [F15, F13]}"), sheet=reaching(12)), "{any: [F15, F13]}", '"F13" and "F15" are above the highest key of this decoder, F12'),
        (plan(always="[{output: brown, when: F1}]", sheet=reaching(0)), "F1", '"F1" is above'),
        (plan(keys(F3="output: brown"), vehicle=", consist: {address: 4, keys: [F0, F13]}", sheet=reaching(12)), "F13", '"F13" is above'),
    ],
)  # fmt: skip
def test_a_key_that_the_decoder_does_not_know(text: str, culprit: str, words: str) -> None:
    found = only("key-out-of-reach", text)
    assert (found.level, found.span.text) == (ERROR, culprit)
    assert words in found.message
    assert [note.span.text.isdigit() for note in found.notes] == [True]


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F12="output: brown"), sheet=reaching(12)),
        plan(keys(F68="output: brown"), sheet=reaching(68)),
        # That a key is off which cannot be on is true.
        plan(keys(F3="output: brown, when: not F13"), sheet=reaching(12)),
        plan(sheet=reaching(None)),
    ],
)
def test_keys_that_the_decoder_knows(text: str) -> None:
    silent("key-out-of-reach", text)


def test_a_decoder_that_does_not_say_how_far_it_goes() -> None:
    # NMRA S-9.2.1 (2012) ends at F28; F29 to F68 are of RCN-212, which was read second-hand: a note at most.
    found = only("key-out-of-reach", plan(keys(F28="output: brown", F29="output: brown"), sheet=reaching(None)))
    assert (found.level, found.span.text) == (NOTE, "F29")
    assert "above F28, where the packets of S-9.2.1 (2012) end" in found.message
    text = plan(keys(F0="output: brown", F28="output: white"), sheet=reaching(None))
    assert undecided("key-out-of-reach", text) == [("F28", "the highest key on the decoder sheet")]


# --- key-off-convention -----------------------------------------------------------------------------------------------

CLUB = Settings(keys={0: "Headlamps", 2: "Horn or whistle", 7: "Cab", 8: "Firebox", 9: "Fire: red"})


def labelled(key: str, label: str) -> str:
    return plan(f"{{{key}: {{label: {label}, turns-on: [{{output: brown}}]}}}}")


@pytest.mark.parametrize(
    ("key", "label", "meant", "fixed"),
    [
        ("F7", "Cab light", "Cab", "Cab"),
        ("F2", "'Bell'", "Horn or whistle", "Horn or whistle"),
        ("F9", "Glow", "Fire: red", '"Fire: red"'),
    ],
)
def test_a_key_with_a_meaning_of_its_own(key: str, label: str, meant: str, fixed: str) -> None:
    found = only("key-off-convention", labelled(key, label), CLUB)
    assert (found.level, found.span.text) == (WARNING, label)
    assert found.message == f'{key} is "{meant}" by the club\'s convention, not "{label.strip(chr(39))}"'
    assert [each.sure for each in found.fixes] == [False]
    assert fix(labelled(key, label), settings=CLUB) == labelled(key, fixed)


def test_a_meaning_that_belongs_to_another_key_is_not_written_over() -> None:
    found = only("key-off-convention", labelled("F7", "firebox"), CLUB)
    assert found.message == 'F7 is "Cab" by the club\'s convention, not "firebox"; "firebox" is F8'
    assert found.fixes == ()


@pytest.mark.parametrize(
    "text",
    [
        labelled("F7", "Cab"),
        labelled("F7", "CAB"),
        labelled("F2", "Horn  or Whistle"),
        labelled("F0", "Head lamps"),
        labelled("F12", "Coupler"),
        labelled("F12", "Cab"),
        plan("{F13: {turns-on: [{output: brown}]}}"),
    ],
)
def test_keys_as_the_club_has_them(text: str) -> None:
    silent("key-off-convention", text, CLUB)
    silent("key-off-convention", text)


def test_a_key_without_a_label_may_mean_anything() -> None:
    for text in (plan(keys(F7="output: brown")), labelled("F7", "[]")):
        assert undecided("key-off-convention", text, CLUB) == [("F7", "a label")]
        silent("key-off-convention", text)


# --- address-out-of-range ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", ["0", "10240", "20000", "99999999999999999999"])
@pytest.mark.parametrize("form", ["address: {}", "address: {{long: {}}}"])
def test_an_address_that_no_packet_can_carry(number: str, form: str) -> None:
    # NMRA S-9.2.1 (2012), section A: 1 to 127 and, with a first byte of 192 to 231, up to 39 * 256 + 255 = 10239.
    found = only("address-out-of-range", plan(vehicle=f", {form.format(number)}"))
    assert (found.level, found.span.text) == (ERROR, number)
    assert found.message == f'"{number}" is no address: a short one is 1 to 127, a long one 128 to 10239'


@pytest.mark.parametrize("number", ["1", "3", "127", "128", "10239"])
@pytest.mark.parametrize("form", ["address: {}", "address: {{long: {}}}"])
def test_an_address_in_its_range(number: str, form: str) -> None:
    silent("address-out-of-range", plan(vehicle=f", {form.format(number)}"))


@pytest.mark.parametrize("number", ["0", "128", "10239"])
def test_an_address_of_a_consist_that_does_not_fit(number: str) -> None:
    # NMRA S-9.2.2 (2012): bits 0 to 6 of CV19, of which 0 means no consist.
    found = only("address-out-of-range", plan(vehicle=f", consist: {{address: {number}}}"))
    assert (found.level, found.span.text) == (ERROR, number)
    assert found.message == f'"{number}" is no address of a consist: CV19 holds 1 to 127'


@pytest.mark.parametrize("vehicle", ["", ", consist: {address: 1}", ", consist: {address: 127}", ", address: []"])
def test_vehicles_without_a_wrong_address(vehicle: str) -> None:
    silent("address-out-of-range", plan(vehicle=vehicle))
