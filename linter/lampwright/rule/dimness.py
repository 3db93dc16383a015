"""What is too little light for a lamp: by the wish for an LED, by the rating of a bulb.

The rules find it, and a fix that puts in more resistance keeps clear of it. Knows no words.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.electrical.facts import ElementFacts, OutputFacts
from lampwright.analysis.electrical.light import bulb_light
from lampwright.model.circuit import Bulb, Led, lamp_kind
from lampwright.model.values import is_above
from lampwright.text import Span

USUAL_SHARE, COLD_SHARE = 0.5, 0.25
"""Of the wished current, below which an LED is dim: with all usual values, and in the cold corner (common practice)."""

LEAST_LIGHT = 0.1
"""Of its light, below which a bulb is dim (common practice)."""


def dim_corner(facts: ElementFacts) -> str | None:
    """In which corner an LED is dim, "usual" or "lowest"; None where it is not, or nothing is wished for it."""
    kind = lamp_kind(facts.element)
    if not isinstance(kind, Led) or kind.wish is None:
        return None
    if is_above(USUAL_SHARE * kind.wish.usual, facts.current.usual):
        return "usual"
    return "lowest" if is_above(COLD_SHARE * kind.wish.usual, facts.current.lowest) else None


def dim_light(facts: ElementFacts) -> float | None:
    """The share of its light that a dim bulb gives with all usual values; None where it is not dim."""
    kind = lamp_kind(facts.element)
    if not isinstance(kind, Bulb):
        return None
    light = bulb_light(facts.effective_voltage.usual / kind.voltage.usual)
    return light if is_above(LEAST_LIGHT, light) else None


def is_dim(facts: ElementFacts) -> bool:
    """Whether that is a lamp with too little light."""
    return dim_corner(facts) is not None or dim_light(facts) is not None


def underlit(facts: OutputFacts) -> frozenset[Span]:
    """The places of the lamps of an output that are dim."""
    return frozenset(_underlit(facts))


def _underlit(facts: OutputFacts) -> Iterator[Span]:
    yield from (each.span for each in facts.elements if is_dim(each))
