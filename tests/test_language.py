"""The language page is true: its examples are clean, its forms are read, one mistake is one finding, the rest is read."""

from __future__ import annotations

import pytest

from changed import FOLDER, PARTS, PLAN, SETTINGS, SHEET, files, found, only, reported, settings_in
from lampwright.diagnostics import Finding, Problem
from lampwright.engine import RULE_NAMES, merge_reports
from lampwright.model.settings import Settings
from lampwright.rule import Context
from lampwright.rules.syntax_error import syntax_error
from lampwright.syntax import CAUSES, parse
from lampwright.text import Source
from seam import report

WHITE = "{circuit: [1.5 kohm, front headlamp]}"
YELLOW = "{circuit: [1.5 kohm, rear headlamp]}"
BROWN = "      - {output: brown, brightness: 40 %}"


# --- The examples of the page -----------------------------------------------------------------------------------------


def test_the_examples_of_the_page_are_clean_together() -> None:
    checked = reported()
    assert {source.name for source in checked.sources} == {PLAN, SHEET, PARTS, SETTINGS}
    assert [(finding.rule, finding.message) for finding in checked.findings] == []
    assert checked.undecided == ()


def test_nothing_but_the_examples_lies_in_their_folder() -> None:
    assert {path.name for path in FOLDER.iterdir()} == {PLAN, SHEET, PARTS, SETTINGS}


def in_circuit(element: str) -> tuple[str, str, str]:
    return PLAN, WHITE, WHITE.replace("1.5 kohm", f"1.5 kohm, {element}")


def in_white(rest: str) -> tuple[str, str, str]:
    return PLAN, WHITE, WHITE.replace("]}", f"], {rest}}}")


def in_vehicle(line: str) -> tuple[str, str, str]:
    return PLAN, "  shell: plastic", f"  shell: plastic\n  {line}"


def in_keys(line: str) -> tuple[str, str, str]:
    return PLAN, "  F2:", f"  {line}\n  F2:"


def in_plan(line: str) -> tuple[str, str, str]:
    return PLAN, "keys:\n", f"{line}\nkeys:\n"


def supplied(text: str) -> tuple[str, str, str]:
    return PLAN, "track: 14.5 V  ", f"{text}  "


def when(condition: str) -> tuple[str, str, str]:
    return PLAN, BROWN, f"      - {{output: brown, when: {condition}}}"


MAPPING = "mapping: function-matrix  "
EFFECT = "{what: effect, digit: tens}"
RATE = "bits: 0 to 6, per-step: 1 per minute"

# What the page says beside its examples: each form is accepted without a finding.
SAID = [
    in_circuit("47R"),
    (PLAN, "[2.7 kohm, marker lamp]", "[4k7, marker lamp]"),
    in_circuit("470R"),
    in_circuit("820 ohm 1/2 W 5 %"),
    in_circuit("0R47 5 %"),
    in_circuit("{resistor: 820 ohm, rating: 500 mW, tolerance: 5 %, size: 0805}"),
    (PLAN, "[2.7 kohm, marker lamp]", "[2.7 kohm, {lamp: marker lamp, reversed: false}]"),
    (PLAN, WHITE, "{circuit: [{parallel: [[1.5 kohm, front headlamp], [1.5 kohm]]}]}"),
    in_circuit("{series: [47 ohm]}"),
    in_circuit("{diode: 0.7 V}"),
    (PLAN, WHITE, "{circuit: [{current-regulator: 10 mA, needs: 2 V}, front headlamp]}"),
    in_circuit("{board: {voltage: 12 V, current: 20 mA}}"),
    in_circuit("{driver: {limit: 200 mA}}"),
    in_white("return: rail"),
    (PLAN, "colour: red}", "colour: red, built-in-resistor: 1 kohm}"),
    when("forward"),
    when("not F68"),
    when("[forward, F0]"),
    when("{any: [stopped, not moving]}"),
    when("[{any: [forward, [F3, not F4]]}, not stopped]"),
    when("[]"),
    in_plan("always:\n  - {output: brown, when: moving}"),
    in_white("effect: oscillating, brightness: 40 %, rate: 60 per minute"),
    in_keys("F5: {turns-on: [{output: white, when: [forward, F0], brightness: 40 %}]}"),
    (PLAN, "address: 2107", "address: {long: 112}"),
    (PLAN, "address: 2107", "address: 3"),
    in_vehicle("reversed: true"),
    in_vehicle("consist: {address: 42, reversed: false, keys: [F0, F6]}"),
    in_vehicle("motor: 250 mA"),
    in_vehicle("socket: NEM 652"),
    in_vehicle("inside: 40 °C"),
    in_vehicle("set: quarry railcar"),
    supplied("common: 13.0 V"),
    supplied("common: 12.5 V to 13.5 V"),
    supplied("track: 13 V to 15 V"),
    supplied("track: {lowest: 13 V, usual: 14.5 V, highest: 15 V}"),
    supplied("track: {lowest: 13 V, highest: 15 V}"),
    (SHEET, "common: {drop: 1.4 V}", "common: {regulated: 12 V}"),
    (SHEET, "common: {drop: 1.4 V}", "common: {drop: 1 V to 1.8 V}"),
    (SHEET, MAPPING, "mapping: {function-matrix: {first-output: {F4 to F8: 1}}}  "),
    (SHEET, MAPPING, "mapping: by-output-states  "),
    (SHEET, MAPPING, "# no mapping  "),
    (SHEET, MAPPING, "mapping: fixed\n  fixed: {F0: [{output: white, when: forward}, {output: yellow}]}  "),
    (SHEET, EFFECT, "{what: effect, digit: hundreds}"),
    (SHEET, EFFECT, "{what: effect, digit: high}"),
    (SHEET, EFFECT, "{what: effect, bits: 4 to 7}"),
    (SHEET, EFFECT, "{what: effect, bits: 7}"),
    (SHEET, "    default: 0", "    page: {CV31: 16, CV32: 0}\n    default: 0"),
    (SHEET, "    default: 0\n", ""),
    (SHEET, "  - cv: {brown: 149}", "  - cv: 140"),
    (SHEET, RATE, "bits: 0 to 6, codes: [{code: 0, rate: 0 per minute}, {code: 3, rate: 60 per minute}]"),
    (SHEET, RATE, f"{RATE}, offset: 30 per minute"),
    (SHEET, "interface: NEM 652  ", "interface: PluX22  "),
    (PARTS, "stock: 40", "stock: 0"),
    (SETTINGS, "resistors: E12 ", "resistors: {series: E24, tolerance: 5 %, rating: 1/4 W} "),
    (SETTINGS, "track: 14.5 V", "common: 13 V"),
    *((SETTINGS, "key-off-convention: warning", f"{rule}: note") for rule in ("sneak-path", "short-stock", "dim-led")),
]


