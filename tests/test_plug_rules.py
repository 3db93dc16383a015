"""What the wires and contacts of plugs are and carry: missing-wire, lamp-on-logic-output, overloaded-contact, off-code-wire.

NEM 651, 652 (2017) and 660 (2015) were read; NEM 654 and Next18 second-hand; PluX22 is from memory.
"""

from __future__ import annotations

import pytest

from lampwright.diagnostics import Severity
from lampwright.model.interfaces import INTERFACES, output_wire
from lampwright.model.values import Origin
from lampwright.plan.sheet import INTERFACES as NAMES
from rule_cases import ERROR, WARNING, Loud, assert_loud, assert_silent, has_name, lacks, plan
from seam import report

NOTE = Severity.NOTE
LED = "[1.5 kohm 1 W, led a]"
OTHER_LED = "[1.5 kohm 1 W, led b]"
OUTPUTS = "outputs: {white: {number: 1, limit: 2 A, surge: 20 A}, yellow: {number: 2, limit: 2 A, surge: 20 A}, green: {number: 3, limit: 2 A, surge: 20 A}, brown: {number: 5, limit: 2 A, surge: 20 A}}"


def sheet(interface: str = "", common: str = "{drop: 1.4 V}", outputs: str = OUTPUTS) -> str:
    parts = [f"interface: {interface}" if interface else "", f"common: {common}", outputs]
    return "{" + ", ".join(filter(None, parts)) + "}"


def on(interface: str, white: str = LED, *, socket: str = "", motor: str = "", **rest: str) -> str:
    """A plan whose sheet states `interface`, and whose vehicle has `socket` and `motor`, each if it is not empty."""
    rest = {"sheet": sheet(interface)} | rest
    more = (f", socket: {socket}" if socket else "") + (f", motor: {motor}" if motor else "")
    return plan(white, **rest).replace("Tipper 9}", f"Tipper 9{more}}}")


def railed(text: str) -> str:
    """The same plan with each output returned to a rail."""
    return text.replace("]}\n", "], return: rail}\n")


def test_every_interface_of_the_language_has_its_wires() -> None:
    assert set(INTERFACES) == set(NAMES)


@pytest.mark.parametrize(
    ("name", "wire"),
    [
        ("white", "white"),
        ("F0r", "yellow"),
        ("AUX1", "green"),
        ("aux 2", "violet"),
        ("Aux-3", "aux3"),
        ("brown", None),
        ("roof", None),
    ],
)
def test_what_wire_a_name_means(name: str, wire: str | None) -> None:
    assert output_wire(name) == wire


def test_what_the_contacts_carry() -> None:
    carried = {name: (each.contact, each.common_contact, each.rail_contact) for name, each in INTERFACES.items()}
    # NEM 651 (2017): 0.5 A continuous a contact, no common. NEM 652 (2017): 1.5 A. NEM 660: left to the maker.
    # Next18 (NEM 662, two reference pages): 0.5 A, with two contacts each for rails and common.
    assert carried["NEM 651"] == (0.5, None, 0.5)
    assert carried["NEM 652"] == (1.5, 1.5, 1.5)
    assert carried["NEM 660"] == (None, None, None)
    assert carried["Next18"] == (0.5, 1.0, 1.0)
    assert {name for name, each in INTERFACES.items() if each.origin is Origin.STANDARD} == {
        "NEM 651",
        "NEM 652",
        "NEM 660",
    }


# --- missing-wire -----------------------------------------------------------------------------------------------------

UNLISTED = sheet("NEM 651", outputs="name: Bare")

MISSING = [
    Loud("no common", on("NEM 651"), ERROR, "white", ('the lamps of the output "white" return to the common, for which NEM 651 has no wire',), related=("NEM 651",)),
    Loud("by the socket", on("", socket="NEM 651"), ERROR, "white", related=("NEM 651",)),
    Loud("one of two outputs", on("NEM 651", yellow=OTHER_LED).replace("a]}\n", "a], return: rail}\n"), ERROR, "yellow"),
    Loud("two are one mistake", on("NEM 651", yellow=OTHER_LED), ERROR, "white", related=("yellow", "NEM 651")),
    Loud("one branch", on("NEM 651", "[{parallel: [[1.5 kohm 1 W, led a], {series: [1.5 kohm 1 W, {diode: 0.7 V}, led b], return: rail}]}]"), ERROR, "white"),
    Loud("second-hand", on("NEM 654"), WARNING, "white", ("NEM 654 has no wire (read second-hand)",)),
    Loud("an output that nobody lists", railed(on("", LED, sheet=UNLISTED, output="green")), ERROR, "green", ('NEM 651 has no wire for the output "green", and the decoder sheet lists none',), related=("NEM 651",)),
]  # fmt: skip


