"""Effects at rates that no prototype shows or that the decoder cannot set, and effects that lack their pair."""

from __future__ import annotations

import pytest

from key_rule_cases import EFFECTS, HARD, NOTE, SHEET, TOO_LONG, UNREAD, keys, only, plan, silent, state, undecided
from rule_cases import ERROR
from seam import report

# --- flash-rate-off-practice and rate-out-of-range --------------------------------------------------------------------


def flashing(effect: str, rate: str, when: str = "") -> str:
    return plan(keys(F5=f"output: brown{when}, effect: {effect}, rate: {rate} per minute"))


@pytest.mark.parametrize("rate", ["39", "39.9", "30", "10", "181", "180.1", "300"])
def test_a_flash_that_no_prototype_shows(rate: str) -> None:
    # 49 CFR 229.133(b)(1): strobes flash 40 to 180 times a minute.
    found = only("flash-rate-off-practice", flashing("strobe", rate))
    assert (found.level, found.span.text) == (NOTE, f"{rate} per minute")
    assert found.message == (
        f'"strobe" on "brown" flashes at {rate} per minute with F5 on, forward;'
        " the prototype flashes at 40 to 180 per minute"
    )
    assert found.data["state"] == state("F5")
    assert found.data["limit"] == pytest.approx((40 if float(rate) < 40 else 180) / 60)


@pytest.mark.parametrize("rate", ["40", "60", "180"])
def test_a_flash_as_of_the_prototype(rate: str) -> None:
    silent("flash-rate-off-practice", flashing("strobe", rate))


@pytest.mark.parametrize("effect", ["firebox flicker", "steady"])
def test_what_does_not_flash(effect: str) -> None:
    silent("flash-rate-off-practice", flashing(effect, "10"))
    silent("flash-rate-off-practice", plan(keys(F5="output: brown, rate: 10 per minute")))


def test_rate_and_effect_may_be_named_in_two_places() -> None:
    rates = {"brown": ", effect: beacon"}
    found = only("rate-out-of-range", plan(keys(F5="output: brown, when: F3, rate: 150 per minute"), rates))
    assert (found.level, found.span.text) == (ERROR, "150 per minute")
    assert found.message == (
        '"beacon" on "brown" is to have 150 per minute with F3 and F5 on, forward;'
        " this decoder can set it to 50 to 120 per minute"
    )
    assert found.data == {"limit": 2.0, "state": state("F3", "F5")}
    assert [note.span.text for note in found.notes] == ["50 to 120 per minute"]
    # Another entry that names the effect brings the two together.
    text = plan(keys(F5="output: brown, rate: 150 per minute", F6="output: brown, when: [F5, reverse], effect: beacon"))
    assert only("rate-out-of-range", text).data["state"] == state("F5", "F6", direction="reverse")
    # A rate of the output's own counts where no entry names one.
    text = plan(keys(F5="output: brown, effect: beacon"), {"brown": ", rate: 45 per minute"})
    assert only("rate-out-of-range", text).data == {"limit": pytest.approx(50 / 60), "state": state("F5")}


def test_a_rate_of_an_output_that_no_key_names() -> None:
    found = report(plan(outputs={"brown": ", effect: beacon, rate: 150 per minute"})).findings
    assert [(each.rule, each.data) for each in found] == [("rate-out-of-range", {"limit": 2.0})]
    assert found[0].message.startswith('"beacon" on "brown" is to have 150 per minute; this decoder')


@pytest.mark.parametrize(
    "text",
    [
        flashing("beacon", "50"),
        flashing("beacon", "120"),
        flashing("steady", "300"),
        plan(keys(F5="output: brown, rate: 170 per minute")),
        plan(keys(F5="output: brown, effect: beacon")),
        # The rate and the effect are never in force together.
        plan(keys(F5="output: brown, when: forward, rate: 170 per minute", F6="output: brown, when: [reverse], effect: beacon")),
        plan(keys(F5="output: brown, effect: beacon, rate: 60 per minute"), {"brown": ", rate: 170 per minute"}),
        plan(keys(F5="output: brown, when: [forward, reverse], effect: beacon, rate: 170 per minute")),
    ],
)  # fmt: skip
def test_rates_that_the_decoder_can_set(text: str) -> None:
    silent("rate-out-of-range", text)