# Forms that are read, and advised against as they are put here.
ADVISED_AGAINST = [
    ((PLAN, "[2.7 kohm, marker lamp]", "[2.7 kohm, {lamp: marker lamp, reversed: true}]"), ["reversed-led"]),
    (
        (PLAN, WHITE, "{circuit: [{parallel: [{series: [1.5 kohm, front headlamp], return: rail}, [1.5 kohm]]}]}"),
        ["reverse-voltage", "sneak-path"],
    ),
    (in_plan("common: {circuit: [100 ohm 1 W]}"), ["shared-resistor"]),
]


@pytest.mark.parametrize(("change", "rules"), ADVISED_AGAINST, ids=lambda value: value[-1])
def test_what_the_page_says_is_read_where_it_is_advised_against(change: tuple[str, str, str], rules: list[str]) -> None:
    assert [finding.rule for finding in reported(change).findings] == rules


# Whether the decoder of the page can do what a form says is another matter than whether the form may be written.
OF_THE_DECODER = {
    "unreachable-output", "inexpressible-condition", "inexpressible-look", "cv-out-of-range", "cv-claimed-twice"
}  # fmt: skip


@pytest.mark.parametrize("change", SAID, ids=lambda change: change[2][:70])
def test_what_the_page_says_is_accepted(change: tuple[str, str, str]) -> None:
    checked = reported(change)
    assert [
        (finding.rule, finding.span.text, finding.message)
        for finding in checked.findings
        if finding.rule not in OF_THE_DECODER
    ] == []
    # What is not decided is so because of what the change itself leaves unsaid, not because anything was not understood.
    unsaid = ("burn together", 'the rates of "oscillating"', "the end that leads")
    open_items = [item for item in checked.undecided if item.rule not in OF_THE_DECODER]
    assert [item.lacks for item in open_items if not any(words in item.lacks for words in unsaid)] == []


def test_every_rule_of_the_table_may_be_named() -> None:
    assert len(set(RULE_NAMES)) == len(RULE_NAMES) == 68


# --- One mistake, one finding -----------------------------------------------------------------------------------------

