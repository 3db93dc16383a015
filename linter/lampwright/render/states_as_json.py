"""The state table of a plan as one JSON object, for papers and programs; the help of the command says what it holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lampwright.account.objects import written
from lampwright.account.states import OutputAccount, PlanStates
from lampwright.analysis.logic.questions import Product
from lampwright.analysis.logic.states import LitStates


def render_states_json(name: str, states: PlanStates) -> str:
    """The states of the plan in file `name`, rates in hertz, with a line end."""
    outputs = {output: _output(each) for output, each in states.outputs.items()}
    return f"{written({'format': 1, 'plan': name, 'outputs': outputs}, indent=2)}\n"


def _output(account: OutputAccount) -> dict[str, Any]:
    return {
        "lamps": list(account.lamps) if account.lamps is not None else None,
        "always": account.is_always_lit,
        "lit": [_lit(each) for each in account.lit],
        "undecided": account.lacks,
    }


def _lit(states: LitStates) -> dict[str, Any]:
    look = states.look
    values: dict[str, Sequence[str | float]] = {
        "effect": look.effects,
        "brightness": look.brightness,
        "rate": look.rates,
    }
    return {
        **{what: each[0] if len(each) == 1 else None for what, each in values.items()},
        "conflicts": {what: list(each) for what, each in values.items() if len(each) > 1},
        "when": [_product(product) for product in states.products],
    }


def _product(product: Product) -> list[dict[str, Any]]:
    return [{"variable": literal.variable, "is": literal.positive} for literal in product]
