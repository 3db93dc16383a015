"""The figures of a plan as a table to read at the bench: what each resistor, lamp and output carries."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from lampwright.account.figures import ElementFigures, Limit, OutputFigures, PlanFigures
from lampwright.account.sayings import element_name, remarks, said_range, said_reading, said_value, share_of, spread_of
from lampwright.analysis.electrical.supply import measured_common
from lampwright.analysis.together import Together
from lampwright.harmless import harmless_text
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass
from lampwright.rule.circumstances import at_supply, in_state
from lampwright.rule.phrases import listed
from lampwright.units import Dimension

WIDTH = 100
"""Columns where nothing says how many there are."""

_HEADS = ("current", "voltage", "power")
_GAP = "  "


def render_figures_text(name: str, plan: LightingPlan, figures: PlanFigures, width: int = WIDTH) -> str:
    """The tables, with a line end. Usual values; below them what they can be, where they have a spread."""
    named = [(f"output {output}", each) for output, each in figures.outputs.items()]
    if figures.common is not None:
        named.insert(0, ("common lead, in the worst state", figures.common))
    layout = _Layout([_row(element) for _, each in named for element in each.elements], width)
    lines = [*_wrapped(_title(name, plan), width), "", *layout.heads()]
    for title, each in named:
        lines += ["", *_wrapped(_heading(title, each), width)]
        lines += [line for reading in each.readings for line in _wrapped(f"{_GAP}{said_reading(reading)}", width)]
        lines += [line for element in each.elements for line in layout.lines(_row(element))]
    lines += ["", *_wrapped(_together(plan, figures.together), width)]
    return harmless_text(lines)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent=_GAP, break_long_words=False, break_on_hyphens=False)


def _title(name: str, plan: LightingPlan) -> str:
    vehicle = f"{plan.vehicle.name.text}, " if plan.vehicle.name is not None else ""
    at = at_supply(plan, "usual", measured_common(plan))
    return f"{vehicle}{name}: each output fully on and alone, {at}".rstrip(", ")


def _heading(title: str, figures: OutputFigures) -> str:
    if figures.lacks is not None or figures.current is None:
        return f"{title}: cannot be told, for lack of {figures.lacks}"
    if not figures.elements and not figures.current.highest:
        return f"{title}: nothing hangs on it"
    limit = f", at most {share_of(figures.limit, Dimension.CURRENT)}" if figures.limit is not None else ""
    return f"{title}: {said_range(figures.current, Dimension.CURRENT)}{limit}"


@dataclass(frozen=True, slots=True)
class _Row:
    """One element: its name, its usual figures, what they can be (empty where they have no spread), what is to say."""

    name: str
    usual: tuple[str, ...]
    spread: tuple[str, ...]
    remarks: str


def _row(element: ElementFigures) -> _Row:
    facts = element.facts
    ranges = ((facts.current, Dimension.CURRENT), (facts.voltage, Dimension.VOLTAGE), (facts.power, Dimension.POWER))
    return _Row(
        _GAP * facts.path.count(".parallel.") + element_name(element),
        tuple(said_value(each.usual, dimension) for each, dimension in ranges),
        tuple(spread_of(each, dimension) for each, dimension in ranges),
        "; ".join(remarks(element)),
    )


class _Layout:
    """The columns of all tables. What is to say of an element stands behind its figures, or below them."""

    def __init__(self, rows: Sequence[_Row], width: int) -> None:
        self._name = max((len(row.name) for row in rows), default=0)
        columns = zip(_HEADS, *(row.usual for row in rows), *(row.spread for row in rows), strict=True)
        self._widths = [max(map(len, column)) for column in columns]
        remarks = max((len(row.remarks) for row in rows), default=0)
        self._is_wide = self._name + sum(self._widths) + remarks + len(_GAP) * 5 <= width

    def heads(self) -> Iterator[str]:
        yield self._line("", _HEADS, "at most, of its limit" if self._is_wide else "")

    def lines(self, row: _Row) -> Iterator[str]:
        yield self._line(row.name, row.usual, row.remarks if self._is_wide else "")
        if any(row.spread):
            yield self._line("", row.spread, "")
        if row.remarks and not self._is_wide:
            indent = len(row.name) - len(row.name.lstrip())
            yield f"{_GAP * 2}{' ' * indent}{row.remarks}"

    def _line(self, name: str, cells: Sequence[str], last: str) -> str:
        aligned = [cell.rjust(size) for cell, size in zip(cells, self._widths, strict=True)]
        return (_GAP + _GAP.join([name.ljust(self._name), *aligned, last])).rstrip()


def _together(plan: LightingPlan, together: Together | str) -> str:
    if isinstance(together, str):
        return f"all together: cannot be told, for lack of {together}"
    if not together.outputs:
        return "all together: no key turns anything on"
    state = in_state(together.state) if together.state is not None else "with all outputs on, as far as can be told"
    decoder = plan.decoder
    limit = decoder.outputs_together if decoder is not None else None
    share = f", at most {share_of(_limit_of(together, limit.usual), Dimension.CURRENT)}" if limit is not None else ""
    current = said_range(together.current, Dimension.CURRENT)
    left_out = [each.output.name for each in together.without if each.output is not None]
    without = f"; without {listed(left_out)}, of which nothing is known" if left_out else ""
    return f"most together {state}: {current} for {listed(together.outputs)}{share}{without}"


def _limit_of(together: Together, limit: float) -> Limit:
    return Limit(limit, together.current.highest / limit)