@pytest.mark.parametrize("case", MISSING, ids=has_name)
def test_missing_wire(case: Loud) -> None:
    assert_loud("missing-wire", case)


@pytest.mark.parametrize(
    "text",
    [
        on(""),
        on("NEM 652"),
        on("NEM 660"),
        on("PluX22"),
        on("Next18"),
        on("NEM 652", socket="NEM 651"),  # the decoder has the wire
        railed(on("NEM 651")),
        railed(on("NEM 651", yellow=OTHER_LED)),
        railed(on("NEM 651", OTHER_LED, output="brown")),  # a loose wire that the sheet lists
        on("NEM 651", "[]"),
        on("NEM 651", "[{parallel: [{series: [1.5 kohm 1 W, led a], return: rail}]}]"),
        on("NEM 651", sheet=sheet("NEM 651", "{regulated: 12 V}")),
        on("NEM 651", supply="{common: 13 V}"),
        on("", LED, sheet=sheet("NEM 652", outputs="name: Bare"), output="green"),
        on("", LED, sheet=sheet("", outputs="name: Bare"), output="green"),
    ],
)
def test_wires_that_are_there(text: str) -> None:
    assert_silent("missing-wire", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (on("NEM 6 5 1"), "a readable interface"),
        (on("", socket="NEM 6 5 1"), "a readable interface"),
        (on("", sheet="lost.decoder.yaml"), "a readable interface"),
        (railed(on("", LED, sheet=UNLISTED, output="roof")).replace("white", "roof"), "a readable list of outputs on the decoder sheet"),
        (railed(on("", LED, sheet=sheet("NEM 651", outputs="outputs: 3"), output="green")), "a readable list of outputs on the decoder sheet"),
    ],
)  # fmt: skip
def test_wires_of_which_nobody_can_tell(text: str, lack: str) -> None:
    whole = report(text)
    assert "missing-wire" not in {finding.rule for finding in whole.findings}
    assert [lacking for _, lacking in lacks(whole, "missing-wire")] == [lack]


# --- lamp-on-logic-output ---------------------------------------------------------------------------------------------

DRIVER = "{driver: {limit: 200 mA}}"
BOARD = "{board: {voltage: 12 V, current: 20 mA}}"

ON_LOGIC = [
    Loud("a lamp", plan(LED, output="logic"), ERROR, "led a", ('the lamp "led a" hangs straight on the output "logic", which has a logic level of 5 V and feeds no lamp without a driver',), {"voltage": 5.0}, related=("5 V",)),
    Loud("two are one mistake", plan("[1.5 kohm 1 W, led a, led b]", output="logic"), ERROR, "led a", related=("led b", "5 V")),
    Loud("beside one with a driver", plan(f"[{{parallel: [[1.5 kohm 1 W, led a, {DRIVER}], [1.5 kohm 1 W, led b]]}}]", output="logic"), ERROR, "led b"),
    Loud("a board", plan(f"[{BOARD}]", output="logic"), ERROR, BOARD, (f'the board "{BOARD}" hangs straight',)),
]  # fmt: skip


@pytest.mark.parametrize("case", ON_LOGIC, ids=has_name)
def test_lamp_on_logic_output(case: Loud) -> None:
    assert_loud("lamp-on-logic-output", case)


