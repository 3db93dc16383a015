"""What each word of a file is, for colours: names by what they name, conditions, quantities. Standard kinds only."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.kinds import Kind
from lampwright.plan.keys import is_condition_word
from lampwright.syntax import Mapping, Node, Scalar, Sequence
from lampwright.text import Span
from lampwright.units import is_quantity
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.names import What, names_in

_TYPES = {
    What.LAMP: "variable",
    What.PART: "class",
    What.OUTPUT: "interface",
    What.EFFECT: "enumMember",
    What.KEY: "event",
    What.FILE: "string",
}
_CONDITION, _QUANTITY = "keyword", "number"
LEGEND = types.SemanticTokensLegend([*_TYPES.values(), _CONDITION, _QUANTITY], ["definition"])
_NUMBERS = {name: number for number, name in enumerate(LEGEND.token_types)}


def tokens(snapshot: Snapshot, _params: types.SemanticTokensParams) -> types.SemanticTokens:
    """All of them, each on one line, in the order of the text, as the protocol counts: from one to the next."""
    data: list[int] = []
    line = start = 0
    for span, kind, is_definition in _found(snapshot):
        place = snapshot.positions.range(span)
        if place.start.line != place.end.line:
            continue
        here = place.start
        data += [here.line - line, here.character - (start if here.line == line else 0)]
        data += [place.end.character - here.character, _NUMBERS[kind], int(is_definition)]
        line, start = here.line, here.character
    return types.SemanticTokens(data)


# What the library makes of the legend are the options of the server.
FEATURE = Feature(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, tokens, LEGEND)


def _found(snapshot: Snapshot) -> Iterator[tuple[Span, str, bool]]:
    """Spans that do not overlap, in the order of the text."""
    names = [(each.span, _TYPES[each.what], each.is_definition) for each in names_in(snapshot.tree, snapshot.kind)]
    taken = {span.start for span, _, _ in names}
    others: list[tuple[Span, str, bool]] = []
    for scalar in _scalars(snapshot.tree.root) if snapshot.kind is not Kind.SETTINGS else ():
        if scalar.start not in taken and scalar.style == "plain" and scalar:
            if is_condition_word(scalar):
                others.append((scalar.span, _CONDITION, False))
            elif is_quantity(scalar):
                others.append((scalar.span, _QUANTITY, False))
    end = 0
    for span, kind, is_definition in sorted([*names, *others], key=lambda each: (each[0].start, each[0].end)):
        if span.start >= end:
            yield span, kind, is_definition
            end = span.end


def _scalars(root: Node | None) -> Iterator[Scalar]:
    """All values, keys left out."""
    waiting: list[Node] = [root] if root is not None else []
    while waiting:
        node = waiting.pop()
        if isinstance(node, Scalar):
            yield node
        elif isinstance(node, Mapping):
            waiting += node.values()
        elif isinstance(node, Sequence):
            waiting += node
