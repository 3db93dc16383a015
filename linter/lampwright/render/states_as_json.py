"""The state table of a plan as one JSON object, for papers and programs; the help of the command says what it holds."""

from __future__ import annotations

from lampwright.account.objects import written
from lampwright.account.plan_objects import states_object
from lampwright.account.states import PlanStates


def render_states_json(name: str, states: PlanStates) -> str:
    """The states of the plan in file `name`, rates in hertz, with a line end."""
    outputs = {output: states_object(each) for output, each in states.outputs.items()}
    return f"{written({'format': 1, 'plan': name, 'outputs': outputs}, indent=2)}\n"
