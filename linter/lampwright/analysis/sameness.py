"""What of a plan is the very same in an older text of it, so that all that was found out about it still holds.

Nothing is compared but which object it is: what has not changed in a text is lowered once.
"""

from __future__ import annotations

from collections.abc import Mapping
from operator import is_

from lampwright.model.circuit import Chain
from lampwright.model.keys import Key, Look
from lampwright.model.lighting import LightingPlan, Output


def same_outputs(plan: LightingPlan, older: LightingPlan) -> tuple[str, ...]:
    """The outputs that are what they were, with all that has a say in what flows through them; none if anything is
    measured in the common lead.
    """
    is_same_around = (
        plan.supply is older.supply
        and plan.decoder is older.decoder
        and plan.settings is older.settings
        and plan.vehicle is older.vehicle
        and plan.stock is older.stock
        and plan.common_measured is None
        and older.common_measured is None
        and _is_same_lead(plan.common_circuit, older.common_circuit)
    )
    if not is_same_around:
        return ()
    return tuple([name for name, output in plan.outputs.items() if older.outputs.get(name) is output])


def _is_same_lead(one: Chain | None, other: Chain | None) -> bool:
    if one is None or other is None:
        return False
    return one is other or not (one.elements or other.elements)


def same_keys(plan: LightingPlan, older: LightingPlan) -> bool:
    """Whether all that tells when which output is on, and with which look, is what it was."""
    return (
        plan.decoder is older.decoder
        and plan.vehicle is older.vehicle
        and plan.settings is older.settings
        and plan.always is older.always
        and plan.keys_are_complete == older.keys_are_complete
        and plan.outputs_are_known == older.outputs_are_known
        and _are(plan.keys, older.keys)
        and list(plan.outputs) == list(older.outputs)
        and all(map(_looks_the_same, plan.outputs.values(), older.outputs.values()))
    )


def _are(ones: Mapping[int, Key], others: Mapping[int, Key]) -> bool:
    return list(ones) == list(others) and all(map(is_, ones.values(), others.values()))


def _looks_the_same(one: Output, other: Output) -> bool:
    """Whether nothing but the circuit is another one, if that. A look that says something has a place of its own."""
    if one is other:
        return True
    is_same = one.span.moves_with(other.span) and one.decoder_output is other.decoder_output
    return is_same and one.look == other.look == Look()