@pytest.mark.parametrize(
    "text",
    [
        plan(LED),
        plan(f"[1.5 kohm 1 W, led a, {DRIVER}]", output="logic"),
        plan(f"[{{parallel: [[1.5 kohm 1 W, led a], [1.5 kohm 1 W, led b]]}}, {DRIVER}]", output="logic"),
        plan(f"[{{series: [{DRIVER}]}}, {{series: [1.5 kohm 1 W, led a]}}]", output="logic"),
        plan(f"[1.5 kohm 1 W, led a, {{parallel: [[{DRIVER}], [10 ohm, {DRIVER}]]}}]", output="logic"),
        plan("[10 kohm]", output="logic"),
        on("NEM 660", LED, sheet=sheet("NEM 660", outputs="outputs: {aux3: {number: 5, limit: 100 mA}}"), output="aux3"),
        on("NEM 660", LED, sheet=sheet("NEM 660", outputs="outputs: {green: {number: 3}}"), output="green"),
        on("PluX22", LED, sheet=sheet("PluX22", outputs="outputs: {aux3: {number: 5}}"), output="aux3"),
    ],
)  # fmt: skip
def test_lamp_on_an_output_with_power(text: str) -> None:
    assert_silent("lamp-on-logic-output", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        *(
            (
                on("", LED, sheet=sheet(interface, outputs="outputs: {AUX4: {number: 6}}"), output="AUX4"),
                ("AUX4", "a logic level or a limit of this output on the decoder sheet"),
            )
            for interface in ("NEM 660", "Next18")
        ),
        (plan("[1 kuhm, led a]", output="logic"), ("1 kuhm", "a readable element, which may be a driver")),
    ],
)
def test_an_output_that_may_have_logic_level(text: str, lack: tuple[str, str]) -> None:
    whole = report(text)
    assert "lamp-on-logic-output" not in {finding.rule for finding in whole.findings}
    assert lacks(whole, "lamp-on-logic-output") == [lack]


# --- overloaded-contact -----------------------------------------------------------------------------------------------

STRONG, STRONGER = "[lamp of 650 mA]", "[lamp of 2 A]"
REGULATED_651 = sheet("NEM 651", "{regulated: 13.1 V}")
BOTH = "{F0: {turns-on: [{output: white}]}, F3: {turns-on: [{output: brown}]}}"
NEVER_BOTH = "{F0: {turns-on: [{output: white, when: forward}, {output: brown, when: reverse}]}}"
ONE, OTHER = "[lamp of 1 A]", "[lamp of 650 mA]"

OVERLOADED = [
    Loud("an output's", on("", STRONG, sheet=REGULATED_651), ERROR, "white", ('the contact of the output "white" would carry 650 mA; "NEM 651" allows 500 mA there',), {"current": 0.65, "limit": 0.5}, related=("NEM 651",)),
    Loud("by the socket", on("", STRONGER, socket="NEM 652"), ERROR, "white", ("would carry 1.64 A", '"NEM 652" allows 1.5 A there')),
    Loud("second-hand", on("Next18", STRONG), WARNING, "white", ('"Next18" allows 500 mA there (read second-hand)',)),
    Loud("a loose wire on the common contact", on("NEM 652", STRONGER, output="brown", keys="{F3: {turns-on: [{output: brown}]}}"), ERROR, "brown", ("the common would carry 1.64 A with F3 on, forward",), {"state": {"keys": ["F3"], "direction": "forward", "moving": False}}),
    Loud("two outputs together", on("NEM 652", ONE, brown=OTHER, keys=BOTH), ERROR, "white", ("the common would carry 1.69 A with F0 and F3 on, forward",), {"current": 1.69}),
    Loud("the motor alone", on("NEM 651", "[]", motor="600 mA"), ERROR, "600 mA", ('for the motor each rail would carry 600 mA; "NEM 651" allows 500 mA there',), {"current": 0.6}),
    Loud("the motor with a lamp", on("", LED, motor="495 mA", sheet=REGULATED_651, keys="{F0: {turns-on: [{output: white}]}}"), ERROR, "495 mA", ("for the motor and the outputs each rail would carry 502 mA with F0 on, forward",), {"limit": 0.5}),
    Loud("two contacts for the common", on("Next18", ONE, output="brown", keys="{F3: {turns-on: [{output: brown}]}}"), WARNING, "brown", ("the common would carry 1.04 A", "allows 1 A there (read second-hand)")),
]  # fmt: skip


@pytest.mark.parametrize("case", OVERLOADED, ids=has_name)
def test_overloaded_contact(case: Loud) -> None:
    assert_loud("overloaded-contact", case)


