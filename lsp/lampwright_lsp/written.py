"""What is to be said of what is written, whatever happens in the wires: a rule, a quantity, a condition. In lines.

The first line is a title. Knows no places in a text and no request.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from lampwright.analysis.resistors.preferred import bands
from lampwright.diagnostics import Severity
from lampwright.rule.phrases import listed
from lampwright.rules import RULES
from lampwright.units import Dimension, read_range, say
from lampwright.units.dimensions import strictly
from lampwright.units.otherwise import otherwise
from lampwright.units.ranges import sides

_HEADING = re.compile(r"(?:Bad|Good|Fixed|Settings|Source)\b[^\n]*:")

_CONDITIONS = {
    "forward": "while the direction is forward, also at a standstill",
    "reverse": "while the direction is reverse, also at a standstill",
    "moving": "while the vehicle moves",
    "stopped": "while the vehicle stands still",
}
_OPPOSITES = {"forward": "reverse", "reverse": "forward", "moving": "stopped", "stopped": "moving"}


def of_rule(name: str, levels: Mapping[str, Severity | None] | None = None) -> Iterator[str]:
    """What a rule looks for and why, and what the settings make of it."""
    rule = next((each for each in RULES if each.name == name), None)
    if rule is None:
        return
    yield f"{rule.name} ({rule.level.word} at most)"
    for paragraph in rule.page.strip().split("\n\n"):
        if _HEADING.match(paragraph):
            break
        yield " ".join(paragraph.split())
    if levels is not None and name in levels:
        level = levels[name]
        yield "by the settings it is ignored" if level is None else f"by the settings it is of level {level.word}"


def of_condition(text: str) -> Iterator[str]:
    """A word of a condition that is no key."""
    word = text.removeprefix("not ")
    if word in _CONDITIONS:
        meant = word if word == text else _OPPOSITES[word]
        yield text
        yield _CONDITIONS[meant]
        yield f"the same as {f'not {_OPPOSITES[word]}' if word == text else meant}"


def of_quantity(text: str, tolerance: str | None = None) -> Iterator[str]:
    """A quantity or a range as it might be written as well; of a resistance the bands that are for its `tolerance`."""
    *lower, last = (side for _, side in sides(text.strip()))
    dimension = next((each for each in Dimension if strictly(last, each) is not None), None)
    if dimension is None:
        return
    said = list(_of_range(text, dimension) if lower else _of_figure(last, dimension, tolerance))
    yield from (text, *said) if said else ()


def _of_figure(text: str, dimension: Dimension, tolerance: str | None) -> Iterator[str]:
    ways = otherwise(text)
    if ways:
        yield f"also written {listed(list(ways), 'or')}"
    value = strictly(text, dimension)
    if dimension is Dimension.RATE and value:
        yield f"once in {_seconds(value)}"
    share = strictly(tolerance, Dimension.SHARE) if tolerance is not None else None
    if dimension is Dimension.RESISTANCE and value is not None and share is not None:
        worn = bands(value, share)
        if worn:
            yield f"bands: {', '.join(worn)}"


def _of_range(text: str, dimension: Dimension) -> Iterator[str]:
    found = [value for value in read_range(text, dimension) if isinstance(value, float)]
    if len(found) == 3:
        lowest, usual, highest = found
        if dimension is not Dimension.RATE:
            yield f"usually {say(usual, dimension)}, the middle"
        elif lowest:
            yield f"once in {_seconds(lowest)} to once in {_seconds(highest)}"


def _seconds(rate: float) -> str:
    return f"{1 / rate:.3g} s"
