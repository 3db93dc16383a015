"""What is wrong with a text that should be a quantity, and what was probably meant. The sentences are the rules'."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from math import inf
from typing import NamedTuple

from lampwright.records import dataclass, replace
from lampwright.units.dimensions import FRACTIONS, UNITS, Dimension, strictly
from lampwright.units.saying import digits


@dataclass(frozen=True, slots=True)
class Misread:
    """A mistake: `kind` is the rule that words it, `reason` tells that rule which sentence.

    `start` to `end` is the whole quantity in the text that was given, `written` what stands there. `meant` are texts to
    put there, most likely first. Each reads as a quantity of `dimension`; after a range or a spread ("dash-range",
    "plus-minus", "reversed-range") it reads as a range, after a resistor's parts in the wrong order as a resistor.
    `found` names what was written in the place of what belongs: "voltage", "newton", "kilowatt".
    """

    kind: str
    start: int
    end: int
    written: str
    dimension: Dimension
    meant: tuple[str, ...]
    reason: str
    found: str | None = None

    def moved(self, by: int) -> Misread:
        """The same mistake in a longer text, of which this one began at `by`."""
        return replace(self, start=self.start + by, end=self.end + by)


class Likely(NamedTuple):
    """A unit that a bare number probably had, if the number lies in these bounds; `times` is put to the number first.

    `Likely("mA", 1)` makes "15 mA" of 15, `Likely("%", 0, 1, times=100)` makes "40 %" of 0.4.
    """

    unit: str
    lowest: float = 0.0
    highest: float = inf
    times: int = 1


# The sizes that occur in a model locomotive, for fields that know no better.
USUALLY: Mapping[Dimension, tuple[Likely, ...]] = {
    Dimension.VOLTAGE: (Likely("V", 0, 100), Likely("mV", 100)),
    Dimension.CURRENT: (Likely("A", 0, 0.999), Likely("mA", 1)),
    Dimension.RESISTANCE: (Likely("kohm", 1, 9.999), Likely("ohm")),
    Dimension.POWER: (Likely("W", 0, 10), Likely("mW", 10)),
    Dimension.SHARE: (Likely("%", 0, 1, times=100), Likely("%", 1)),
    Dimension.RATE: (Likely("per minute"),),
    Dimension.TEMPERATURE: (Likely("°C"),),
}


@dataclass(frozen=True, slots=True)
class Case:
    """A text that is no quantity of `dimension`, without spaces around it, and the units that it may have lacked.

    `patience` is how many mistakes, one inside the other, are mended before no proposal is made.
    """

    text: str
    dimension: Dimension
    likely: tuple[Likely, ...]
    patience: int = 5

    def of(self, text: str) -> Case:
        """The same question about another text, with less patience for further mistakes in it."""
        return replace(self, text=text.strip(), patience=self.patience - 1)

    def misread(self, kind: str, reason: str, meant: Iterable[str] = (), found: str | None = None) -> Misread:
        """The answer about the whole text; what does not read strictly is no proposal."""
        proper = (text for text in meant if strictly(text, self.dimension) is not None)
        return self.misread_range(kind, reason, proper, found)

    def misread_range(self, kind: str, reason: str, meant: Iterable[str], found: str | None = None) -> Misread:
        """The same where `meant` are known to read, some of them as ranges."""
        return Misread(kind, 0, len(self.text), self.text, self.dimension, tuple(dict.fromkeys(meant)), reason, found)

    def unreadable(self, reason: str, meant: Iterable[str] = ()) -> Misread:
        """The answer unreadable-quantity about the whole text."""
        return self.misread("unreadable-quantity", reason, meant)

    def with_unit(self, number: str) -> list[str]:
        """`number` with the units that it probably had."""
        if number in FRACTIONS and self.dimension is Dimension.POWER:
            return [f"{number} W"]
        number = str(FRACTIONS.get(number, number))
        hints = self.likely or USUALLY[self.dimension]
        value = float(number)
        fitting = [hint for hint in hints if hint.lowest <= value <= hint.highest] or hints[:1]
        return [f"{_multiplied(number, hint.times)} {hint.unit}" for hint in fitting]


# Gives the texts that are probably meant by another, still faulty one; none if it cannot tell.
Mend = Callable[[str], tuple[str, ...]]


# What a field may say of the units it expects: "mA", or ("mA", 1, 1000), or a `Likely`.
Hint = str | tuple[str, float, float] | Likely


def likely_units(hints: Iterable[Hint], dimension: Dimension) -> tuple[Likely, ...]:
    """`hints` in one form, without units of another dimension. A number below 1 may always be a share of one."""
    uniform = tuple(Likely(hint) if isinstance(hint, str) else Likely(*hint) for hint in hints)
    if uniform and dimension is Dimension.SHARE and all(hint.times == 1 for hint in uniform):
        uniform = (Likely("%", 0, 0.9999, times=100), *uniform)
    return tuple(hint for hint in uniform if hint.unit in UNITS and UNITS[hint.unit].dimension is dimension)


def _multiplied(number: str, times: int) -> str:
    return number if times == 1 else digits(Decimal(number) * times)
