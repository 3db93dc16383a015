"""What the thing under the pointer is, and what happens in it: in the figures and words of the command."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lsprotocol import types

from lampwright.engine.allowances import allowances
from lampwright.harmless import visible
from lampwright.model.circuit import Resistor, leaves
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.catalogue import Catalogue
from lampwright.rule import Context
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree, path_at
from lampwright.text import Span
from lampwright.units import is_quantity
from lampwright_lsp import accounts, written
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import WorkspaceFeature
from lampwright_lsp.names import Named, What, name_at
from lampwright_lsp.registers import of_register
from lampwright_lsp.unchanged import unchanged

Found = tuple[Span, Iterable[str]]

_FREE_TEXT = {"name", "label", "set"}
"""Where people write what they like, even what looks like a quantity; also what a club calls its keys."""

# All that CommonMark reads as markup, and what makes a link of a bare address in the extensions that editors have on.
# A parenthesis is markup only behind a bracket, which stands here, and some editors show every backslash.
_OBEYED = re.compile(r"([\\`*_{}\[\]<>#+!|~&@=-]|:(?=/)|(?<=www)\.|(?<=^[0-9])[.)](?=\s))", re.IGNORECASE)


def hover(snapshot: Snapshot, params: types.HoverParams, readers: Iterable[Snapshot] = ()) -> types.Hover | None:
    """What is known of the thing at the position; None where that is nothing. `readers` are plans that refer to it."""
    offset = snapshot.positions.offset(snapshot.source, params.position)
    contexts = (reader.context for reader in readers)
    is_good = snapshot.good is snapshot
    found = _found(snapshot, offset, contexts) if is_good else _found_before(snapshot, offset, contexts)
    lines = list(found[1]) if found is not None else []
    if found is None or not lines:
        return None
    return types.Hover(_content(snapshot, lines), snapshot.positions.range(found[0]))


def _asked(documents: Documents, params: types.HoverParams) -> types.Hover | None:
    uri = params.text_document.uri
    snapshot = documents.snapshot(uri)
    if snapshot is None:
        return None
    # Read only if something is to be said of them.
    readers = (documents.snapshot(other) for other in documents.concerned(uri))
    return hover(snapshot, params, (reader for reader in readers if reader is not None))


FEATURE = WorkspaceFeature(types.TEXT_DOCUMENT_HOVER, _asked)


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


def _found_before(snapshot: Snapshot, offset: int, readers: Iterable[Context]) -> Found | None:
    """The same while the text cannot be read: as it was when it could, in lines that are still the same."""
    good = snapshot.good
    kept = unchanged(good.source, snapshot.source)
    then = kept.offset_then(offset)
    found = _found(good, then, readers) if then is not None else None
    span = kept.span_now(found[0]) if found is not None else None
    return (span, found[1]) if found is not None and span is not None else None


def _found(snapshot: Snapshot, offset: int, readers: Iterable[Context]) -> Found | None:
    """The place that is meant, and what is to be said of it."""
    rule = _rule_at(snapshot, offset)
    if rule is not None:
        return rule, written.of_rule(rule.text, snapshot.settings.levels)
    plan = snapshot.plan
    if plan is not None:
        resistors = (each for each in _resistors(plan) if each.span.source is snapshot.source)
        resistor = next((each for each in resistors if _is_in(each.span, offset)), None)
        if resistor is not None:
            return resistor.span, accounts.of_resistor(snapshot.context, resistor)
    named = name_at(snapshot.tree, snapshot.kind, offset)
    if named is not None:
        return named.span, _of_name(snapshot, named)
    return _of_numbers(snapshot, offset, readers) or _of_value(snapshot.tree, offset)


def _of_numbers(snapshot: Snapshot, offset: int, readers: Iterable[Context]) -> Found | None:
    """A number that stands for something: the address, the CV of a register."""
    context, plan = snapshot.context, snapshot.plan
    address = plan.vehicle.address if plan is not None else None
    if address is not None and address.span.source is snapshot.source and _is_in(address.span, offset):
        return address.span, accounts.of_address(context)
    decoder = context.decoder
    for register in (decoder.registers or ()) if decoder is not None else ():
        for output, cv in register.cvs.items():
            if decoder is not None and _is_in(cv.span, offset):
                plans = (context,) if plan is not None else readers
                return cv.span, of_register(decoder, register, output, cv.value, plans)
    return None


def _of_value(tree: Tree, offset: int) -> Found | None:
    """A word of a condition, or a quantity."""
    path = path_at(tree, tree.source.span(offset, offset))
    around: Node | None = None
    node = tree.root
    for step in path:
        around = node
        if isinstance(node, Mapping):
            node = node.value(str(step))
        elif isinstance(node, Sequence):
            node = node[int(step)]
    if not path or not isinstance(node, Scalar) or not _is_in(node.span, offset):
        return None
    if "when" in path:
        return node.span, written.of_condition(node)
    if path[-1] in _FREE_TEXT or path[-2:-1] == ("keys",) or not is_quantity(node):
        return None
    tolerance = around.value("tolerance") if isinstance(around, Mapping) and path[-1] == "value" else None
    return node.span, written.of_quantity(node, tolerance if isinstance(tolerance, Scalar) else None)


def _is_in(span: Span, offset: int) -> bool:
    return span.start <= offset <= span.end


def _resistors(plan: LightingPlan) -> Iterator[Resistor]:
    for circuit in [*(output.circuit for output in plan.outputs.values()), plan.common_circuit]:
        for leaf in leaves(circuit) if circuit is not None else ():
            if isinstance(leaf, Resistor):
                yield leaf


def _rule_at(snapshot: Snapshot, offset: int) -> Span | None:
    """The rule that an allowance names there, or a level in the settings."""
    named = [allowance.span for allowance in allowances(snapshot.tree)[0]]
    root = snapshot.tree.root
    levels = root.value("levels") if isinstance(root, Mapping) else None
    named += [key.span for key in levels] if isinstance(levels, Mapping) else []
    return next((span for span in named if _is_in(span, offset)), None)


def _of_name(snapshot: Snapshot, named: Named) -> Iterator[str]:
    if snapshot.plan is None:
        yield from _of_shared_name(snapshot, named)
        return
    context = snapshot.context
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
                yield from (named.text, accounts.of_data(before[-1].kind))


def _of_shared_name(snapshot: Snapshot, named: Named) -> Iterator[str]:
    """A name in a sheet or a catalogue, which are of no vehicle."""
    context, meaning = snapshot.context, snapshot.document.meaning
    if context.decoder is not None and named.what is What.OUTPUT:
        yield from accounts.of_output_of_sheet(context.decoder, named.text)
    elif named.what is What.EFFECT:
        yield from accounts.of_effect(context.decoder, None, named.text)
    elif named.what is What.PART and isinstance(meaning, Catalogue):
        yield from accounts.of_part(meaning, named.text)
