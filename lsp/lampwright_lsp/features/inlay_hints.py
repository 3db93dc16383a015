"""What is computed, beside what is written: currents behind circuits, heat behind resistors, CVs behind their cause."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from lsprotocol import types

from lampwright.account.figures import OutputFigures
from lampwright.account.sayings import said_range
from lampwright.analysis.electrical.facts import ElementFacts
from lampwright.analysis.programming.claims import Setting
from lampwright.analysis.programming.slots import slot_of
from lampwright.model.circuit import Chain, Resistor
from lampwright.rule import Context
from lampwright.rule.cv_meanings import words_of
from lampwright.text import Span
from lampwright.units import Dimension, say
from lampwright_lsp.accounts import OF_ADDRESS, figures_of, label_of, of_setting
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.unchanged import unchanged

_MOST_CVS = 4
"""More beside one key is no help any more."""


def inlay_hints(snapshot: Snapshot, params: types.InlayHintParams) -> list[types.InlayHint] | None:
    """The hints in the range that is asked for, each kind if the user wants it.

    While the text cannot be read, they are those of before, in lines that are still the same.
    """
    good = snapshot.good
    if good.plan is None or good.tree.broken:
        return None
    asked = snapshot.positions.span(snapshot.source, params.range)
    kept = unchanged(good.source, snapshot.source) if good is not snapshot else None
    found = []
    for then, label, more in _hints(good):
        span = then if kept is None else kept.span_now(then)
        if span is not None and asked.start <= span.end <= asked.end:
            position = snapshot.positions.position(span.source, span.end)
            found.append(types.InlayHint(position, label, tooltip=more, padding_left=True))
    return sorted(found, key=lambda hint: (hint.position.line, hint.position.character))


FEATURE = Feature(types.TEXT_DOCUMENT_INLAY_HINT, inlay_hints)


Hint = tuple[Span, str, str]
"""What a hint stands behind, what it says, and what it says if asked."""


def _hints(snapshot: Snapshot) -> Iterator[Hint]:
    wanted, context = snapshot.client.preferences, snapshot.context
    found: list[Iterator[Hint]] = []
    for circuit, figures, when in _circuits(context):
        # What cannot be told is told by nobody: then there are no elements.
        if wanted.inlay_hints_currents:
            found.append(_current(circuit, figures, when))
        if wanted.inlay_hints_power:
            found += (_power(element.facts, when) for element in figures.elements)
    if wanted.inlay_hints_cvs:
        found.append(_cvs(context))
    return (hint for each in found for hint in each if hint[0].source is snapshot.source)


def _circuits(context: Context) -> Iterator[tuple[Chain | None, OutputFigures, str]]:
    """Each circuit with its figures, and when they hold."""
    plan, figures = context.plan, figures_of(context)
    for name, found in figures.outputs.items():
        yield plan.outputs[name].circuit, found, f"fully on and alone{_as_measured(found)}"
    if figures.common is not None:
        yield plan.common_circuit, figures.common, f"in the worst state{_as_measured(figures.common)}"


def _as_measured(figures: OutputFigures) -> str:
    is_measured = any(element.facts.basis in ("current", "lead") for element in figures.elements)
    return ", as measured" if is_measured else ""


def _current(circuit: Chain | None, figures: OutputFigures, when: str) -> Iterator[Hint]:
    current = figures.current
    if circuit is not None and figures.elements and current is not None and not isinf(current.usual):
        more = f"{when}: {said_range(current, Dimension.CURRENT)}"
        yield circuit.span, say(current.usual, Dimension.CURRENT), more


def _power(element: ElementFacts, when: str) -> Iterator[Hint]:
    if isinstance(element.element, Resistor) and not isinf(element.power.usual):
        more = f"heat, {when}: {said_range(element.power, Dimension.POWER)}"
        yield element.span, say(element.power.usual, Dimension.POWER), more


def _cvs(context: Context) -> Iterator[Hint]:
    plan, programming = context.plan, context.programming
    words = words_of(plan, programming)
    causes: dict[Span, list[Setting]] = {}
    for setting in programming.settings:
        for span in _causes(context, setting):
            causes.setdefault(span, []).append(setting)
    for span, settings in causes.items():
        label = ", ".join(map(label_of, settings[:_MOST_CVS]))
        more = "\n".join(of_setting(each, words) for each in settings)
        yield span, f"{label}{' …' if len(settings) > _MOST_CVS else ''}", more


def _causes(context: Context, setting: Setting) -> Iterator[Span]:
    """What in the plan a CV is for: its address, a key, or outputs whose register it is."""
    plan, programming = context.plan, context.programming
    address = plan.vehicle.address
    if address is not None and setting.page is None and setting.cv in OF_ADDRESS:
        yield address.span
    slot = slot_of(programming.method, setting.cv, setting.page)
    # A key that turns nothing on by this CV is no cause to speak of it.
    if slot is not None and slot.key is not None and slot.key in plan.keys and setting.value:
        yield plan.keys[slot.key].span
    names = dict.fromkeys(claim.output for claim in setting.claims if claim.output is not None)
    yield from (plan.outputs[name].span for name in names if name in plan.outputs)
