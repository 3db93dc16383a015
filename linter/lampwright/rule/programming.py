"""Turns of phrase about keys, conditions and CVs that the rules and the programming list share."""

from __future__ import annotations

from lampwright.analysis.programming import Unjudged
from lampwright.analysis.programming.wishes import Wanted
from lampwright.diagnostics import Severity, Undecided
from lampwright.model.keys import AllOf, AnyOf, Condition, Literal
from lampwright.model.registers import FieldPlace
from lampwright.rule.context import Context
from lampwright.rule.phrases import listed, quoted
from lampwright.units import Dimension, say

_DIGITS = {
    "ones": "the last decimal digit",
    "tens": "the tens digit",
    "hundreds": "the hundreds digit",
    "low": "the low hex digit",
    "high": "the high hex digit",
}
SECOND_HAND = "by RCN-227, which was read second-hand"


def not_judged(context: Context, rule: str) -> list[Undecided]:
    """Where `rule` cannot tell, each place once."""
    items = [item for item in context.programming.unjudged if rule in item.rules]
    return [Undecided(item.span, item.lacks) for item in dict.fromkeys(items)]


def weak_ceiling(*, is_second_hand: bool) -> Severity | None:
    """The highest level of a verdict about a mapping method."""
    return Severity.WARNING if is_second_hand else None


def weak_caveat(*, is_second_hand: bool) -> str:
    """What to add to such a verdict."""
    return f" ({SECOND_HAND})" if is_second_hand else ""


def said_condition(condition: Condition) -> str:
    """`forward`, `forward and not F3`, `F1 or F2`; nothing for the condition that always holds."""
    if isinstance(condition, Literal):
        return _literal(condition)
    parts = [said_condition(part) for part in condition.parts]
    if isinstance(condition, AllOf):
        several = [
            f"({text})" if isinstance(part, AnyOf) and len(condition.parts) > 1 else text
            for part, text in zip(condition.parts, parts, strict=True)
        ]
        return " and ".join(text for text in several if text)
    return " or ".join(f"({text})" if " and " in text else text for text in parts)


def _literal(literal: Literal) -> str:
    if literal.variable == "forward":
        return "forward" if literal.positive else "reverse"
    if literal.variable == "moving":
        return "moving" if literal.positive else "stopped"
    return literal.variable if literal.positive else f"not {literal.variable}"


def said_place(place: FieldPlace) -> str:
    """`the tens digit`, `bits 0 to 5`, `bit 7`."""
    if place.digit is not None:
        return _DIGITS[place.digit]
    return f"bit {place.lowest}" if place.lowest == place.highest else f"bits {place.lowest} to {place.highest}"


def said_look(what: str, value: Wanted) -> str:
    """`the effect "beacon"`, `40 %`, `60 per minute`."""
    if isinstance(value, str):
        return f"the effect {quoted(value)}"
    if value is None:
        return "the slowest rate"
    return say(value, Dimension.SHARE if what == "brightness" else Dimension.RATE)


def said_keys(keys: tuple[int, ...] | list[int]) -> str:
    """`F1`, `F1 and F3`."""
    return listed([f"F{key}" for key in keys])


__all__ = [
    "SECOND_HAND",
    "Unjudged",
    "not_judged",
    "said_condition",
    "said_keys",
    "said_look",
    "said_place",
    "weak_caveat",
    "weak_ceiling",
]