def test_one_rate_is_told_once() -> None:
    text = plan(keys(F5="output: [brown, green], effect: beacon, rate: 200 per minute"))
    assert sorted(each.rule for each in report(text).findings) == ["flash-rate-off-practice", "rate-out-of-range"]


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (flashing("glow", "60"), 'the rates of "glow" on the decoder sheet'),
        (flashing("glow", "60").replace(EFFECTS, "{glow: {code: 4, rate: fast}}"), 'the rates of "glow" on the decoder sheet'),
        (flashing("glow", "60").replace(f", effects: {EFFECTS}", ""), 'the rates of "glow" on the decoder sheet'),
        (flashing("strob", "60"), UNREAD),
        (plan(keys(F28=f"output: brown, when: {HARD}, effect: beacon, rate: 60 per minute")), TOO_LONG),
    ],
)  # fmt: skip
def test_rates_of_which_nobody_can_tell(text: str, lack: str) -> None:
    assert undecided("rate-out-of-range", text) == [("60 per minute", lack)]


# --- unpaired-effect --------------------------------------------------------------------------------------------------

MADE = '"wig-wag" is made for two outputs, but '
WIG = ", effect: wig-wag"


def wig(rate: int) -> str:
    return f"{WIG}, rate: {rate} per minute"


BOTH = {"green": WIG, "violet": WIG}


@pytest.mark.parametrize(
    ("text", "culprit", "words", "related"),
    [
        # Alone.
        (plan(keys(F3="output: [green, violet]"), {"green": WIG, "violet": ""}), "wig-wag", '"green" shows it alone with F3 on, forward; its partner on this decoder is "violet"', []),
        (plan(keys(F3="output: green, effect: wig-wag"), {"green": ""}), "wig-wag", '"green" shows it alone with F3 on', []),
        (plan(keys(F3="output: brown, effect: wig-wag")), "wig-wag", '"brown" shows it alone with F3 on, forward; this decoder pairs "green" with "violet", "aux1" with "aux2"', []),
        (plan(outputs={"green": WIG}), "wig-wag", '"green" shows it alone; its partner', []),
        # No pair.
        (plan(keys(F3="output: [green, brown], effect: wig-wag")), "wig-wag", '"green" and "brown" are no pair with F3 on, forward; this decoder pairs', []),
        (plan(keys(F3="output: [green, aux1]"), {"green": WIG, "aux1": WIG}), "wig-wag", '"green" and "aux1" are no pair', ["wig-wag"]),
        # Different conditions.
        (plan(keys(F3=("output: green", "output: violet, when: forward")), BOTH), "wig-wag", '"green" shows it without "violet" with F3 on, reverse', ["wig-wag"]),
        (plan(keys(F3="output: green, when: F5", F5="output: violet"), BOTH), "wig-wag", '"violet" shows it without "green" with F5 on, forward', ["wig-wag"]),
        (plan(keys(F3="output: [green, violet]", F4="output: green, when: F3, effect: steady"), BOTH), "wig-wag", '"violet" shows it without "green" with F3 and F4 on, forward', ["wig-wag"]),
        # Different rates.
        (plan(keys(F3="output: [green, violet]"), {"green": wig(60), "violet": wig(90)}), "90 per minute", '"violet" shows it at 90 per minute and "green" at 60 per minute with F3 on, forward', ["60 per minute"]),
        (plan(keys(F3="output: [green, violet]"), {"green": wig(60), "violet": WIG}), "wig-wag", '"violet" shows it at its slowest, 40 per minute and "green" at 60 per minute', ["60 per minute"]),
        (plan(keys(F3="output: [green, violet]", F4="output: green, when: F3, rate: 80 per minute"), BOTH), "80 per minute", '"green" at 80 per minute with F3 and F4 on', ["wig-wag"]),
        (plan(outputs={"green": wig(60), "violet": wig(90)}), "90 per minute", '"violet" shows it at 90 per minute and "green" at 60 per minute', ["60 per minute"]),
    ],
)  # fmt: skip
def test_an_effect_that_lacks_its_pair(text: str, culprit: str, words: str, related: list[str]) -> None:
    found = only("unpaired-effect", text)
    assert (found.level, found.span.text) == (ERROR, culprit)
    assert found.message.startswith(MADE)
    assert words in found.message
    assert [note.span.text for note in found.notes if note.message == "the other one is here"] == related
    assert found.notes[-1].message == "the sheet says for which outputs it is"


