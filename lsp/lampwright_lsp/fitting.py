"""Which resistors fit at a place in a circuit, and what would flow then: asked of the rule that finds none missing.

A resistor of nothing is put there, and what the rule proposes in its stead is what fits.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from lampwright.analysis.electrical.facts import OutputFacts
from lampwright.engine import Survey, judge
from lampwright.text import Source
from lampwright_lsp.place import MARK, Place

_NOTHING = "0 ohm"
_PROPOSED = re.compile(r"Put in (?P<text>[^,]+?)(?P<stock>, from stock)?\Z")


@dataclass(frozen=True, slots=True)
class Fitting:
    """A resistor as it is written; the amperes that would flow, None if that cannot be told."""

    text: str
    is_in_stock: bool
    current: float | None


def fitting_resistors(place: Place, surveyed: Callable[[Source], Survey]) -> list[Fitting]:
    """What fits, those in stock first; nothing where no LED lacks one."""
    output = place.path[1] if place.path[:1] == ("outputs",) else None
    if not isinstance(output, str):
        return []
    proposed = dict(_proposed(place, surveyed, output))
    fitting = (Fitting(text, in_stock, _current(place, surveyed, output, text)) for text, in_stock in proposed.items())
    return sorted(fitting, key=lambda each: not each.is_in_stock)


def _proposed(place: Place, surveyed: Callable[[Source], Survey], output: str) -> Iterator[tuple[str, bool]]:
    survey = surveyed(_with(place, _NOTHING))
    plan = survey.context.lighting_plan
    circuit = plan.outputs[output].circuit if plan is not None and output in plan.outputs else None
    if circuit is None:
        return
    for finding in judge(survey).findings:
        if finding.rule == "unprotected-led" and circuit.span.holds(finding.span):
            for fix in finding.fixes:
                match = _PROPOSED.match(fix.title)
                if match is not None and " and " not in match["text"]:
                    yield match["text"], match["stock"] is not None


def _current(place: Place, surveyed: Callable[[Source], Survey], output: str, text: str) -> float | None:
    facts = surveyed(_with(place, text)).context.electrical.outputs.get(output)
    return facts.current.usual if isinstance(facts, OutputFacts) else None


def _with(place: Place, text: str) -> Source:
    source = place.tree.source
    return Source(source.name, source.text.replace(MARK, text, 1))
