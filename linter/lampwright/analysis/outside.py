"""Which elements the simple law of currents does not hold, and what an output lacks for it. Computes nothing.

The law knows resistors, ohmic bulbs, LEDs and diodes of constant forward voltage, in series and in parallel.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import NamedTuple

from lampwright.model.circuit import (
    Board,
    Chain,
    Driver,
    Element,
    Lamp,
    Led,
    Parallel,
    PlacedLamp,
    Regulator,
    Unreadable,
    leaves,
)
from lampwright.text import Span


class Lack(NamedTuple):
    """What is lacking, in short plain words, and the place that it is lacking for.

    `is_read` where the place itself could be read and only the law of what stands there is lacking.
    """

    span: Span
    lacks: str
    is_read: bool = False


MOST_ELEMENTS = 300
"""In one circuit: ten times what a model has room for, and what takes seconds at most in the worst arrangement."""


def first_lack(chain: Chain) -> Lack | None:
    """The first place in `chain` that is outside the law, in reading order."""
    if sum(1 for _ in islice(leaves(chain), MOST_ELEMENTS + 1)) > MOST_ELEMENTS:
        return Lack(chain.span, f"a circuit of at most {MOST_ELEMENTS} elements", is_read=True)
    return next(_lacks(chain), None)


def first_unreadable(element: Element) -> Lack | None:
    """The first place below `element` that could not be read, or says too little to know what is there."""
    return next((lack for lack in _lacks(element) if not lack.is_read), None)


def _lacks(element: Element) -> Iterator[Lack]:
    match element:
        case Chain(elements=parts):
            if element.rail_span is not None:
                yield Lack(element.rail_span, "the law of a lamp that returns to a rail", is_read=True)
            for part in parts:
                yield from _lacks_inside(part)
        case Parallel(branches=branches):
            for branch in branches:
                yield from _lacks_inside(branch)
        case _:
            yield from _lacks_of_leaf(element)


def _lacks_inside(element: Element) -> Iterator[Lack]:
    """As for any element; but inside a circuit an empty list says neither wire nor gap, so that nobody can tell."""
    match element:
        case Chain(elements=()) | Parallel(branches=()):
            yield Lack(element.span, "an element in this list")
        case _:
            yield from _lacks(element)


def _lacks_of_leaf(element: Element) -> Iterator[Lack]:
    match element:
        case Unreadable():
            yield Lack(element.span, "a readable element")
        case PlacedLamp(lamp=None):
            yield Lack(element.span, "a lamp of this name")
        case PlacedLamp(lamp=Lamp(kind=None)):
            yield Lack(element.span, "readable data of this lamp")
        case PlacedLamp(lamp=Lamp(kind=Led()), reversed=True):
            yield Lack(element.span, "the law of a reversed LED", is_read=True)
        case Regulator():
            yield Lack(element.span, "the law of a current regulator", is_read=True)
        case Board():
            yield Lack(element.span, "the law of a lighting board", is_read=True)
        case Driver():
            yield Lack(element.span, "the law of a driver", is_read=True)
