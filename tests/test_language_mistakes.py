"""Small wrong files: the examples of the language page with one thing changed, and the one finding that this gives."""

from __future__ import annotations

import pytest

from changed import PARTS, PLAN, SETTINGS, SHEET, only

CIRCUIT = "{circuit: [1.5 kohm, front headlamp]}"
PART = "{part: warm white 0603}"
BULB = "{voltage: 12 V, current: 40 mA}"
LED = "led: {forward-voltage: 1.9 V to 2.2 V, current: 4 mA, maximum-current: 20 mA, colour: red}"
ENTRY = "{output: brown, brightness: 40 %}"
HORN = "F2: {label: Horn, momentary: true}"
BROWN = "brown:  {number: 5, limit: 300 mA, surge: 900 mA}"
LIMITS = "limits: {outputs-together: 500 mA, whole-decoder: 1 A}"
MAPPING = "mapping: function-matrix  "
STEADY = "steady: {code: 0}"
CV = "cv: {green: 141, violet: 142}"
TENS = "{what: effect, digit: tens}"
CODES = (
    "codes: [{code: 0, when: []}, {code: 3, when: forward}, {code: 4, when: reverse}, {code: 7, when: [forward, F0]}]"
)
RATE = "{what: rate, bits: 0 to 6, per-step: 1 per minute}"
STOCKED = "{value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 100}"
WHITE = "warm white 0603"
TRACK = "track: 14.5 V  "

# The file, a piece of it, what is put there, the rule that finds it, the culprit and, for some, the message.
Case = tuple[str, str, str, str, str] | tuple[str, str, str, str, str, str]