# Each of these has consequences elsewhere: in the circuits, the keys, the sheet, the catalogue. None is found there.
ONE = [
    ("unknown-key", "prt", [(PLAN, "{part: warm white 0603}", "{prt: warm white 0603}")]),
    ("wrong-shape", "12", [(PLAN, "{part: warm white 0603}", "12")]),
    ("missing-unit", "20", [(PLAN, "maximum-current: 20 mA", "maximum-current: 20")]),
    ("unknown-key", "maximun-current", [(PLAN, "maximum-current: 20 mA", "maximun-current: 20 mA")]),
    ("wrong-shape", "front_headlamp", [(PLAN, "  front headlamp:", "  front_headlamp:"), (PLAN, "kohm, front h", "kohm, front_h")]),
    ("wrong-shape", "2nd lamp", [(PLAN, "  front headlamp:", "  2nd lamp:"), (PLAN, "kohm, front headlamp", "kohm, 2nd lamp")]),
    ("wrong-shape", "br/n", [(SHEET, "brown: ", "br/n: "), (SHEET, "{brown:", "{br/n:"), (PLAN, "brown:", "br/n:"), (PLAN, "brown,", "br/n,")]),
    ("wrong-shape", "5 V", [(PARTS, "micro bulb 1.5 V", "5 V"), (PLAN, "micro bulb 1.5 V", "5 V"), (PLAN, "micro bulb 1.5 V", "5 V")]),
    ("unknown-key", "lumps", [(PLAN, "lamps:", "lumps:")]),
    ("missing-key", "marker lamp", [(PLAN, "    led: {forward-voltage: 1.9 V to 2.2 V, current: 4 mA,", "    {forward-voltage: 1.9 V to 2.2 V, current: 4 mA,")]),
    ("missing-key", "cab lamp", [(PLAN, "    bulb: {voltage: 12 V, current: 40 mA}", "    {voltage: 12 V, current: 40 mA}")]),
    ("missing-key", "warm white 0603", [(PARTS, "    led: {forward-voltage: {lowest: 2.8 V, usual: 3.0 V, highest: 3.3 V}, ", "    {"), (PARTS, "colour: warm white}\n    stock: 40", "colour: warm white, stock: 40}")]),
    ("unsupported-yaml", "[front headlamp]", [(PLAN, "  front headlamp:", "  [front headlamp]:")]),
    ("unsupported-yaml", "<<", [(PLAN, "  front headlamp: {part: warm white 0603}", "  <<: {front headlamp: {part: warm white 0603}}")]),
    ("unknown-key", "supplly", [(PLAN, "supply:", "supplly:")]),
    ("missing-unit", "14.5", [supplied("track: 14.5")]),
    ("missing-unit", "14.5", [(SETTINGS, "14.5 V", "14.5"), (PLAN, "supply:\n", "# "), (PLAN, "  track", "#")]),
    ("unsupported-version", "2", [(SETTINGS, "lampwright: 1", "lampwright: 2"), (PLAN, "supply:\n", "# "), (PLAN, "  track", "#")]),
    ("wrong-shape", "front headlamp", [(PLAN, WHITE, "{circuit: front headlamp}")]),
    ("missing-key", "white", [(PLAN, WHITE, "{}")]),
    ("unknown-key", "outputz", [(PLAN, "outputs:", "outputz:")]),
    ("unknown-name", "wite", [(PLAN, "  white:", "  wite:")]),
    ("unknown-name", "frnt headlamp", [(PLAN, "kohm, front h", "kohm, frnt h")]),
    ("missing-unit", "1500", [(PLAN, "1.5 kohm", "1500")]),
    ("duplicate-key", "white", [(PLAN, "  yellow: " + YELLOW, f"  white: {{circuit: [1 kom, x], y: 3}}\n  yellow: {YELLOW}")]),
    ("unsupported-version", "7", [(SHEET, "decoder-sheet: 1", "decoder-sheet: 7")]),
    ("unknown-key", "output", [(SHEET, "outputs:", "output:")]),
    ("unsupported-yaml", "[green]", [(SHEET, "  green: ", "  [green]: ")]),
    ("unsupported-version", "7", [(PARTS, "parts-catalogue: 1", "parts-catalogue: 7")]),
    ("unknown-key", "lamp", [(PARTS, "lamps:", "lamp:")]),
    ("unknown-key", "resistor", [(PARTS, "resistors:", "resistor:")]),
    ("decimal-comma", "1,5 kohm", [(PARTS, "1.5 kohm", "1,5 kohm")]),
    ("missing-unit", "1/4", [(PARTS, "1/4 W", "1/4")]),
    ("unreadable-file", "bench-sic.decoder.yaml", [(PLAN, "bench-six", "bench-sic")]),
    ("unreadable-file", "clubs.parts.yaml", [(PLAN, "club.parts", "clubs.parts")]),
    ("wrong-shape", "club.parts.yaml", [(PLAN, "[club.parts.yaml]", "club.parts.yaml")]),
    ("unprotected-led", "front headlamp", [(PLAN, "[1.5 kohm, front headlamp]", "[front headlamp]")]),
    ("unprotected-led", "front headlamp", [(PLAN, "[1.5 kohm, front headlamp]", "[0 ohm, front headlamp]")]),
    ("wrong-shape", "[green, violet]", [(SHEET, "[[green, violet]]", "[green, violet]")]),
    ("wrong-shape", '[2.7 kohm, marker lamp]', [(PLAN, "      - parallel:\n          - [2.7 kohm, marker lamp]\n          - [100 ohm 1/2 W, cab lamp]", "      - parallel: [2.7 kohm, marker lamp]\n      - cab lamp")]),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "culprit", "changes"), ONE, ids=lambda value: value if isinstance(value, str) else "")
