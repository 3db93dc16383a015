"""Plans that can be read and are odd: what makes a rule count, choose or solve where there is nothing to."""

from __future__ import annotations

from hostile_cases import Case, plan

from command import PLAN


def driven(motor: str, more: str, keys: str = "{}") -> str:
    """A plan of which no lamp burns, with a motor whose current begins at 1:43."""
    text = PLAN[: PLAN.index("keys:\n")] + f"keys: {keys}\n"
    text = text.replace("switcher 7}", f"switcher 7, motor: {motor}}}")
    return text.replace("decoder: {", f"decoder: {{{more}, ")


CIRCUITS: dict[str, Case] = {
    "a motor that is too much for the decoder while no lamp burns": plan(
        driven("1 A", "limits: {whole-decoder: 500 mA}"),
        "1:43 overloaded-decoder",
    ),
    "a motor that is too much for a rail while no output can be told of": plan(
        driven("5 A", "interface: NEM 652", "{F0: {turns-on: [{output: white, when: sideways}]}}").replace(
            "[1.5 kohm 1/4 W, front headlamp]", "[{board: {voltage: 12 V, current: 20 mA}}, front headlamp]"
        ),
        "1:43 overloaded-contact",
        "7:63 unprotected-led",
        "8:46 unknown-name",
    ),
    "a reading in the common that fits nothing, a plug, and no output of which anything can be told": plan(
        PLAN.replace("decoder: {", "decoder: {interface: Next18, ")
        .replace("[1.5 kohm 1/4 W, front headlamp]", "front headlamp 5 W")
        .replace("output: white, when", "output: mauve, when")
        + "common: {circuit: [100 kohm 1/4 W], measured: {outputs: [], across: {820 ohm: 2.9 V}}}\n",
        "7:20 wrong-shape",
        "9:46 unknown-name",
    ),
}
