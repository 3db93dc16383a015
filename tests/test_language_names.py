"""Names of lamps, parts, outputs and effects: which may be given, and that a faulty one is said once, where it is given."""

from __future__ import annotations

import pytest

from changed import PARTS, PLAN, SHEET, Change, found, only, reported
from lampwright.text import nearest

# The name in double quotes of YAML, what is wrong with it.
FAULTY = [
    ('"5 V"', "it reads as a quantity"),
    ('"4k7"', "it reads as a quantity"),
    ('"10 to 20 mA"', "it reads as a quantity"),
    ('"forward"', "it is a word of the conditions"),
    ('"not moving"', "it is a word of the conditions"),
    ('"F7"', "it is a word of the conditions"),
    ('"front_lamp"', 'letters, digits, spaces, hyphens and full stops can, "_" cannot'),
    ('"front/lamp"', 'letters, digits, spaces, hyphens and full stops can, "/" cannot'),
    ('"lamp (front)"', 'letters, digits, spaces, hyphens and full stops can, "(" cannot'),
    ('"lamp \U0001f4a1"', 'letters, digits, spaces, hyphens and full stops can, "\U0001f4a1" cannot'),
    ('"front\\x07lamp"', "letters, digits, spaces, hyphens and full stops can, U+0007 cannot"),
    ('"front\\e[31mlamp"', "letters, digits, spaces, hyphens and full stops can, U+001B cannot"),
    ('"front\\u202elamp"', "letters, digits, spaces, hyphens and full stops can, U+202E cannot"),
    ('"front\\u00a0lamp"', "letters, digits, spaces, hyphens and full stops can, U+00A0 cannot"),
    ('"- ."', "it has neither a letter nor a digit"),
]
# Any script, marks on letters, digits, a hyphen, a full stop; capitals and inner spaces are the writer's.
RIGHT = [
    "Führerstand",
    "前照灯",
    "лампа 2",
    "हेडलैंप",
    "head-lamp no. 1",
    "F",
    "F70",
    "volt",
    "Not Moving",
    "e\u0301clat",
    "a  b",
]
# These say what they are: a resistor begins with a digit, so that only a lamp must not.
DIGITS_FIRST = ["2nd lamp", "3 mm red", "0603", "42"]


def lamp(name: str) -> list[Change]:
    return [(PLAN, "  front headlamp:", f"  {name}:"), (PLAN, "[1.5 kohm, front headlamp]", f"[1.5 kohm, {name}]")]


def part(name: str) -> list[Change]:
    return [(PARTS, "micro bulb 1.5 V", name), *[(PLAN, "micro bulb 1.5 V", name)] * 2]


def output(name: str) -> list[Change]:
    sheet = [(SHEET, "  brown: ", f"  {name}: "), (SHEET, "{brown: 149}", f"{{{name}: 149}}")]
    return [*sheet, (PLAN, "  brown:", f"  {name}:"), (PLAN, "output: brown", f"output: {name}")]


def effect(name: str) -> list[Change]:
    uses = [(PLAN, "effect: alternating flash", f"effect: {name}")] * 2
    return [(SHEET, "  alternating flash:", f"  {name}:"), *uses]


KINDS = pytest.mark.parametrize("named", [lamp, part, output, effect])


@KINDS
@pytest.mark.parametrize(("name", "fault"), FAULTY)
def test_a_faulty_name_is_said_once_where_it_is_given(named: object, name: str, fault: str) -> None:
    assert callable(named)
    finding = only(*named(name))
    assert (finding.rule, finding.span.text) == ("wrong-shape", name)
    assert finding.message.endswith(f"can be no name: {fault}")


@KINDS
@pytest.mark.parametrize("name", RIGHT)
def test_a_right_name_is_no_finding(named: object, name: str) -> None:
    assert callable(named)
    assert found(*named(name)) == []


@pytest.mark.parametrize("named", [part, output, effect])
@pytest.mark.parametrize("name", DIGITS_FIRST)
def test_only_a_lamp_must_begin_with_a_letter(named: object, name: str) -> None:
    assert callable(named)
    assert found(*named(name)) == []
    finding = only(*lamp(name))
    assert (finding.rule, finding.span.text) == ("wrong-shape", name)
    assert finding.message == f'"{name}" can be no name: it does not start with a letter, as a lamp in a circuit must'


@pytest.mark.parametrize(("defined", "used"), [("E\u0301clat", "\u00c9clat"), ('" cab lamp  "', "cab lamp")])
def test_names_are_compared_trimmed_and_normalised(defined: str, used: str) -> None:
    changes = [(PLAN, "  cab lamp:", f"  {defined}:"), (PLAN, "1/2 W, cab lamp]", f"1/2 W, {used}]")]
    assert found(*changes) == []


def test_names_are_not_case_folded() -> None:
    assert found((PLAN, "1/2 W, cab lamp]", "1/2 W, Cab lamp]")) == [("unknown-name", "Cab lamp")]


def test_no_fix_writes_what_yaml_could_not_read() -> None:
    # A name may begin with a hyphen, but then it has to be quoted.
    unknown = reported((PARTS, "micro bulb 1.5 V", '"- micro bulb 1.5 V"')).findings
    assert [finding.message for finding in unknown] == [
        'there is no part "micro bulb 1.5 V"; did you mean "- micro bulb 1.5 V"?'
    ] * 2
    assert [finding.fixes for finding in unknown] == [(), ()]


@pytest.mark.parametrize(
    ("change", "culprit"),
    [
        ((PLAN, "  front headlamp:", '  "front\\x07 headlamp":'), '"front\\x07 headlamp"'),
        ((PLAN, "  front headlamp:", "  front_headlamp:"), "front_headlamp"),
        ((SHEET, "  brown: ", "  bro/wn: "), "bro/wn"),
        ((SHEET, "  alternating flash:", "  alternating_flash:"), "alternating_flash"),
        ((PARTS, "  micro bulb 1.5 V:", "  micro_bulb 1.5 V:"), "micro_bulb 1.5 V"),
    ],
)
def test_a_right_use_of_a_faulty_name_is_not_unknown(change: Change, culprit: str) -> None:
    finding = only(change)
    assert (finding.rule, finding.span.text) == ("wrong-shape", culprit)


@pytest.mark.parametrize(
    ("word", "choices", "meant"),
    [
        ("H0", ["Z", "HO", "O"], ("HO",)),
        ("nem652", ["NEM 651", "NEM 652"], ("NEM 652",)),
        ("front_headlamp", ["front headlamp", "rear headlamp"], ("front headlamp",)),
        ("lde", ["led", "bulb"], ("led",)),
        ("vc", ["cv", "page"], ("cv",)),
        ("clour", ["colour", "current"], ("colour",)),
        ("F69", ["F6", "F59"], ("F6",)),
        ("x", ["at", "led"], ()),
    ],
)
def test_slips_of_the_finger_are_guessed_in_short_words_too(
    word: str, choices: list[str], meant: tuple[str, ...]
) -> None:
    assert nearest(word, choices) == meant