@pytest.mark.parametrize(
    "text",
    [
        plan(keys(F3="output: [green, violet], when: [forward, F0], effect: wig-wag, rate: 60 per minute")),
        plan(keys(F3="output: [violet, green]"), {"green": wig(60), "violet": wig(60)}),
        plan(keys(F3=("output: green, when: [F0, forward]", "output: violet, when: [forward, F0]")), BOTH),
        # Both its slowest, said or not.
        plan(keys(F3="output: [green, violet]"), {"green": wig(40), "violet": WIG}),
        plan(keys(F3="output: [green, violet, aux1, aux2], effect: wig-wag")),
        plan(keys(F3="output: green, effect: strobe", F4="output: violet")),
        plan(keys(F3="output: [green, violet], effect: wig-wag", F4="output: [green, violet], effect: steady, when: not F3")),
        plan(outputs=BOTH),
        # An entry that never holds shows nothing.
        plan(keys(F3="output: green, when: [forward, reverse], effect: wig-wag")),
    ],
)  # fmt: skip
def test_an_effect_with_its_pair(text: str) -> None:
    silent("unpaired-effect", text)


NO_PAIRS = SHEET.replace(" pairs: [[green, violet], [aux1, aux2]],", "")
NO_RATES = SHEET.replace(", rate: 40 to 120 per minute", "")


def test_without_pairs_on_the_sheet_any_two_are_one() -> None:
    silent("unpaired-effect", plan(keys(F3="output: [green, brown], effect: wig-wag"), sheet=NO_PAIRS))
    only("unpaired-effect", plan(keys(F3="output: green, effect: wig-wag"), sheet=NO_PAIRS))
    text = plan(keys(F3=("output: green", "output: brown, when: F4")), {"green": WIG, "brown": WIG}, sheet=NO_PAIRS)
    assert '"green" shows it without "brown" with F3 on' in only("unpaired-effect", text).message


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (plan(keys(F3="output: [green, violet, brown], effect: wig-wag"), sheet=NO_PAIRS), 'the pairs of "wig-wag" on the decoder sheet'),
        (plan(keys(F3="output: [green, violet]"), {"green": wig(60), "violet": WIG}, sheet=NO_RATES), 'the rates of "wig-wag" on the decoder sheet'),
        (plan(keys(F3="output: green, effect: wig-wag"), sheet="{common: {drop: 1.4 V}}"), "the effects of the decoder"),
        (plan(keys(F3="output: [green, violet]"), {"green": WIG, "violet": ", effect: wigwag"}), UNREAD),
        (plan(keys(F3="output: [green, violet]"), {"green": WIG, "violt": WIG}), UNREAD),
        (plan(keys(F3=("output: green", "output: violet, when: frward")), BOTH), UNREAD),
        (plan(keys(F3="output: green, effect: wig-wag"), sheet=SHEET.replace("[green, violet]", "[green, violt]")), UNREAD),
        (plan(keys(F28=("output: green", f"output: violet, when: {HARD}")), BOTH), TOO_LONG),
    ],
)  # fmt: skip
def test_an_effect_of_which_nobody_can_tell(text: str, lack: str) -> None:
    assert undecided("unpaired-effect", text) == [("wig-wag", lack)]
