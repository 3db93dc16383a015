"""What the thing under the pointer is, and what happens in it: in the figures and words of the command."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lsprotocol import types

from lampwright.engine.allowances import allowances
from lampwright.harmless import visible
from lampwright.model.circuit import Resistor, leaves
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.model.registers import Register
from lampwright.model.values import Number
from lampwright.rule import Context
from lampwright.syntax import Mapping
from lampwright.text import Source, Span
from lampwright_lsp import accounts
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.names import Named, What, name_at
from lampwright_lsp.unchanged import unchanged

# All that CommonMark reads as markup, and what makes a link of a bare address in the extensions that editors have on.
_OBEYED = re.compile(r"([\\`*_{}\[\]()<>#+!|~&@=-]|:(?=/)|(?<=www)\.|(?<=^[0-9])\.(?=\s))", re.IGNORECASE)


def hover(snapshot: Snapshot, params: types.HoverParams) -> types.Hover | None:
    """What is known of the thing at the position; None where that is nothing."""
    offset = snapshot.positions.offset(snapshot.source, params.position)
    found = _found(snapshot, offset) if snapshot.good is snapshot else _found_before(snapshot, offset)
    lines = list(found[1]) if found is not None else []
    if found is None or not lines:
        return None
    return types.Hover(_content(snapshot, lines), snapshot.positions.range(found[0]))


FEATURE = Feature(types.TEXT_DOCUMENT_HOVER, hover)


def _content(snapshot: Snapshot, lines: list[str]) -> types.MarkupContent:
    texts = snapshot.client.capabilities.text_document
    formats = texts.hover.content_format if texts is not None and texts.hover is not None else None
    first, *others = map(visible, lines)
    if formats and types.MarkupKind.Markdown in formats:
        said = [f"**{_escaped(first)}**", *(_escaped(line.strip()) for line in others)]
        return types.MarkupContent(types.MarkupKind.Markdown, "  \n".join(said))
    return types.MarkupContent(types.MarkupKind.PlainText, "\n".join([first, *others]))


def _escaped(text: str) -> str:
    return _OBEYED.sub(r"\\\1", text)


def _found_before(snapshot: Snapshot, offset: int) -> tuple[Span, Iterable[str]] | None:
    """The same while the text cannot be read: as it was when it could, in lines that are still the same."""
    good = snapshot.good
    kept = unchanged(good.source, snapshot.source)
    then = kept.offset_then(offset)
    found = _found(good, then) if then is not None else None
    span = kept.span_now(found[0]) if found is not None else None
    return (span, found[1]) if found is not None and span is not None else None


def _found(snapshot: Snapshot, offset: int) -> tuple[Span, Iterable[str]] | None:
    """The place that is meant, and what is to be said of it."""
    rule = _rule_at(snapshot, offset)
    if rule is not None:
        return rule, accounts.of_rule(rule.text)
    named = name_at(snapshot.tree, snapshot.kind, offset)
    context, plan = snapshot.context, snapshot.plan
    register = _register_at(context.decoder or (plan.decoder if plan is not None else None), snapshot.source, offset)
    if register is not None:
        return register[1].span, accounts.of_register(*register)
    if plan is None:
        return (named.span, _of_sheet(context, named)) if named is not None else None
    resistors = (each for each in _resistors(plan) if each.span.source is snapshot.source)
    resistor = next((each for each in resistors if _is_in(each.span, offset)), None)
    if resistor is not None:
        return resistor.span, accounts.of_resistor(context, resistor)
    if named is not None:
        return named.span, _of_name(context, named)
    address = plan.vehicle.address
    is_address = address is not None and address.span.source is snapshot.source and _is_in(address.span, offset)
    return (address.span, accounts.of_address(context)) if address is not None and is_address else None


def _is_in(span: Span, offset: int) -> bool:
    return span.start <= offset <= span.end


def _resistors(plan: LightingPlan) -> Iterator[Resistor]:
    for circuit in [*(output.circuit for output in plan.outputs.values()), plan.common_circuit]:
        for leaf in leaves(circuit) if circuit is not None else ():
            if isinstance(leaf, Resistor):
                yield leaf


def _register_at(decoder: Decoder | None, source: Source, offset: int) -> tuple[Register, Number] | None:
    """The CV of a register whose number stands there."""
    for register in (decoder.registers or ()) if decoder is not None else ():
        for number in register.cvs.values():
            if number.span.source is source and _is_in(number.span, offset):
                return register, number
    return None


def _rule_at(snapshot: Snapshot, offset: int) -> Span | None:
    """The rule that an allowance names there, or a level in the settings."""
    named = [allowance.span for allowance in allowances(snapshot.tree)[0]]
    root = snapshot.tree.root
    levels = root.value("levels") if isinstance(root, Mapping) else None
    named += [key.span for key in levels] if isinstance(levels, Mapping) else []
    return next((span for span in named if _is_in(span, offset)), None)


def _of_name(context: Context, named: Named) -> Iterator[str]:
    match named.what:
        case What.LAMP:
            yield from accounts.of_lamp(context, named.text, named.span)
        case What.OUTPUT:
            yield from accounts.of_output(context, named.text)
        case What.KEY:
            yield from accounts.of_key(context, named.text)
        case What.EFFECT:
            yield from accounts.of_effect(context.plan.decoder, context.plan, named.text)
        case What.PART:
            # A part is named right behind the lamp that it is for.
            before = [lamp for lamp in context.plan.lamps.values() if lamp.span.end <= named.span.start]
            if before and before[-1].kind is not None:
                yield from (named.text, accounts.of_data(before[-1]))


def _of_sheet(context: Context, named: Named) -> Iterator[str]:
    if context.decoder is not None and named.what is What.OUTPUT:
        yield from accounts.of_output_of_sheet(context.decoder, named.text)
    elif named.what is What.EFFECT:
        yield from accounts.of_effect(context.decoder, None, named.text)
