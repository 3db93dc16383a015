"""Other ways to a cure: a value that lies in stock, and two resistors where one will not do.

Each is proved by computing the output again; none is offered where the fault stays or another one comes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice

from lampwright.analysis.electrical import tried_facts
from lampwright.analysis.electrical.derating import derating, temperature_inside
from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.analysis.resistors.pairing import Pair, equal_pairs, pairs_of
from lampwright.analysis.resistors.rewiring import Gap, Slot, rewired
from lampwright.analysis.resistors.sizing import facts_of, rating_needed
from lampwright.diagnostics import Fix
from lampwright.model.circuit import Chain, Parallel, Resistor
from lampwright.model.stock import StockResistor, resistor_meant
from lampwright.model.values import Figure
from lampwright.records import dataclass, replace
from lampwright.rule.context import Context
from lampwright.rule.limits import Excess, excess_of
from lampwright.rule.worsening import Change, is_no_worse
from lampwright.rule.writing import changed, put_in_place, resistor_text
from lampwright.text import Edit, Span

NEAR = 1.5
"""How many times the resistance wished for a value from stock may have."""

MOST_TRIED = 8
"""Values or pairs that are computed before the search is given up: the closest ones come first."""

MOST_COMPUTED = 100
"""Elements of which that takes the figures in all: a circuit of 25 takes four times as long as one of 12."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is looked for: in `slot` at least about `least` ohms, with which the facts of the output fit.

    `before` are the facts as they are, `power` the watts that one resistor would turn into heat there.
    """

    before: OutputFacts
    slot: Slot
    least: float
    power: float
    fits: Callable[[OutputFacts], bool]


def alternatives(context: Context, wish: Wish) -> Iterator[Fix]:
    """From stock, where the wished value does not lie there; two resistors, where no single one will do.

    None where readings would stay behind that are of another circuit.
    """
    if context.plan.has_readings_of(wish.before.output):
        return
    stocked = [entry for entry in context.plan.stock if entry.count != 0 and entry.is_readable and entry.resistance > 0]
    if any(_is_value(entry, wish.least) and _carries(context, entry, wish.power) for entry in stocked):
        return
    from_stock = next(_from_stock(context, wish, stocked), None)
    if from_stock is not None:
        yield from_stock
    is_sold = rating_needed(wish.power, _share_of_rating(context)) is not None
    if not is_sold or (stocked and from_stock is None):
        yield from islice(_two(context, wish, stocked), 1)


def _is_value(entry: StockResistor, resistance: float) -> bool:
    return abs(entry.resistance - resistance) <= 1e-9 * resistance


def _share_of_rating(context: Context) -> float:
    """What a resistor may have of its rating, by the club's margin and in the warmth of the shell."""
    return context.settings.margins.resistor_power * derating(temperature_inside(context.plan))


def _carries(context: Context, entry: StockResistor, power: float) -> bool:
    rating = entry.rating or context.settings.resistor_rating
    return rating is not None and power <= _share_of_rating(context) * rating.usual * (1 + 1e-9)


def _most_tried(wish: Wish) -> int:
    return max(1, min(MOST_TRIED, MOST_COMPUTED // max(1, len(wish.before.elements))))


def _verb(wish: Wish) -> str:
    return "Put in" if isinstance(wish.slot, Gap) else "Use"


# --- One resistor from stock ------------------------------------------------------------------------------------------


def _from_stock(context: Context, wish: Wish, stocked: Sequence[StockResistor]) -> Iterator[Fix]:
    near = [entry for entry in stocked if wish.least / NEAR <= entry.resistance <= NEAR * wish.least]
    for entry in islice(sorted(near, key=lambda entry: entry.resistance), _most_tried(wish)):
        resistor = _stocked(context, entry, wish.slot)
        if _is_proved(context, wish, resistor, [resistor]):
            edits = _written(context, wish.slot, resistor)
            if edits:
                yield Fix(f"{_verb(wish)} {_text(resistor)}, from stock", edits)
                return


def _stocked(context: Context, entry: StockResistor, slot: Slot) -> Resistor:
    return resistor_meant((entry,), context.settings, _place(slot), entry.resistance)


def _place(slot: Slot) -> Span:
    return slot.chain.span if isinstance(slot, Gap) else slot.span


def _text(resistor: Resistor) -> str:
    return resistor_text(resistor.resistance.usual, resistor.rating.usual if resistor.rating is not None else None)


def _written(context: Context, slot: Slot, resistor: Resistor) -> tuple[Edit, ...]:
    if isinstance(slot, Gap):
        return put_in_place(context.tree, slot, _text(resistor))
    rating = resistor.rating.usual if resistor.rating is not None else None
    return changed(context.tree, slot, resistor.resistance.usual, rating)


# --- Two resistors ----------------------------------------------------------------------------------------------------


def _two(context: Context, wish: Wish, stocked: Sequence[StockResistor]) -> Iterator[Fix]:
    by_value = {entry.resistance: entry for entry in stocked}
    pairs: Iterator[Pair] = iter(equal_pairs(context.settings.series, wish.least))
    if stocked:
        pairs = pairs_of(by_value, wish.least)
    for pair in islice(pairs, _most_tried(wish)):
        both = [_one_of(context, wish, pair, resistance, by_value) for resistance in pair.resistances]
        if _is_proved(context, wish, _joined(wish.slot, pair, both), both):
            text = _joined_text(pair, both)
            edits = put_in_place(context.tree, wish.slot, text)
            if edits:
                where = ", from stock" if stocked else ""
                how = "in series" if pair.is_series else "side by side"
                yield Fix(f"{_verb(wish)} {_text(both[0])} and {_text(both[1])} {how}{where}", edits)


def _one_of(
    context: Context, wish: Wish, pair: Pair, resistance: float, by_value: dict[float, StockResistor]
) -> Resistor:
    if resistance in by_value:
        return _stocked(context, by_value[resistance], wish.slot)
    meant = resistor_meant((), context.settings, _place(wish.slot), resistance)
    share = resistance / sum(pair.resistances)
    power = wish.power * (share if pair.is_series else 1 - share)
    rating = rating_needed(power, _share_of_rating(context))
    return replace(meant, rating=Figure.exact(rating)) if rating is not None else meant


def _joined(slot: Slot, pair: Pair, both: Sequence[Resistor]) -> Chain | Parallel:
    place = _place(slot)
    if pair.is_series:
        return Chain(place, tuple(both))
    return Parallel(place, tuple(Chain(place, (resistor,)) for resistor in both))


def _joined_text(pair: Pair, both: Sequence[Resistor]) -> str:
    one, other = map(_text, both)
    return f"{{series: [{one}, {other}]}}" if pair.is_series else f"{{parallel: [[{one}], [{other}]]}}"


# --- The proof --------------------------------------------------------------------------------------------------------


def _is_proved(context: Context, wish: Wish, element: Resistor | Chain | Parallel, new: Sequence[Resistor]) -> bool:
    """Whether the fault is gone with `element`, no other one has come, and the new resistors carry their heat."""
    margins = context.settings.margins
    after = tried_facts(*rewired(context.plan, wish.before.output, wish.slot, element))
    if not isinstance(after, OutputFacts) or not wish.fits(after):
        return False
    found = [facts_of(after, resistor) for resistor in new]
    if not all(facts is not None and excess_of(facts, margins) is Excess.NONE for facts in found):
        return False
    return is_no_worse(Change(wish.before, wish.slot, element), after, margins)