def test_one_mistake_is_one_finding(rule: str, culprit: str, changes: list[tuple[str, str, str]]) -> None:
    finding = only(*changes)
    assert (finding.rule, finding.span.text) == (rule, culprit)


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        (SHEET, "  green:  {", '  green:  "{'),
        (SHEET, "  green:  {", "  green  {"),
        (PARTS, "  micro bulb 1.5 V:", "  micro bulb 1.5 V"),
        (PARTS, "  - {value: 1.5 kohm", "   - {value: 1.5 kohm"),
        (PLAN, "  right ditch lamp:", "\tright ditch lamp:"),
        (PLAN, "  brown:\n", "  brown\n"),
        (PLAN, "[1.5 kohm, front headlamp]}", "[1.5 kohm, front headlamp}"),
        (PLAN, "[1.5 kohm, front headlamp]}", "[1.5 kohm, front headlamp"),
        (PLAN, "keys:", "keys"),
        (PARTS, "    stock: 40", "  stock 40"),
        (PLAN, "output: white, when: forward", "output: wh{ite, when: forward"),
        (SHEET, "[[green, violet]]", "[[gre{en, violet]]"),
        (SHEET, "    holds:\n      - {what: effect", "    holds:\n      -{what: effect"),
        (PARTS, "  - {value: 1.5 kohm", "x - {value: 1.5 kohm"),
    ],
)
def test_a_text_that_breaks_off_is_one_finding(name: str, old: str, new: str) -> None:
    assert only((name, old, new)).rule == "syntax-error"


# --- Partial is normal ------------------------------------------------------------------------------------------------


def test_five_mistakes_are_five_findings_in_five_places() -> None:
    changes = [
        (PLAN, "scale: HO", "scale: H0"),
        (PLAN, "current: 40 mA", "current: 40"),
        (PLAN, "[1.5 kohm, rear headlamp]", "[1.5 kohm, reer headlamp]"),
        (PLAN, "when: reverse}", "when: revers}"),
        (PLAN, "  F7:\n    label: Cab", "  F7:\n    lable: Cab"),
    ]
    assert found(*changes) == [
        ("unknown-name", "H0"),
        ("missing-unit", "40"),
        ("unknown-name", "reer headlamp"),
        ("unknown-name", "revers"),
        ("unknown-key", "lable"),
    ]


def test_a_broken_lamp_does_not_hide_what_is_wrong_with_a_key_or_another_output() -> None:
    changes = [
        (PLAN, "bulb: {voltage: 12 V, current: 40 mA}", "bulb: {voltage: 12 V}"),
        (PLAN, "output: white, when: forward", "output: wite, when: forward"),
        (PLAN, "[1.5 kohm, rear headlamp]", "[rear headlamp]"),
    ]
    assert found(*changes) == [("missing-key", "bulb"), ("unprotected-led", "rear headlamp"), ("unknown-name", "wite")]


def test_a_duplicate_key_does_not_hide_what_else_is_missing() -> None:
    changes = [(PLAN, "  name: Quarry switcher 7\n", "  scale: HO\n"), (PLAN, "bulb: {voltage: 12 V, ", "bulb: {")]
    assert found(*changes) == [("missing-key", "vehicle"), ("duplicate-key", "scale"), ("missing-key", "bulb")]


def test_a_sheet_and_a_catalogue_that_two_plans_share_are_reported_once() -> None:
    texts = files((SHEET, "limit: 300 mA", "limit: 300"), (PARTS, "stock: 12", "stock: twelve"))
    both = {**texts, "other.lights.yaml": texts[PLAN]}
    reports = [report(both[name], name, both, settings_in(texts[SETTINGS])) for name in (PLAN, "other.lights.yaml")]
    assert [len(each.findings) for each in reports] == [2, 2]
    assert [(finding.rule, finding.span.source.name) for finding in merge_reports(reports).findings] == [
        ("missing-unit", SHEET),
        ("wrong-shape", PARTS),
    ]


# --- Words ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cause", CAUSES)
def test_every_cause_of_a_syntax_error_has_plain_words(cause: str) -> None:
    source = Source(PLAN, "\u00a0x: [\n")
    data = {"cause": cause, "character": "%", "detail": "while scanning a simple key"}
    problem = Problem("syntax-error", source.span(0, 2), data)
    findings = list(syntax_error.judge(Context(parse(source), (problem,), Settings())))
    messages = [finding.message for finding in findings if isinstance(finding, Finding)]
    assert len(messages) == 1
    assert ("scanning" in messages[0]) == (cause == "other")
