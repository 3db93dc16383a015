"""Circuits with their lamps looked up and their resistors completed from catalogue and settings."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.model.circuit import (
    Board,
    Chain,
    Diode,
    Driver,
    Element,
    Lamp,
    Parallel,
    PlacedLamp,
    Regulator,
    Resistor,
    Unreadable,
)
from lampwright.model.lowering.catalogue import Catalogue, size_rating
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure, spread_figure
from lampwright.model.settings import Settings
from lampwright.model.stock import only_entry, resistor_meant
from lampwright.model.values import Figure
from lampwright.plan import circuits as written
from lampwright.plan.elements import UnreadText, WrittenResistor
from lampwright.plan.quantities import report_misreads
from lampwright.plan.words import Word
from lampwright.records import dataclass, replace
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class CircuitLowering:
    """What circuits of one plan are lowered with. `lamps_are_complete` is false if lamps may be missing from it."""

    lamps: Mapping[str, Lamp]
    lamps_are_complete: bool
    catalogue: Catalogue
    settings: Settings
    notes: Notes

    def chain(self, shape: written.Chain, rail_span: Span | None = None) -> Chain:
        """The chain that `shape` writes."""
        elements = tuple(self._element(item, node.span) for node, item in shape.items)
        return Chain(shape.span, elements, rail_span)

    def _element(self, item: object, span: Span) -> Element:
        match item:
            case Word():
                return self._lamp(item, reversed_=False)
            case WrittenResistor(text=text) | UnreadText(node=text) if text in self.lamps:
                # That no lamp may have a name that begins like a figure is said where it is defined.
                return self._lamp(Word(str(text), span), reversed_=False)
            case WrittenResistor():
                return self._resistor(item)
            case UnreadText(node=node, misreads=misreads):
                report_misreads(node, misreads, self.notes.report)
                return Unreadable(span, hides_lamps=False)
            case written.LampElement(lamp=Word() as word) if not item.lost("reversed"):
                return self._lamp(word, reversed_=item.reversed is not None and item.reversed.value)
            case written.ResistorElement():
                return self._resistor_element(item)
            case written.ParallelElement(parallel=written.Branches() as branches):
                chains = tuple(self._branch(branch, node.span) for node, branch in branches.items)
                return Parallel(span, chains)
            case written.SeriesElement(series=written.Chain() as chain):
                return self.chain(chain)
        return self._simple(item, span)

    def _simple(self, item: object, span: Span) -> Element:
        match item:
            case written.DiodeElement() if (drop := spread_figure(item.diode, self.notes)) is not None:
                return Diode(span, drop)
            case written.RegulatorElement() if (current := figure(item.current_regulator)) is not None:
                if item.lost("needs"):
                    return Unreadable(span, hides_lamps=False)
                return Regulator(span, current, figure(item.needs))
            case written.BoardElement(board=written.BoardData() as data):
                voltage, current = figure(data.voltage), figure(data.current)
                return Board(span, voltage, current) if voltage and current else Unreadable(span, hides_lamps=False)
            case written.DriverElement(driver=written.DriverData() as data) if (
                limit := figure(data.limit)
            ) is not None:
                return Driver(span, limit)
        hides_lamps = not isinstance(item, _LAMPLESS)
        return Unreadable(span, hides_lamps)

    def _branch(self, item: object, span: Span) -> Chain:
        match item:
            case written.Chain():
                return self.chain(item)
            case written.RailBranch(series=written.Chain() as chain) if not item.lost("return_"):
                return self.chain(chain, item.return_.span if item.return_ is not None else None)
        return Chain(span, (Unreadable(span),))

    def _lamp(self, word: Word, *, reversed_: bool) -> PlacedLamp:
        lamp = self.lamps.get(word.text)
        if lamp is None and self.lamps_are_complete:
            self.notes.unknown("lamp", word, self.lamps)
        return PlacedLamp(word.span, word.text, lamp, reversed_)

    def _resistor_element(self, item: written.ResistorElement) -> Element:
        if item.resistor is None or any(map(item.lost, ("rating", "tolerance", "size"))):
            return Unreadable(item.span, hides_lamps=False)
        tolerance = item.tolerance.usual if item.tolerance is not None else None
        rating = figure(item.rating) or size_rating(item.size)
        meant = self._meant(item.span, item.resistor.usual, tolerance, rating)
        return replace(meant, size=item.size.text) if item.size is not None and isinstance(meant, Resistor) else meant

    def _resistor(self, item: WrittenResistor) -> Element:
        rating = Figure.exact(item.rating, item.span) if item.rating is not None else None
        return self._meant(item.span, item.resistance, item.tolerance, rating)

    def _meant(self, span: Span, resistance: float, tolerance: float | None, rating: Figure | None) -> Element:
        stock = self.catalogue.resistors
        entry = only_entry(stock, resistance)
        if entry is not None and not entry.is_readable and (tolerance is None or rating is None):
            return Unreadable(span, hides_lamps=False)
        resistor = resistor_meant(stock, self.settings, span, resistance, tolerance, rating)
        may_be_in_stock = entry is None and not self.catalogue.resistors_are_complete
        may_be_in_settings = resistor.rating is None and not self.settings.resistors_are_readable
        if rating is None and (may_be_in_stock or may_be_in_settings):
            return replace(resistor, rating=None, rating_is_readable=False)
        return resistor


_LAMPLESS = (written.DiodeElement, written.RegulatorElement, written.BoardElement, written.DriverElement)