@pytest.mark.parametrize(
    "text",
    [
        on("", STRONGER),
        on("NEM 652", STRONG),
        on("NEM 660", STRONGER),
        on("PluX22", STRONGER),
        on("NEM 652", ONE, brown=OTHER, keys=NEVER_BOTH),
        on("NEM 652", ONE, brown=OTHER),  # nothing turns them on
        on("", LED, motor="450 mA", sheet=REGULATED_651, keys="{F0: {turns-on: [{output: white}]}}"),
        on("", "[lamp of 500 mA]", sheet=REGULATED_651),  # exactly 500 mA
        on("Next18", STRONG, output="brown", keys="{F3: {turns-on: [{output: brown}]}}"),
    ],
)
def test_contact_that_carries_it(text: str) -> None:
    assert_silent("overloaded-contact", text)


@pytest.mark.parametrize(
    ("text", "lack"),
    [
        (on("NEM 652", "[1 kuhm, led a]"), "a readable element"),
        (on("NEM 6 5 1"), "a readable interface"),
        (on("NEM 652", motor="1 V"), "a readable current of the motor"),
        (
            on("NEM 652", ONE, brown=OTHER, keys="{F0: {turns-on: [{output: white}, {output: brown, when: sunday}]}}"),
            "which outputs burn together",
        ),
    ],
)
def test_contacts_of_which_nobody_can_tell(text: str, lack: str) -> None:
    whole = report(text)
    assert "overloaded-contact" not in {finding.rule for finding in whole.findings}
    assert {lacking for _, lacking in lacks(whole, "overloaded-contact")} == {lack}


# --- off-code-wire ----------------------------------------------------------------------------------------------------


def named(name: str, output: str, more: str = "") -> str:
    """A plan with a lamp of that name on that wire."""
    text = plan(LED, sheet=sheet(outputs=f"outputs: {{{output}: {{number: 1, limit: 1 A}}}}"), output=output)
    return text.replace("led a", name).replace("Tipper 9}", f"Tipper 9{more}}}")


OFF_CODE = [
    *(Loud(wire, named("cab lamp", wire), NOTE, wire, (f'the lamp "cab lamp" hangs on the wire "{wire}", which is the {role} in the colour code',), related=("cab lamp",))
      for wire, role in (("red", "right rail"), ("black", "left rail"), ("orange", "motor plus"), ("grey", "motor minus"), ("blue", "common"))),
    Loud("with a capital", named("cab lamp", "Red"), NOTE, "Red"),
    Loud("rear on white", named("left rear headlight", "white"), NOTE, "white", ("which is the front light in the colour code",)),
    Loud("front on yellow", named("Front headlamp", "yellow"), NOTE, "yellow", ("which is the rear light in the colour code",)),
    Loud("any lamp, also on a reversed vehicle", named("cab lamp", "blue", ", reversed: true"), NOTE, "blue"),
]  # fmt: skip


@pytest.mark.parametrize("case", OFF_CODE, ids=has_name)
def test_off_code_wire(case: Loud) -> None:
    assert_loud("off-code-wire", case)


@pytest.mark.parametrize(
    "text",
    [
        named("front headlamp", "white"),
        named("rear headlamp", "yellow"),
        named("tail lamp", "yellow"),
        named("tail lamp", "white"),  # burns at the other end, going forward
        named("rear tail lamp", "white"),
        named("rear marker lamp", "white"),
        named("front tail lamp", "yellow"),
        named("red rear light", "white"),
        named("headlamp", "yellow"),
        named("rear cab lamp", "white"),
        named("front and rear headlamp", "white"),
        named("rear headlamp", "green"),
        named("front headlamp", "violet"),
        named("horn", "brown"),
        named("rear headlamp", "white", ", reversed: true"),
        plan("[]", sheet=sheet(outputs="outputs: {red: {number: 1}}"), output="red"),
        plan(LED, output="red"),  # is no output at all
        plan("[1.5 kohm 1 W, {parallel: [[led a], [led b]]}]").replace("led a", "rear lamp").replace("led b", "front lamp"),
    ],
)  # fmt: skip
def test_wire_by_the_code(text: str) -> None:
    assert_silent("off-code-wire", text)
