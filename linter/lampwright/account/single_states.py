"""States that are listed one by one, and which lamps burn in each, with what they carry then.

They are: no key, each key of the plan alone, and all of them, each way and standing or moving. The formulas behind them
tell of all others.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from lampwright.account.states import PlanStates
from lampwright.analysis.electrical import ElectricalFacts
from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.logic.questions import Product, State
from lampwright.analysis.logic.states import LitLook
from lampwright.model.circuit import PlacedLamp
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class LitLamp:
    """How a lamp burns, and what it carries with its output fully on and alone; None where that cannot be told."""

    look: LitLook
    facts: ElementFacts | None


@dataclass(frozen=True, slots=True)
class StateLine:
    """A state with the lamps that burn in it, by their names."""

    state: State
    lit: Mapping[str, LitLamp]


def state_lines(
    plan: LightingPlan, states: PlanStates, electrical: ElectricalFacts | None = None
) -> Iterator[StateLine]:
    """The states that are listed, in the order of their keys; without `electrical` nothing is told of currents."""
    keys = [plan.keys[number].name for number in sorted(plan.keys)]
    pressed = dict.fromkeys([(), *((key,) for key in keys), tuple(keys)])
    for on, forward, moving in product(pressed, (True, False), (False, True)):
        state = State(on, forward=forward, moving=moving)
        yield StateLine(state, dict(_lit(state, states, electrical)))


def _lit(state: State, states: PlanStates, electrical: ElectricalFacts | None) -> Iterator[tuple[str, LitLamp]]:
    for output, account in states.outputs.items():
        look = next((each.look for each in account.lit if any(_holds(one, state) for one in each.products)), None)
        if look is not None:
            facts = electrical.outputs.get(output) if electrical is not None else None
            for lamp in account.lamps or ():
                yield lamp, LitLamp(look, _facts_of(lamp, facts))


def _holds(condition: Product, state: State) -> bool:
    values = {"forward": state.forward, "moving": state.moving}
    return all(values.get(each.variable, each.variable in state.keys) == each.positive for each in condition)


def _facts_of(lamp: str, facts: object) -> ElementFacts | None:
    elements = facts.elements if isinstance(facts, OutputFacts) else ()
    placed = (each for each in elements if isinstance(each.element, PlacedLamp) and each.element.name == lamp)
    return next(placed, None)
