"""An order with all that is said about it: what it holds, which plans are not in it, what could be simpler."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.parts import part_name
from lampwright.account.words import counted
from lampwright.analysis.needs import Part
from lampwright.analysis.ordering import Line, Order, Spares
from lampwright.records import dataclass
from lampwright.units import Dimension, say


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A plan that is not in the order, and how many errors there are in it and in what it hangs on.

    None: nothing in it can be read.
    """

    plan: str
    errors: int | None


@dataclass(frozen=True, slots=True)
class Instead:
    """A part that can take the place of another one in all plans of the order.

    `places` is in how many places of the circuits; `current` is how many times the current its lamps carry then, least
    and most. What it saves: kinds that need not be bought, and pieces.
    """

    part: Part
    instead_of: Part
    plans: tuple[str, ...]
    places: int
    is_from_stock: bool
    current: tuple[float, float]
    kinds: int
    pieces: int


@dataclass(frozen=True, slots=True)
class Suggestions:
    """What can be simpler, each given those before it; `untried` is how many more were not tried, for lack of time."""

    found: tuple[Instead, ...] = ()
    untried: int = 0


@dataclass(frozen=True, slots=True)
class OrderList:
    """All that the command `order` has to say.

    `unsure` are plans with places of which it cannot be told what is needed, each with how many such places it has; 0
    where a whole circuit could not be read.
    """

    order: Order
    left_out: tuple[LeftOut, ...] = ()
    unsure: tuple[tuple[str, int], ...] = ()
    suggestions: Suggestions = Suggestions()


def said_spares(spares: Spares) -> str:
    """How many spares there are of each part."""
    if spares.share:
        return f"{say(float(spares.share), Dimension.SHARE, 6)} spare of each, rounded up"
    return f"{spares.number} spare of each" if spares.number else "no spares"


def title(listed: OrderList) -> str:
    """What this is a list of."""
    return f"To buy for {counted(len(listed.order.demands), 'plan')}, {said_spares(listed.order.spares)}"


def sums(listed: OrderList) -> str:
    """How much is to be bought, in a line."""
    lines = listed.order.missing
    if not listed.order.lines:
        return "the plans need no parts"
    if not lines:
        return "all of it is in stock"
    return f"{counted(sum(line.buy for line in lines), 'piece')} of {counted(len(lines), 'kind')} to buy"


def said_buy(line: Line) -> str:
    """How many are to be bought: `12`, `2 packs of 25`, or nothing."""
    if not line.missing:
        return ""
    return f"{counted(line.packs, 'pack')} of {line.pack}" if line.packs is not None else str(line.buy)


def remarks(listed: OrderList) -> Iterator[str]:
    """Which plans are not in the order, or not wholly, a line each."""
    for each in listed.left_out:
        if each.errors is None:
            yield f"{each.plan} is left out: there is no plan in it that can be read"
        else:
            yield f"{each.plan} is left out: {counted(each.errors, 'error')} in it or in what it hangs on"
    for plan, places in listed.unsure:
        what = counted(places, "place") if places else "a circuit"
        yield f"{plan} may need more: of {what} in it nothing can be told"


def suggestion_lines(suggestions: Suggestions) -> Iterator[str]:
    """What could be simpler, a line each."""
    for each in suggestions.found:
        yield said_instead(each)
    if suggestions.untried:
        yield f"{counted(suggestions.untried, 'more exchange')} would have taken too long to try"


def said_instead(instead: Instead) -> str:
    """`1.2 kohm 1/4 W 5 % instead of 1 kohm 1/4 W 5 % in 3 places of 2 plans; saves ...`."""
    stock = ", from stock," if instead.is_from_stock else ""
    where = f"{counted(instead.places, 'place')} of {counted(len(instead.plans), 'plan')}"
    saved = [f"buying {counted(instead.kinds, 'kind')}"] if instead.kinds else []
    saved += [counted(instead.pieces, "piece")] if instead.pieces > 0 else []
    more = f"; {counted(-instead.pieces, 'piece')} more" if instead.pieces < 0 else ""
    return (
        f"{part_name(instead.part)}{stock} instead of {part_name(instead.instead_of)} in {where}"
        f"{said_current(instead.current)}; saves {' and '.join(saved)}{more}"
    )


def said_current(current: tuple[float, float]) -> str:
    """How much of their current the lamps carry then; nothing where that is the same."""
    least, most = (say(times, Dimension.SHARE, 2 if times < 1 else 3) for times in current)
    if least == most == "100 %":
        return ""
    return f"; its lamps carry {least if least == most else f'{least} to {most}'} of the current"
