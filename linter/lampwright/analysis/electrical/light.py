"""How much light a lamp gives, for comparing it with another one, and how long a bulb lives.

By the re-rating formulas of lamp handbooks, and the current of an LED; in no unit of light, as no plan states one.
"""

from __future__ import annotations

from math import exp, inf, log

from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.model.circuit import Bulb, Led, lamp_kind
from lampwright.records import dataclass

LIGHT_EXPONENT = 3.5
"""Of a bulb's voltage over its rated one: 3.4 to 3.5 (read second-hand: Fink and Beaty, Standard Handbook for
Electrical Engineers, 11th ed., p. 22-8)."""

LIFE_EXPONENT = -12.0
"""The same for its life: -12 to -16, and -12 is quoted most (the same source)."""


def bulb_light(share: float) -> float:
    """What a bulb gives of its rated light at `share` of its rated voltage.

    The power law holds near the rating. Below about 0.5 of it a filament is darker than this says, and above about 1.2
    it is soon gone (both bounds from memory): there the result tells more from less, and no more.
    """
    return float(share**LIGHT_EXPONENT)


def bulb_life(share: float) -> float:
    """How many of its rated lives a bulb has at `share` of its rated voltage; infinite at zero.

    Not to be trusted below about 0.5 and above about 1.2, as with `bulb_light`.
    """
    # What hardly glows lives longer than a float can say.
    exponent = LIFE_EXPONENT * log(share) if share > 0 else inf
    return exp(exponent) if exponent < 700 else inf


LightKind = tuple[type[Led | Bulb], str | None]
"""What can be compared with each other: bulbs, and LEDs of one stated colour, or of none."""


@dataclass(frozen=True, slots=True)
class Light:
    """How much light, for comparing it with that of lamps of the same kind."""

    kind: LightKind
    amount: float


def light_kind(kind: Led | Bulb) -> LightKind:
    """With which lamps one of this kind can be compared."""
    return (Led, kind.colour) if isinstance(kind, Led) else (Bulb, None)


def lamp_light(facts: ElementFacts) -> Light | None:
    """The light of a lamp in the usual corner; None for what is none.

    That of an LED goes with its current (amperes), that of a bulb with its rated power (watts) and `bulb_light`.
    """
    match lamp_kind(facts.element):
        case Led() as led:
            return Light(light_kind(led), facts.current.usual * facts.share_of_time)
        case Bulb() as bulb:
            rated = bulb.voltage.usual * bulb.current.usual
            share = facts.effective_voltage.usual / bulb.voltage.usual
            return Light(light_kind(bulb), rated * bulb_light(share))
    return None
