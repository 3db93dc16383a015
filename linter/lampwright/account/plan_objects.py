"""States of outputs and writes of CVs as plain objects, in the form that the commands' help promises to programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lampwright.account.states import OutputAccount
from lampwright.analysis.logic.questions import Product
from lampwright.analysis.logic.states import LitStates
from lampwright.analysis.programming import Setting
from lampwright.rule.cv_meanings import Words


def states_object(account: OutputAccount) -> dict[str, Any]:
    """When an output burns and how, rates in hertz."""
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


def setting_object(setting: Setting, words: Words) -> dict[str, Any]:
    """A write of a CV, and what it means."""
    return {
        "cv": setting.cv,
        "value": setting.value,
        "mask": setting.mask,
        "page": list(setting.page) if setting.page is not None else None,
        "default": setting.default,
        "meaning": words.of(setting),
    }
