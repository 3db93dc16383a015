"""What a plan's state table comes to, ready to be printed: each output with its lamps, and when it burns how.

Says in words why nothing can be told of an output. Knows no form of print.
"""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.analysis.logic import LogicFacts, logic_facts
from lampwright.analysis.logic.looks import Lack
from lampwright.analysis.logic.states import LitStates
from lampwright.model.circuit import Chain, Unreadable, leaves, placed_lamps
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass
from lampwright.rule.circumstances import lacking

_FIXED = "a word of the plan about what the decoder's fixed keys turn on by themselves"


@dataclass(frozen=True, slots=True)
class OutputAccount:
    """One output. `lamps` is None where they could not all be read.

    `lit` are its looks with their states, of which no two overlap; in no other state does it burn. `is_always_lit`
    tells whether they fill all states, `is_named` whether any entry names it. `lacks` says in short plain words why
    nothing is known, else it is None.
    """

    lamps: tuple[str, ...] | None
    lit: tuple[LitStates, ...]
    is_always_lit: bool
    is_named: bool
    lacks: str | None = None


@dataclass(frozen=True, slots=True)
class PlanStates:
    """All outputs of a plan, and those that only entries name. `loose` are the lamps that hang on none of them."""

    outputs: Mapping[str, OutputAccount]
    loose: tuple[str, ...]


def plan_states(plan: LightingPlan, logic: LogicFacts | None = None) -> PlanStates:
    """The state table of `plan`; whoever has its facts already hands them over."""
    logic, fixed = logic or logic_facts(plan), _fixed(plan)
    circuits = [output.circuit for output in plan.outputs.values()] + [plan.common_circuit]
    wired = {name for circuit in circuits for name in _lamps(circuit) or ()}
    loose = [name for name in plan.lamps if name not in wired] if plan.wiring_is_complete else []
    outputs = {name: _account(name, plan, logic, fixed) for name in logic.states}
    return PlanStates(outputs, tuple(loose))


def _account(name: str, plan: LightingPlan, logic: LogicFacts, fixed: frozenset[str]) -> OutputAccount:
    states = logic.states[name]
    lamps = _lamps(plan.outputs[name].circuit) if name in plan.outputs else None
    if isinstance(states, Lack):
        return OutputAccount(lamps, (), is_always_lit=False, is_named=name in logic.entries_of, lacks=lacking(states))
    # What is decided of its looks was decided of the output as a whole before.
    always = logic.is_always_lit(name) is True
    lacks = _FIXED if name in fixed and not states.is_named else None
    return OutputAccount(lamps, states.lit, always, states.is_named, lacks)


def _fixed(plan: LightingPlan) -> frozenset[str]:
    """The outputs that the decoder's fixed keys turn on, whatever the plan says."""
    mapping = plan.decoder.mapping if plan.decoder is not None else None
    entries = [entry for key in mapping.fixed for entry in key.entries] if mapping is not None else []
    return frozenset(output.text for entry in entries for output in entry.outputs)


def _lamps(circuit: Chain | None) -> tuple[str, ...] | None:
    if circuit is None or any(isinstance(leaf, Unreadable) and leaf.hides_lamps for leaf in leaves(circuit)):
        return None
    return tuple(dict.fromkeys(lamp.name for lamp in placed_lamps(circuit)))
