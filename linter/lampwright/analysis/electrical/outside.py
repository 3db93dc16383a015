"""What cannot be computed, and what an output lacks for it. Computes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import NamedTuple

from lampwright.model.circuit import (
    Chain,
    Driver,
    Element,
    Lamp,
    Parallel,
    PlacedLamp,
    Resistor,
    Unreadable,
    lamp_kind,
    leaves,
    returns_to_rail,
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
    if _is_plain(chain):
        return None
    if sum(1 for _ in islice(leaves(chain), MOST_ELEMENTS + 1)) > MOST_ELEMENTS:
        return Lack(chain.span, f"a circuit of at most {MOST_ELEMENTS} elements", is_read=True)
    return next(_lacks(chain), None)


def _is_plain(chain: Chain) -> bool:
    """Whether `chain` is what most are: a few resistors and lamps in series, with all their data."""
    for each in chain.elements:
        if not (isinstance(each, Resistor) or lamp_kind(each) is not None):
            return False
    return len(chain.elements) <= MOST_ELEMENTS


def first_unreadable(element: Element) -> Lack | None:
    """The first place below `element` that could not be read, or says too little to know what is there."""
    return next((lack for lack in _lacks(element) if not lack.is_read), None)


def _lacks(element: Element) -> Iterator[Lack]:
    match element:
        case Chain(elements=parts):
            for number, part in enumerate(parts):
                yield from _lacks_inside(part)
                if number < len(parts) - 1 and returns_to_rail(part):
                    # What two feeds share carries now the sum and now one of them, and lets them meet.
                    yield Lack(element.span, "an output of its own for what returns to a rail", is_read=True)
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


def lack_of_driver(circuit: Chain) -> Lack | None:
    """What a logic-level output lacks where something on it has no driver in its way."""
    return None if _is_driven(circuit) else Lack(circuit.span, "a driver at this logic-level output", is_read=True)


def _is_driven(element: Element) -> bool:
    match element:
        case Chain(elements=parts):
            return not parts or any(map(_is_driven, parts))
        case Parallel(branches=branches):
            return bool(branches) and all(map(_is_driven, branches))
    return isinstance(element, Driver)
