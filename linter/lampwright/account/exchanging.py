"""Looks for resistors of an order that could be exchanged for others, so that fewer kinds or pieces have to be bought.

An exchange is tried, not judged: it is written into the texts of all plans that need the part, and these are checked
again. It counts only if no finding has come and everything stays inside its limits. Knows no files and no form.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence

from lampwright.account.figures import PlanFigures, plan_figures
from lampwright.account.orders import Instead, Suggestions
from lampwright.account.parts import part_name
from lampwright.analysis.needs import Need, PlanNeeds, ResistorPart, plan_needs, resistor_part, stock_of
from lampwright.analysis.ordering import Demand, Order, order_of, shelf
from lampwright.diagnostics import Report
from lampwright.model.circuit import PlacedLamp, StockLamp
from lampwright.model.lighting import LightingPlan
from lampwright.model.stock import StockResistor, resistor_meant
from lampwright.model.values import is_above
from lampwright.records import dataclass, replace
from lampwright.text import Edit, Source, Span, apply

NEAR = 1.25
"""How many times the resistance another value may have: a step of the E12 series, which nobody sees in the light."""

MOST_CHECKS = 100
"""Plans that are checked again before the search is given up, so that it takes about a second."""


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """A plan as it could be written, and what is found in it."""

    source: Source
    plan: LightingPlan
    report: Report


Try = Callable[[str, str], Trial | None]
"""What comes of the plan in a file, by its name, with another text; None if nothing can be read then."""


def exchanges(order: Order, plans: Mapping[str, LightingPlan], attempt: Try) -> Suggestions:
    """What could be exchanged in the plans of `order`, rare parts first, each exchange on top of those before it."""
    search = _Search({name: plan.span.source.text for name, plan in plans.items()}, attempt)
    found: list[Instead] = []
    untried = 0
    rare = sorted((line for line in order.missing), key=lambda line: (line.quantity, shelf(line.part)))
    for old in [line.part for line in rare if isinstance(line.part, ResistorPart)]:
        for new in _candidates(order, old, plans):
            then = _with(order, old, new, plans)
            if not _saves(order, then):
                continue
            users = [demand.plan for demand in order.demands if _need(demand.needs, old) is not None]
            if search.checks + 2 * len(users) > MOST_CHECKS:
                untried += 1
                continue
            instead = _tried(order, then, (old, new), users, search)
            if instead is not None:
                found.append(instead)
                order = then
                break
    return Suggestions(tuple(found), untried)


class _Search:
    """The texts as they are by now, and what was found in them; how many checks that took."""

    def __init__(self, texts: dict[str, str], attempt: Try) -> None:
        self._texts, self._attempt = texts, attempt
        self._known: dict[str, Trial | None] = {}
        self.checks = 0

    def now(self, name: str) -> Trial | None:
        """The plan as it is."""
        if name not in self._known:
            self._known[name] = self.with_text(name, self._texts[name])
        return self._known[name]

    def with_text(self, name: str, text: str) -> Trial | None:
        """The plan as it would be."""
        self.checks += 1
        return self._attempt(name, text)

    def adopt(self, name: str, trial: Trial) -> None:
        """From now on it is so."""
        self._known[name] = trial


def _candidates(order: Order, old: ResistorPart, plans: Mapping[str, LightingPlan]) -> list[ResistorPart]:
    """What could take the place of `old`: resistors of the order or in stock, the closest first."""
    others = {line.part for line in order.lines if isinstance(line.part, ResistorPart)}
    for demand in order.demands:
        plan = plans[demand.plan]
        stocked = plan.stock if _need(demand.needs, old) is not None else ()
        others |= {_stocked(entry, plan) for entry in stocked if entry.count and entry.is_readable}
    fitting = [new for new in others - {old} if _is_near(old, new)]
    return sorted(fitting, key=lambda new: (abs(new.resistance / old.resistance - 1), shelf(new)))


def _stocked(entry: StockResistor, plan: LightingPlan) -> ResistorPart:
    return resistor_part(resistor_meant((entry,), plan.settings, plan.span, entry.resistance))


def _is_near(old: ResistorPart, new: ResistorPart) -> bool:
    if not old.resistance or not new.resistance or old.size != new.size:
        return False
    is_rated = new.rating is not None or old.rating is None
    return is_rated and 1 / NEAR <= new.resistance / old.resistance * (1 + 1e-9) <= NEAR * (1 + 2e-9)


def _need(needs: PlanNeeds, part: ResistorPart) -> Need | None:
    return next((need for need in needs.needs if need.part == part), None)


def _with(order: Order, old: ResistorPart, new: ResistorPart, plans: Mapping[str, LightingPlan]) -> Order:
    """The order with `new` in all places of `old`."""
    demands = [_exchanged(demand, old, new, stock_of(plans[demand.plan], new)) for demand in order.demands]
    return order_of(demands, order.spares)


def _exchanged(
    demand: Demand, old: ResistorPart, new: ResistorPart, stock: tuple[StockLamp | StockResistor, ...]
) -> Demand:
    gone, there = _need(demand.needs, old), _need(demand.needs, new)
    if gone is None:
        return demand
    both = [need for need in (there, gone) if need is not None]
    made = Need(
        new,
        sum(need.quantity for need in both),
        tuple(place for need in both for place in need.places),
        stock,
    )
    others = [need for need in demand.needs.needs if need not in both]
    return replace(demand, needs=replace(demand.needs, needs=(*others, made)))


def _kinds_and_pieces(order: Order) -> tuple[int, int]:
    return len(order.missing), sum(line.buy for line in order.missing)


def _saves(now: Order, then: Order) -> bool:
    """Whether fewer kinds are to be bought, or as many and fewer pieces."""
    return _kinds_and_pieces(then) < _kinds_and_pieces(now)


def _tried(
    order: Order, then: Order, exchange: tuple[ResistorPart, ResistorPart], users: Sequence[str], search: _Search
) -> Instead | None:
    """The exchange, if it can be made in all plans; they are as if it were made then."""
    old, new = exchange
    tried: dict[str, Trial] = {}
    currents: list[float] = []
    places = 0
    for name in users:
        before = search.now(name)
        after = _after(name, before, exchange, search) if before is not None else None
        if before is None or after is None:
            return None
        if not _is_proved(before, after, exchange):
            return None
        tried[name] = after
        places += len(_places(before, old))
        currents += _currents(before, after)
    for name, trial in tried.items():
        search.adopt(name, trial)
    kinds, pieces = (b - a for b, a in zip(_kinds_and_pieces(order), _kinds_and_pieces(then), strict=True))
    is_from_stock = not any(line.part == new and line.missing for line in then.lines)
    current = (min(currents, default=1.0), max(currents, default=1.0))
    return Instead(new, old, tuple(users), places, is_from_stock, current, kinds, pieces)


def _places(trial: Trial, part: ResistorPart) -> tuple[Span, ...]:
    need = _need(plan_needs(trial.plan), part)
    return need.places if need is not None else ()


def _after(name: str, before: Trial, exchange: tuple[ResistorPart, ResistorPart], search: _Search) -> Trial | None:
    """The plan with the one in all places of the other; None where that cannot be written or read."""
    old, new = exchange
    places = _places(before, old)
    if not places or any(not _is_one_text(place) for place in places):
        return None
    edits = [Edit(place, part_name(new)) for place in places]
    return search.with_text(name, apply(before.source, edits))


def _is_one_text(place: Span) -> bool:
    """Whether a resistor is written as one text, or in braces on one line."""
    text = place.text
    return "\n" not in text and "\r" not in text and (text[0].isdigit() or text[0] in "\"'{")


# --- The proof --------------------------------------------------------------------------------------------------------


def _is_proved(before: Trial, after: Trial, exchange: tuple[ResistorPart, ResistorPart]) -> bool:
    """Whether the exchange is what was written, no finding has come, and all that is known is inside its limits."""
    old, new = exchange
    moved, there = _places(before, old), _places(before, new)
    if _places(after, old) or len(_places(after, new)) != len(moved) + len(there):
        return False
    if _found(after.report) - _found(before.report) or _undecided(after.report) - _undecided(before.report):
        return False
    figures = plan_figures(after.plan)
    if any(each.lacks is not None for each in figures.outputs.values()):
        return False
    return not any(is_above(share, 1.0) for share in _shares(figures))


def _found(report: Report) -> Counter[tuple[str, str, int]]:
    return Counter((each.span.source.name, each.rule, int(each.level)) for each in report.findings)


def _undecided(report: Report) -> Counter[tuple[str, str]]:
    return Counter((each.rule, each.lacks) for each in report.undecided)


def _shares(figures: PlanFigures) -> Iterator[float]:
    """How much of its limit each lamp, resistor and output has."""
    for output in (*figures.outputs.values(), *([figures.common] if figures.common is not None else [])):
        yield from (limit.share for limit in (output.limit, *(each.limit for each in output.elements)) if limit)


def _currents(before: Trial, after: Trial) -> Iterator[float]:
    """How many times its current each lamp carries after the exchange."""
    then = _lamps(after.plan)
    for path, current in _lamps(before.plan).items():
        if current > 0 and path in then:
            yield then[path] / current


def _lamps(plan: LightingPlan) -> dict[tuple[str, str], float]:
    return {
        (name, each.facts.path): each.facts.current.usual
        for name, output in plan_figures(plan).outputs.items()
        for each in output.elements
        if isinstance(each.facts.element, PlacedLamp)
    }
