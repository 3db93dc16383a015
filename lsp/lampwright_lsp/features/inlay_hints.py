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
from lampwright.rule.cv_meanings import words_of
from lampwright.text import Span
from lampwright.units import Dimension, say
from lampwright_lsp.accounts import OF_ADDRESS, figures_of, label_of, of_setting
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature

_MOST_CVS = 4
"""More beside one key is no help any more."""


def inlay_hints(snapshot: Snapshot, params: types.InlayHintParams) -> list[types.InlayHint] | None:
    """The hints in the range that is asked for, each kind if the user wants it."""
    if snapshot.plan is None:
        return None
    asked = snapshot.positions.span(snapshot.source, params.range)
    found = [hint for place, hint in _hints(snapshot) if asked.start <= place <= asked.end]
    return sorted(found, key=lambda hint: (hint.position.line, hint.position.character))


FEATURE = Feature(types.TEXT_DOCUMENT_INLAY_HINT, inlay_hints)


def _hints(snapshot: Snapshot) -> Iterator[tuple[int, types.InlayHint]]:
    wanted = snapshot.client.preferences
    for circuit, figures, when in _circuits(snapshot):
        # What cannot be told is told by nobody: then there are no elements.
        if wanted.inlay_hints_currents:
            yield from _current(snapshot, circuit, figures, when)
        if wanted.inlay_hints_power:
            yield from (hint for element in figures.elements for hint in _power(snapshot, element.facts, when))
    if wanted.inlay_hints_cvs:
        yield from _cvs(snapshot)


def _circuits(snapshot: Snapshot) -> Iterator[tuple[Chain | None, OutputFigures, str]]:
    """Each circuit with its figures, and when they hold."""
    plan, figures = snapshot.context.plan, figures_of(snapshot.context)
    for name, found in figures.outputs.items():
        yield plan.outputs[name].circuit, found, "fully on and alone"
    if figures.common is not None:
        yield plan.common_circuit, figures.common, "in the worst state"


def _current(
    snapshot: Snapshot, circuit: Chain | None, figures: OutputFigures, when: str
) -> Iterator[tuple[int, types.InlayHint]]:
    current = figures.current
    if circuit is not None and figures.elements and current is not None and not isinf(current.usual):
        more = f"{when}: {said_range(current, Dimension.CURRENT)}"
        yield from _hint(snapshot, circuit.span, say(current.usual, Dimension.CURRENT), more)


def _power(snapshot: Snapshot, element: ElementFacts, when: str) -> Iterator[tuple[int, types.InlayHint]]:
    if isinstance(element.element, Resistor) and not isinf(element.power.usual):
        more = f"heat, {when}: {said_range(element.power, Dimension.POWER)}"
        yield from _hint(snapshot, element.span, say(element.power.usual, Dimension.POWER), more)


def _cvs(snapshot: Snapshot) -> Iterator[tuple[int, types.InlayHint]]:
    plan, programming = snapshot.context.plan, snapshot.context.programming
    words = words_of(plan, programming)
    causes: dict[Span, list[Setting]] = {}
    for setting in programming.settings:
        for span in _causes(snapshot, setting):
            causes.setdefault(span, []).append(setting)
    for span, settings in causes.items():
        label = ", ".join(map(label_of, settings[:_MOST_CVS]))
        more = "\n".join(of_setting(each, words) for each in settings)
        yield from _hint(snapshot, span, f"{label}{' …' if len(settings) > _MOST_CVS else ''}", more)


def _causes(snapshot: Snapshot, setting: Setting) -> Iterator[Span]:
    """What in the plan a CV is for: its address, a key, or outputs whose register it is."""
    plan, programming = snapshot.context.plan, snapshot.context.programming
    address = plan.vehicle.address
    if address is not None and setting.page is None and setting.cv in OF_ADDRESS:
        yield address.span
    slot = slot_of(programming.method, setting.cv, setting.page)
    # A key that turns nothing on by this CV is no cause to speak of it.
    if slot is not None and slot.key is not None and slot.key in plan.keys and setting.value:
        yield plan.keys[slot.key].span
    names = dict.fromkeys(claim.output for claim in setting.claims if claim.output is not None)
    yield from (plan.outputs[name].span for name in names if name in plan.outputs)


def _hint(snapshot: Snapshot, span: Span, label: str, more: str) -> Iterator[tuple[int, types.InlayHint]]:
    if span.source is snapshot.source:
        position = snapshot.positions.position(span.source, span.end)
        yield span.end, types.InlayHint(position, label, tooltip=more, padding_left=True)
