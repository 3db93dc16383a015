"""How an element of a circuit is written into a plan: edits that put a resistor in, change it, or turn a lamp round.

An edit touches what changes and nothing else: a resistance, a rating, a case size, a word about a lamp.
"""

from __future__ import annotations

from lampwright.analysis.resistors.rewiring import Gap
from lampwright.model.circuit import Chain, PlacedLamp, Resistor
from lampwright.model.defaults import SIZE_RATING
from lampwright.syntax import (
    Mapping,
    Node,
    Scalar,
    Sequence,
    Tree,
    insert_before_item,
    inside_quotes,
    path_at,
    remove_entry,
)
from lampwright.syntax.layout import line_break, line_end
from lampwright.text import Edit, Span
from lampwright.units import Dimension, ResistorText, read_resistor, say, say_rating
from lampwright.units.resistors import pieces_of


def resistor_text(resistance: float, rating: float | None = None) -> str:
    """`820 ohm 1/2 W`; ohms and watts go in, None is left out."""
    ohms = say(resistance, Dimension.RESISTANCE)
    return ohms if rating is None else f"{ohms} {say_rating(rating)}"


def put_in(tree: Tree, chain: Chain, index: int, text: str) -> tuple[Edit, ...]:
    """The edits that put an element before number `index` of `chain`; none if the chain is not found in the text."""
    node = _node_at(tree, chain.span)
    return (insert_before_item(node, index, text),) if isinstance(node, Sequence) and index < len(node) else ()


def changed(
    tree: Tree, resistor: Resistor, resistance: float | None = None, rating: float | None = None
) -> tuple[Edit, ...]:
    """The edits that give `resistor` another resistance, ohms, or rating, watts; None leaves it as it is.

    None at all if it is written in a way that cannot be changed piece by piece.
    """
    node = _node_at(tree, resistor.span)
    if isinstance(node, Mapping):
        return _changed_mapping(node, resistance, rating)
    return _changed_text(node, resistance, rating) if isinstance(node, Scalar) else ()


def turned_round(tree: Tree, lamp: PlacedLamp) -> tuple[Edit, ...]:
    """The edits that take out what says that `lamp` is reversed; its bare name is left where nothing else is said."""
    node, mapping = tree.root, None
    for step in path_at(tree, lamp.span):
        mapping = node if isinstance(node, Mapping) else None
        node = _child(node, step)
    key, value = (mapping.key("reversed"), mapping.value("reversed")) if mapping is not None else (None, None)
    if mapping is None or key is None or value is None:
        return ()
    is_one_line = mapping.flow and not {"\n", "\r"} & {*mapping.span.text}
    if is_one_line and len(mapping) == 2:
        source = lamp.span.source
        before, behind = (mapping.span.start, lamp.span.start), (lamp.span.end, mapping.span.end)
        return (Edit(source.span(*before), ""), Edit(source.span(*behind), ""))
    return (remove_entry(tree, mapping, key.span, value.span),)


def put_in_place(tree: Tree, slot: Resistor | Gap, text: str) -> tuple[Edit, ...]:
    """The edits that write `text`, a whole element, into `slot`; none if what is there spans several lines."""
    if isinstance(slot, Gap):
        return put_in(tree, slot.chain, slot.index, text)
    node = _node_at(tree, slot.span)
    is_simple = isinstance(node, Scalar | Mapping) and not any(end in slot.span.text for end in "\n\r")
    return (Edit(slot.span, text),) if is_simple else ()


# --- `820 ohm 1/2 W 5 %` ----------------------------------------------------------------------------------------------


def _changed_text(node: Scalar, resistance: float | None, rating: float | None) -> tuple[Edit, ...]:
    inside = inside_quotes(node.span)
    old = read_resistor(inside.text)
    if not isinstance(old, ResistorText):
        return ()
    pieces = [inside.part(start, start + len(piece)) for start, piece in pieces_of(inside.text)]
    edits = [Edit(pieces[0], say(resistance, Dimension.RESISTANCE))] if resistance is not None else []
    if rating is not None and old.rating is not None:
        edits.append(Edit(pieces[1], say_rating(rating)))
    elif rating is not None:
        edits.append(Edit(_end_of(pieces[0]), f" {say_rating(rating)}"))
    return tuple(edits)


# --- `{resistor: 820 ohm, rating: 1/2 W}` -----------------------------------------------------------------------------


def _changed_mapping(node: Mapping, resistance: float | None, rating: float | None) -> tuple[Edit, ...]:
    written = node.value("resistor")
    if written is None or any("\n" in value.span.text or "\r" in value.span.text for value in node.values()):
        return ()
    edits = [Edit(inside_quotes(written.span), say(resistance, Dimension.RESISTANCE))] if resistance is not None else []
    if rating is None:
        return tuple(edits)
    stands = _rated(node, written.span, rating)
    return (*edits, stands) if stands is not None else ()


def _rated(node: Mapping, resistance: Span, rating: float) -> Edit | None:
    """The edit that states a rating: where one stands, by a larger case where only that is said, else a new key."""
    old, size = node.value("rating"), node.value("size")
    if old is not None:
        return Edit(inside_quotes(old.span), say_rating(rating))
    if size is not None:
        larger = next((name for name, watts in SIZE_RATING.items() if watts >= rating), None)
        return Edit(inside_quotes(size.span), larger) if larger is not None else None
    if node.flow:
        return Edit(_end_of(resistance), f", rating: {say_rating(rating)}")
    source = node.span.source
    # In a block it goes on a line of its own, behind what a comment says of the resistance.
    end = line_end(source.text, resistance.end)
    indentation = " " * (source.position(node.span.start).column - 1)
    return Edit(source.span(end, end), f"{line_break(source.text)}{indentation}rating: {say_rating(rating)}")


def _end_of(span: Span) -> Span:
    return span.part(len(span.text), len(span.text))


def _node_at(tree: Tree, span: Span) -> Node | None:
    """The node that stands exactly at `span`; of several the outermost: a mapping of one entry is where that is."""
    node: Node | None = tree.root
    for step in path_at(tree, span):
        if node is not None and node.span == span:
            break
        node = _child(node, step)
    return node if node is not None and node.span == span else None


def _child(node: Node | None, step: str | int) -> Node | None:
    if isinstance(node, Mapping) and isinstance(step, str):
        return node.value(step)
    return node[step] if isinstance(node, Sequence) and isinstance(step, int) else None
