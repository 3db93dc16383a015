"""Figures, states and CVs in the words of the trade, for tables, pages and editors. Knows no form of them."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from lampwright.account.figures import ElementFigures, Limit, ReadingFigures
from lampwright.account.states import OutputAccount
from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.logic.questions import Product
from lampwright.analysis.logic.states import LitLook, LitStates
from lampwright.analysis.programming import Setting
from lampwright.model.circuit import Resistor
from lampwright.model.keys import Literal
from lampwright.model.registers import FieldPlace
from lampwright.rule.cv_meanings import Words
from lampwright.rule.phrases import listed
from lampwright.rule.programming import said_place
from lampwright.rule.writing import resistor_text
from lampwright.units import Dimension, say, say_rating

_DIGITS = 6
"""Of a figure of the plan: what was written is said again, not rounded."""

# --- Figures ----------------------------------------------------------------------------------------------------------


def element_name(element: ElementFigures) -> str:
    """What an element is called: a lamp by its name, a resistor as it would be written."""
    if element.name is not None:
        return element.name
    part = element.facts.element
    if isinstance(part, Resistor):
        return resistor_text(part.resistance.usual, part.rating.usual if part.rating is not None else None)
    return {"regulator": "current regulator", "board": "lighting board"}.get(element.kind, element.kind)


def remarks(element: ElementFigures) -> Iterator[str]:
    """What is to say of an element besides its figures: how much of its limit, its light, its life."""
    if element.limit is not None:
        dimension = {"led": Dimension.CURRENT, "bulb": Dimension.VOLTAGE, "driver": Dimension.CURRENT}
        yield share_of(element.limit, dimension.get(element.kind, Dimension.POWER))
    if element.facts.share_of_time < 1:
        yield f"{say(element.facts.share_of_time, Dimension.SHARE)} of the time"
    if element.light is not None and element.light > 0:
        yield f"{_portion(element.light)} of its light"
    if element.life is not None:
        yield f"life {_times(element.life)}"


def share_of(limit: Limit, dimension: Dimension) -> str:
    """How much of a limit is taken, and the limit."""
    most = say_rating(limit.value) if dimension is Dimension.POWER else say(limit.value, dimension)
    return f"more than {most}" if isinf(limit.share) else f"{_portion(limit.share)} of {most}"


def _portion(share: float) -> str:
    return say(share, Dimension.SHARE, 2 if share < 1 else 3)


def _times(life: float) -> str:
    if life > 1000:
        return "more than 1000 times"
    return f"{float(f'{life:.2g}'):g} times" if life >= 1.05 else say(life, Dimension.SHARE, 2)


def said_value(value: float, dimension: Dimension) -> str:
    """A figure with its unit, or that nothing limits it."""
    return "unlimited" if isinf(value) else say(value, dimension)


def spread_of(figures: Range, dimension: Dimension) -> str:
    """What a figure can be; nothing where it is always the same, or has no end."""
    if isinf(figures.highest):
        return ""
    low, high = say(figures.lowest, dimension), say(figures.highest, dimension)
    if low == high:
        return ""
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"


def said_range(figures: Range, dimension: Dimension) -> str:
    """The usual value, and what it can be."""
    spread = spread_of(figures, dimension)
    return said_value(figures.usual, dimension) + (f" ({spread})" if spread else "")


def said_reading(reading: ReadingFigures) -> str:
    """`across front headlamp measured 2.9 V, by the plan 2.95 V (2.8 to 3.1 V)`."""
    dimension = Dimension.CURRENT if reading.what == "current" else Dimension.VOLTAGE
    where = {"current": "", "voltage": "common to output ", "across": f"across {reading.name} "}[reading.what]
    # With the digits that the meter showed, not rounded.
    state = f"with {listed(reading.together)} on " if reading.together else ""
    measured = f"{state}{where}measured {say(reading.measured.usual, dimension, _DIGITS)}"
    return (
        measured if reading.computed is None else f"{measured}, by the plan {said_range(reading.computed, dimension)}"
    )


# --- States -----------------------------------------------------------------------------------------------------------


def lit_lines(account: OutputAccount) -> Iterator[str]:
    """When an output burns and how, a line each; alternatives are indented below the first."""
    if account.lacks is not None:
        yield f"  cannot be told, for lack of {account.lacks}"
    elif not account.lit:
        never = "never on: no state meets what would turn it on" if account.is_named else "nothing turns it on"
        yield f"  {never}"
    for states in account.lit:
        yield from _states(states)


def _states(states: LitStates) -> Iterator[str]:
    look = said_look(states.look)
    if states.products == ((),):
        yield f"  {look}, always"
        return
    first, *others = (said_product(product) for product in states.products)
    # What has a comma of ours in it is closed by another one.
    yield f"  {look}{',' if states.look.rates or states.look.is_at_odds else ''} {first}"
    yield from (f"    or {other}" for other in others)


def said_look(look: LitLook) -> str:
    """`steady`, `steady at 40 %`, `alternating flash, 60 per minute`, `in conflict, steady or beacon`."""
    said = listed(look.effects, "or")
    if look.brightness != (1.0,):
        said += f" at {listed([say(share, Dimension.SHARE, _DIGITS) for share in look.brightness], 'or')}"
    if look.rates:
        said += f", {listed([say(rate, Dimension.RATE, _DIGITS) for rate in look.rates], 'or')}"
    return f"in conflict, {said}" if look.is_at_odds else said


def said_product(product: Product) -> str:
    """`while F0 and F3 are on and F5 is off, forward`; what always holds is `always`."""
    keys = [literal for literal in product if literal.variable.startswith("F")]
    on = [literal.variable for literal in keys if literal.positive]
    off = [literal.variable for literal in keys if not literal.positive]
    said = " and ".join(_are(names, what) for names, what in ((on, "on"), (off, "off")) if names)
    others = [_word(literal) for literal in product if literal not in keys]
    return f"while {', '.join([said, *others] if said else others)}" if product else "always"


def _are(names: list[str], what: str) -> str:
    return f"{listed(names)} {'is' if len(names) == 1 else 'are'} {what}"


def _word(literal: Literal) -> str:
    if literal.variable == "forward":
        return "forward" if literal.positive else "reverse"
    return "moving" if literal.positive else "stopped"


# --- CVs --------------------------------------------------------------------------------------------------------------


def meaning_of(setting: Setting, words: Words) -> str:
    """What a write of a CV does, and to which of its bits where the rest of it is to be kept."""
    said = words.of(setting)
    page = f" (page {setting.page[0]}/{setting.page[1]})" if setting.page is not None else ""
    if setting.must_be_read_first:
        places = listed(list(dict.fromkeys(said_place(place) for place in _decided(setting))))
        return f"set {places} as here, keep the rest: {said}{page}"
    return f"{said}{page}"


def _decided(setting: Setting) -> list[FieldPlace]:
    return sorted((claim.place for claim in setting.claims), key=lambda place: place.lowest)