VERSIONS: list[Case] = [
    (PLAN, "lighting-plan: 1", "lighting-plan: 2", "unsupported-version", "2"),
    (SHEET, "decoder-sheet: 1", "decoder-sheet: 0", "unsupported-version", "0"),
    (PARTS, "parts-catalogue: 1", "parts-catalogue: 10", "unsupported-version", "10"),
    (SETTINGS, "lampwright: 1", "lampwright: 2", "unsupported-version", "2"),
    (PLAN, "lighting-plan: 1", "lighting-plan: 1.0", "wrong-shape", "1.0", 'a whole number belongs here, not "1.0"'),
    (PLAN, "lighting-plan: 1", "lighting-plan: one", "wrong-shape", "one"),
    (
        PLAN,
        "lighting-plan: 1",
        "lighting-plan:",
        "wrong-shape",
        "lighting-plan",
        "a whole number belongs here, and nothing is written",
    ),
    (PLAN, "lighting-plan: 1", "decoder-sheet: 1", "unknown-key", "decoder-sheet"),
]
CLOSED_LISTS: list[Case] = [
    (PLAN, "scale: HO", "scale: H0", "unknown-name", "H0", '"H0" is no scale; did you mean "HO"?'),
    (PLAN, "scale: HO", "scale: ho", "unknown-name", "ho", '"ho" is no scale; did you mean "HO"?'),
    (PLAN, "scale: HO", "scale: 0n30", "unknown-name", "0n30"),
    (PLAN, "shell: plastic", "shell: wood", "unknown-name", "wood", '"wood" is no material of a shell; there is "plastic", "resin" and "metal"'),
    (PLAN, "shell: plastic", "socket: NEM652", "unknown-name", "NEM652", '"NEM652" is no interface; did you mean "NEM 652"?'),
    (PLAN, "shell: plastic", "reversed: yes", "unknown-name", "yes", '"yes" is neither true nor false; did you mean "true"?'),
    (PLAN, "shell: plastic", "reversed: maybe", "unknown-name", "maybe", '"maybe" is neither true nor false'),
    (PLAN, "shell: plastic", "consist: {address: 4, keys: [0]}", "unknown-name", "0", '"0" is no function key; there is "F0 to F68"'),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp], return: common}", "unknown-name", "common"),
    (PLAN, CIRCUIT, "{circuit: [{resistor: 1.5 kohm, size: 805}, front headlamp]}", "unknown-name", "805"),
    (PLAN, "when: forward}", "when: Forward}", "unknown-name", "Forward", '"Forward" is no condition; did you mean "forward"?'),
    (PLAN, "when: forward}", "when: sideways}", "unknown-name", "sideways", '"sideways" is no condition; there is "forward", "reverse", "moving", "stopped" and "F0 to F68"'),
    (PLAN, "when: forward}", "when: F69}", "unknown-name", "F69"),
    (PLAN, "when: forward}", "when: F01}", "unknown-name", "F01"),
    (PLAN, "when: forward}", "when: not not F3}", "unknown-name", "not not F3"),
    (PLAN, "when: forward}", "when: F1 and F2}", "unknown-name", "F1 and F2"),
    (PLAN, "when: forward}", "when: [forward, [F1, stoped]]}", "unknown-name", "stoped"),
    (PLAN, HORN, "F2: {label: Horn, momentary: 1}", "unknown-name", "1"),
    (PLAN, HORN, "F69: {label: Horn}", "unknown-key", "F69"),
    (PLAN, HORN, "F02: {label: Horn}", "unknown-key", "F02"),
    (PLAN, HORN, "f2: {label: Horn}", "unknown-key", "f2", '"f2" is no key of this place; did you mean "F2"?'),
    (PLAN, HORN, "horn: {label: Horn}", "unknown-key", "horn", '"horn" is no key of this place; there is "F0 to F68"'),
    (SHEET, "interface: NEM 652", "interface: 8-pin", "unknown-name", "8-pin"),
    (SHEET, MAPPING, "mapping: function matrix  ", "unknown-name", "function matrix"),
    (SHEET, MAPPING, "mapping: {by-function: {}}  ", "unknown-key", "by-function"),
    (SHEET, MAPPING, "mapping: {function-matrix: {first-output: {F4-F8: 1}}}  ", "unknown-key", "F4-F8", '"F4-F8" is no key of this place; did you mean "F4 to F8"?'),
    (SHEET, MAPPING, "mapping: {function-matrix: {first-output: {F8 to F4: 1}}}  ", "unknown-key", "F8 to F4"),
    (SHEET, MAPPING, "mapping: {function-matrix: {first-output: {F4 to F80: 1}}}  ", "unknown-key", "F4 to F80"),
    (SHEET, MAPPING, "mapping: fixed\n  fixed: {F70: [{output: white}]}  ", "unknown-key", "F70"),
    (SHEET, TENS, "{what: effekt, digit: tens}", "unknown-name", "effekt"),
    (SHEET, TENS, "{what: effect, digit: tenth}", "unknown-name", "tenth"),
    (SHEET, "when: forward}", "when: forwrd}", "unknown-name", "forwrd"),
    (PARTS, "stock: 100}", "stock: 100, size: 0605}", "unknown-name", "0605"),
    (SETTINGS, "resistors: E12 ", "resistors: E13 ", "unknown-name", "E13"),
    (SETTINGS, "resistors: E12 ", "resistors: {series: E25} ", "unknown-name", "E25"),
    (SETTINGS, "hot-on-other-layouts: ignore", "hot-on-other-layouts: off", "unknown-name", "off", '"off" is no level; there is "error", "warning", "note" and "ignore"'),
    (SETTINGS, "F0: Headlamps", "F69: Headlamps", "unknown-key", "F69"),
]  # fmt: skip
UNDEFINED: list[Case] = [
    (PLAN, PART, "{part: warm white 0306}", "unknown-name", "warm white 0306", 'there is no part "warm white 0306"; did you mean "warm white 0603"?'),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, frnt headlamp]}", "unknown-name", "frnt headlamp"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, Front headlamp]}", "unknown-name", "Front headlamp", 'there is no lamp "Front headlamp"; did you mean "front headlamp"?'),
    (PLAN, "[2.7 kohm, marker lamp]", "[2.7 kohm, {lamp: maker lamp}]", "unknown-name", "maker lamp"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, forward]}", "unknown-name", "forward"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, R47]}", "unknown-name", "R47"),
    (PLAN, "  white:", "  wite:", "unknown-name", "wite", 'there is no output "wite"; did you mean "white"?'),
    (PLAN, ENTRY, "{output: brwn}", "unknown-name", "brwn"),
    (PLAN, ENTRY, "{output: [brown, brwn]}", "unknown-name", "brwn"),
    (PLAN, "keys:\n", "always: [{output: brwn}]\nkeys:\n", "unknown-name", "brwn"),
    (PLAN, ENTRY, "{output: brown, effect: flicker}", "unknown-name", "flicker"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp], effect: blinking}", "unknown-name", "blinking"),
    (PLAN, LED, "led: {colour: mauve}", "unknown-name", "mauve"),
    (SHEET, "[[green, violet]]", "[[green, violt]]", "unknown-name", "violt"),
    (SHEET, CV, "cv: {green: 141, vilet: 142}", "unknown-name", "vilet"),
    (SHEET, MAPPING, "mapping: fixed\n  fixed: {F0: [{output: wite}]}  ", "unknown-name", "wite"),
    (SHEET, MAPPING, "mapping: fixed\n  fixed: {F0: [{output: white, effect: glow}]}  ", "unknown-name", "glow"),
    (SETTINGS, "key-off-convention", "key-of-convention", "unknown-name", "key-of-convention", 'there is no rule "key-of-convention"; did you mean "key-off-convention"?'),
    (PLAN, "bench-six.decoder.yaml", "bench-seven.decoder.yaml", "unreadable-file", "bench-seven.decoder.yaml"),
    (PLAN, "bench-six.decoder.yaml", "bench-six.yaml", "unreadable-file", "bench-six.yaml", '"bench-six.yaml" cannot be read: its name must end in .decoder.yaml'),
    (PLAN, "[club.parts.yaml]", "[club.parts.yaml, bench-six.decoder.yaml]", "unreadable-file", "bench-six.decoder.yaml"),
]  # fmt: skip
SHAPES: list[Case] = [
    (PLAN, CIRCUIT, "[1.5 kohm, front headlamp]", "wrong-shape", "[1.5 kohm, front headlamp]"),
    (PLAN, CIRCUIT, "", "wrong-shape", "white", "a mapping, with a key and a colon on each line, belongs here, and nothing is written"),
    (PLAN, CIRCUIT, "{circuit: {resistor: 1.5 kohm}}", "wrong-shape", "{resistor: 1.5 kohm}", "a list belongs here, not a mapping"),
    (PLAN, CIRCUIT, "{circuit: }", "wrong-shape", "circuit"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, [front headlamp]]}", "wrong-shape", "[front headlamp]", "an element (a lamp's name or a resistor) or a mapping, with a key and a colon on each line, belongs here, not a list"),
    (PLAN, CIRCUIT, '{circuit: [1.5 kohm, front headlamp, ""]}', "wrong-shape", '""'),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {lamp: [x]}]}", "wrong-shape", "[x]", "a name belongs here, not a list"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {board: 12 V}]}", "wrong-shape", "12 V"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {driver: 200 mA}]}", "wrong-shape", "200 mA"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {parallel: 47 ohm}]}", "wrong-shape", "47 ohm"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {parallel: [[47 ohm], 47 ohm]}]}", "wrong-shape", "47 ohm"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {series: 47 ohm}]}", "wrong-shape", "47 ohm"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp], brightness: [40 %]}", "wrong-shape", "[40 %]", "a quantity belongs here, not a list"),
    (PLAN, ENTRY, "brown", "wrong-shape", "brown"),
    (PLAN, ENTRY, "{output: {brown: 1}}", "wrong-shape", "{brown: 1}", "a name or a list belongs here, not a mapping"),
    (PLAN, ENTRY, "{output: }", "wrong-shape", "output"),
    (PLAN, ENTRY, "{output: brown, when: }", "wrong-shape", "when", "a condition belongs here, and nothing is written"),
    (PLAN, ENTRY, "{output: brown, when: {any: forward}}", "wrong-shape", "forward"),
    (PLAN, HORN, "F2: Horn", "wrong-shape", "Horn"),
    (PLAN, HORN, "F2: {label: [Horn]}", "wrong-shape", "[Horn]"),
    (PLAN, HORN, "F2: {momentary: [true]}", "wrong-shape", "[true]", "true or false belongs here, not a list"),
    (PLAN, HORN, "F2: {turns-on: brown}", "wrong-shape", "brown"),
    (PLAN, HORN, "F2: {turns-on: {output: brown}}", "wrong-shape", "{output: brown}"),
    (PLAN, "keys:\n", "common: [100 ohm]\nkeys:\n", "wrong-shape", "[100 ohm]"),
    (PLAN, "keys:\n", "common: {circuit: 100 ohm}\nkeys:\n", "wrong-shape", "100 ohm"),
    (PLAN, "keys:\n", "always: {output: brown}\nkeys:\n", "wrong-shape", "{output: brown}"),
    (PLAN, "address: 2107", "address: [3]", "wrong-shape", "[3]"),
    (PLAN, "address: 2107", "address: -3", "wrong-shape", "-3"),
    (PLAN, "scale: HO", "scale: [HO]", "wrong-shape", "[HO]", "a word belongs here, not a list"),
    (PLAN, "scale: HO", "scale:", "wrong-shape", "scale"),
    (PLAN, "shell: plastic", "consist: 42", "wrong-shape", "42"),
    (PLAN, "shell: plastic", "consist: {address: 42, keys: F0}", "wrong-shape", "F0"),
    (PLAN, "decoder: bench-six.decoder.yaml", "decoder: [bench-six.decoder.yaml]", "wrong-shape", "[bench-six.decoder.yaml]", "the path of a file or a mapping, with a key and a colon on each line, belongs here, not a list"),
    (PLAN, TRACK, "track: [13 V, 16 V]  ", "wrong-shape", "[13 V, 16 V]", "a quantity or a mapping, with a key and a colon on each line, belongs here, not a list"),
    (PLAN, BULB, "[12 V, 40 mA]", "wrong-shape", "[12 V, 40 mA]"),
    (PLAN, BULB, "{voltage: {lowest: 11 V, highest: 13 V}, current: 40 mA}", "wrong-shape", "{lowest: 11 V, highest: 13 V}"),
    (SHEET, "common: {drop: 1.4 V}", "common: 1.4 V", "wrong-shape", "1.4 V"),
    (SHEET, LIMITS, "limits: 1 A", "wrong-shape", "1 A"),
    (SHEET, BROWN, "brown: 5", "wrong-shape", "5"),
    (SHEET, "number: 5", "number: five", "wrong-shape", "five", 'a whole number belongs here, not "five"'),
    (SHEET, "number: 5", "number: 0", "wrong-shape", "0", 'a whole number from 1 on belongs here, not "0"'),
    (SHEET, "highest: 28", "highest: 280", "wrong-shape", "280", 'a whole number from 0 to 68 belongs here, not "280"'),
    (SHEET, STEADY, "steady: 0", "wrong-shape", "0"),
    (SHEET, "[[green, violet]]", "[[green]]", "wrong-shape", "[green]", "a pair is two different outputs, and this one has 1"),
    (SHEET, "[[green, violet]]", "{green: violet}", "wrong-shape", "{green: violet}"),
    (SHEET, CV, "cv: [141]", "wrong-shape", "[141]"),
    (SHEET, CV, "cv: {green: x}", "wrong-shape", "x"),
    (SHEET, f"[{RATE}]", RATE, "wrong-shape", RATE),
    (SHEET, TENS, "effect", "wrong-shape", "effect"),
    (SHEET, TENS, "{what: [effect], digit: tens}", "wrong-shape", "[effect]"),
    (SHEET, TENS, "{what: effect, bits: 0 to 8}", "wrong-shape", "0 to 8", 'a bit from 0 to 7, or a range such as 0 to 5, belongs here, not "0 to 8"'),
    (SHEET, TENS, "{what: effect, bits: 3 to 0}", "wrong-shape", "3 to 0"),
    (SHEET, CODES, "codes: {0: []}", "wrong-shape", "{0: []}"),
    (SHEET, "default: 63", "default: [63]", "wrong-shape", "[63]"),
    (PARTS, "stock: 40", "stock: forty", "wrong-shape", "forty"),
    (PARTS, "stock: 40", "stock: 4.5", "wrong-shape", "4.5"),
    (PARTS, "{value: 820 ohm, rating: 1/2 W, tolerance: 5 %, stock: 10}", "820 ohm", "wrong-shape", "820 ohm"),
    (SETTINGS, "supply: {track: 14.5 V}", "supply: 14.5 V", "wrong-shape", "14.5 V"),
    (SETTINGS, "resistors: E12 ", "resistors: [E12] ", "wrong-shape", "[E12]"),
    (SETTINGS, "F0: Headlamps", "F0: [Headlamps]", "wrong-shape", "[Headlamps]"),
    (SETTINGS, "exclude: [attic/]", "exclude: attic/", "wrong-shape", "attic/"),
    (SETTINGS, "order: {spares: 10 %}", "order: 10 %", "wrong-shape", "10 %"),
]  # fmt: skip
MISPLACED: list[Case] = [
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp], when: forward}", "unknown-key", "when"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {series: [47 ohm], return: rail}]}", "unknown-key", "return"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {capacitor: 100 uF}]}", "unknown-key", "capacitor"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {rating: 1/4 W}]}", "missing-key", "rating", 'this lacks the key "resistor"'),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {}]}", "missing-key", "{}"),
    (PLAN, ENTRY, "{output: brown, when: {all: [forward]}}", "unknown-key", "all"),
    (PLAN, ENTRY, "{output: brown, label: Cab}", "unknown-key", "label"),
    (PLAN, PART, "{}", "missing-key", "front headlamp", '"front headlamp" needs one of "part", "bulb" or "led"'),
    (PLAN, LED, "led: {current: 4 mA}", "missing-key", "led", '"led" needs one of "forward-voltage" or "colour"'),
    (PLAN, "keys:\n", "common: {circuit: [{diode: 0.7 V}], return: rail}\nkeys:\n", "unknown-key", "return"),
    (SHEET, "common: {drop: 1.4 V}", "common: {}", "missing-key", "common"),
    (SHEET, MAPPING, "mapping: fixed  ", "missing-key", "keys", '"keys" lacks the key "fixed"'),
    (SHEET, MAPPING, "fixed: {F0: [{output: white}]}  ", "missing-key", "keys", '"keys" lacks the key "mapping"'),
    (SHEET, RATE, "{what: rate, bits: 0 to 6}", "missing-key", "what", 'this needs one of "codes" or "per-step"'),
    (SHEET, TENS, "{what: effect}", "missing-key", "what", 'this needs one of "digit" or "bits"'),
    (SHEET, TENS, "{what: effect, digit: tens, full: 63}", "unknown-key", "full"),
    (PARTS, "stock: 40", "part: warm white", "unknown-key", "part"),
]  # fmt: skip
CONTRADICTIONS: list[Case] = [
    (PLAN, PART, "{part: warm white 0603, bulb: {voltage: 12 V, current: 30 mA}}", "wrong-shape", "bulb", 'only one of "part", "bulb" and "led" may stand here, and "bulb" is one too many'),
    (PLAN, PART, "{part: warm white 0603, led: {current: 3}}", "wrong-shape", "led"),
    (PLAN, CIRCUIT, "{circuit: [1.5 kohm, front headlamp, {resistor: 47 ohm, lamp: rear headlamp}]}", "wrong-shape", "lamp", 'only one of "resistor" and "lamp" may stand here, and "lamp" is one too many'),
    (PLAN, TRACK, "track: 16 V to 13 V  ", "unreadable-quantity", "16 V to 13 V"),
    (PLAN, TRACK, "track: {lowest: 16 V, highest: 13 V}  ", "unreadable-quantity", "{lowest: 16 V, highest: 13 V}"),
    (PLAN, TRACK, "track: {lowest: 13 V, usual: 17 V, highest: 16 V}  ", "unreadable-quantity", "{lowest: 13 V, usual: 17 V, highest: 16 V}"),
    (PLAN, TRACK, "track: {lowest: 13 V, usual: 145 V, highest: 16 V}  ", "implausible-value", "145 V"),
    (PLAN, LED, "led: {colour: red, current: 30 mA, maximum-current: 20 mA}", "implausible-value", "30 mA", '"30 mA" is more than this can be (at most 20 mA)'),
    (PLAN, "current: 40 mA}", "current: 40 mA, maximum-voltage: 11.9 V}", "implausible-value", "11.9 V", '"11.9 V" is less than this can be (at least 12 V)'),
    (SHEET, "common: {drop: 1.4 V}", "common: {drop: 1.4 V, regulated: 12 V}", "wrong-shape", "regulated"),
    (SHEET, LIMITS, "limits: {outputs-together: 5 A, whole-decoder: 1 A}", "implausible-value", "5 A"),
    (SHEET, "surge: 900 mA", "surge: 200 mA", "implausible-value", "200 mA", '"200 mA" is less than this can be (at least 300 mA)'),
    (SHEET, MAPPING, "mapping: by-function\n  fixed: {F0: [{output: white}]}  ", "wrong-shape", "fixed", '"fixed" goes with the mapping "fixed", and another mapping is named here'),
    (SHEET, MAPPING, "mapping: {function-matrix: {first-output: {F4 to F8: 1, F6: 2}}}  ", "duplicate-key", "F6"),
    (SHEET, STEADY, "steady: {code: 0, codes: {first: 1, second: 2}}", "wrong-shape", "codes"),
    (SHEET, "[[green, violet]]", "[[green, green]]", "wrong-shape", "[green, green]", "a pair is two different outputs"),
    (SHEET, TENS, "{what: effect, digit: tens, bits: 0 to 3}", "wrong-shape", "bits"),
    (SHEET, CODES, "codes: [{code: 3, when: []}, {code: 3, when: forward}]", "duplicate-key", "3"),
    (SHEET, RATE, "{what: rate, bits: 0 to 6, codes: [], per-step: 1 per minute}", "wrong-shape", "per-step"),
    (SHEET, RATE, "{what: rate, bits: 0 to 6, codes: [], offset: 1 per minute}", "wrong-shape", "offset"),
    (PARTS, "    led:", "    bulb: {voltage: 1.5 V, current: 15 mA}\n    led:", "wrong-shape", "led"),
    (PARTS, "lowest: 2.8 V", "lowest: 3.1 V", "unreadable-quantity", "{lowest: 3.1 V, usual: 3.0 V, highest: 3.3 V}"),
    (SETTINGS, "F0: Headlamps", "F0: Headlamps, F0: Lights", "duplicate-key", "F0"),
]  # fmt: skip

TABLES = {
    "version": VERSIONS,
    "closed-list": CLOSED_LISTS,
    "undefined": UNDEFINED,
    "shape": SHAPES,
    "misplaced": MISPLACED,
    "contradiction": CONTRADICTIONS,
}
CASES = [pytest.param(case, id=f"{table}: {case[2]}"[:80]) for table, cases in TABLES.items() for case in cases]


@pytest.mark.parametrize("case", CASES)
def test_one_change_is_one_finding_at_its_place(case: Case) -> None:
    name, old, new, rule, culprit, *message = case
    finding = only((name, old, new))
    assert (finding.rule, finding.span.text, finding.span.source.name) == (rule, culprit, name)
    assert not message or finding.message == message[0]


def test_there_are_enough_of_them() -> None:
    assert len(CASES) >= 120
    assert len({(case.values[0][0], case.values[0][2]) for case in CASES}) == len(CASES)
