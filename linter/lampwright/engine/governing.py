"""The settings that are in force, each with what it comes to and where it was written, if it was.

What they are called is what one writes: `margins.output-current`. Opens nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lampwright.diagnostics import Severity
from lampwright.engine import RULE_NAMES
from lampwright.engine.documents import Document, read_document
from lampwright.kinds import Kind
from lampwright.model.defaults import RESISTOR_TOLERANCE
from lampwright.model.settings import Settings
from lampwright.model.values import Figure
from lampwright.plan.quantities import Measured
from lampwright.plan.settings import Settings as WrittenSettings
from lampwright.records import dataclass
from lampwright.rules import RULES
from lampwright.syntax import Mapping, Node
from lampwright.text import Source, Span
from lampwright.units import Dimension, say, say_rating


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting. `value` is in SI, as JSON can hold it, `said` as people write it; both None where nothing is set.

    `span` is where it is written, None if it is not. `default` is why it is what it is, where what is written is not
    what counts: "scale", "practice", "handbook", "iec", "rule", "none", or "unread" where nothing is taken for it since
    what is written cannot be read.
    """

    name: str
    value: Any
    said: str | None
    span: Span | None
    default: str | None


def governing(source: Source | None, settings: Settings) -> tuple[Setting, ...]:
    """All settings that hold where the file `source` (None: no file) governs, which was read to `settings`."""
    document = read_document(source, Kind.SETTINGS, RULE_NAMES) if source is not None else None
    return tuple(_Governing(document, settings).all())


@dataclass(frozen=True, slots=True)
class _Governing:
    document: Document | None
    settings: Settings

    def all(self) -> Iterator[Setting]:
        settings = self.settings
        usual = "scale" if settings.common is None else "none"
        unread = None if settings.supply_is_readable else "unread"
        yield self._figure("supply.track", settings.track, Dimension.VOLTAGE, unread or usual)
        yield self._figure("supply.common", settings.common, Dimension.VOLTAGE, unread or "none")
        yield from self._resistors()
        yield self._share("margins.output-current", settings.margins.output_current, "practice")
        yield self._share("margins.lamp-current", settings.margins.lamp_current, "practice")
        yield self._share("margins.resistor-power", settings.margins.resistor_power, "handbook")
        yield from self._keys()
        yield self._figure("inside", settings.inside, Dimension.TEMPERATURE, "practice")
        yield self._share("meter", settings.meter, "practice")
        exclude = list(settings.exclude)
        yield self._setting("exclude", exclude, ", ".join(exclude) or None, "none")
        yield self._spares()
        yield from self._levels()

    def _resistors(self) -> Iterator[Setting]:
        settings = self.settings
        unread = None if settings.resistors_are_readable else "unread"
        series = "resistors.series" if self._place("resistors.series") else "resistors"
        yield self._setting("resistors.series", settings.series, settings.series, "practice", series)
        stated = settings.resistor_tolerance
        yield self._share("resistors.tolerance", RESISTOR_TOLERANCE if stated is None else stated, unread or "iec")
        rating = settings.resistor_rating.usual if settings.resistor_rating is not None else None
        yield self._setting(
            "resistors.rating", rating, say_rating(rating) if rating is not None else None, unread or "none"
        )

    def _keys(self) -> Iterator[Setting]:
        keys = self.settings.keys
        for number, label in sorted(keys.items()):
            yield self._setting(f"keys.F{number}", label, label, "none")
        if not keys:
            yield self._setting("keys", None, None, "none")

    def _levels(self) -> Iterator[Setting]:
        usual = {rule.name: rule.level for rule in RULES}
        levels: dict[str, Severity | None] = {**usual, **self.settings.levels}
        for name, level in sorted(levels.items()):
            word = level.word if level is not None else "ignore"
            yield self._setting(f"levels.{name}", word, word, "rule")

    def _spares(self) -> Setting:
        shape = self.document.shape if self.document is not None else None
        order = shape.order if isinstance(shape, WrittenSettings) else None
        spares = order.spares if order is not None else None
        if not isinstance(spares, Measured):
            return self._setting("order.spares", None, None, "none")
        return self._share("order.spares", spares.usual, "none")

    # --- One setting --------------------------------------------------------------------------------------------------

    def _share(self, name: str, value: float, default: str) -> Setting:
        return self._setting(name, value, say(value, Dimension.SHARE), default)

    def _figure(self, name: str, figure: Figure | None, dimension: Dimension, default: str) -> Setting:
        if figure is None:
            return self._setting(name, None, None, default)
        value = {"lowest": figure.lowest, "usual": figure.usual, "highest": figure.highest}
        return self._setting(name, value, _said(figure, dimension), default)

    def _setting(self, name: str, value: Any, said: str | None, default: str, written_as: str = "") -> Setting:
        span = self._place(written_as or name)
        is_read = span is not None and not self._is_faulty(span)
        return Setting(name, value, said, span, None if is_read else default)

    def _place(self, name: str) -> Span | None:
        """Where the entry of that name is written, key and value."""
        node: Node | None = self.document.tree.root if self.document is not None else None
        span: Span | None = None
        for step in name.split("."):
            key = node.key(step) if isinstance(node, Mapping) else None
            if key is None or not isinstance(node, Mapping):
                return None
            node = node[key]
            span = key.span.to(node.span) if node.span.start > key.span.start else key.span
        return span

    def _is_faulty(self, span: Span) -> bool:
        """Whether what is written there was dropped with a problem."""
        assert self.document is not None
        return any(span.holds(problem.span) for problem in self.document.problems)


def _said(figure: Figure, dimension: Dimension) -> str:
    if not figure.has_spread:
        return say(figure.usual, dimension)
    ends = f"{say(figure.lowest, dimension)} to {say(figure.highest, dimension)}"
    middle = (figure.lowest + figure.highest) / 2
    return ends if abs(figure.usual - middle) < 1e-9 * middle else f"{ends}, usually {say(figure.usual, dimension)}"
