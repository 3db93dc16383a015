"""How a resistor is written into a plan: the edits that put one in, or change the one that is there."""

from __future__ import annotations

from lampwright.model.circuit import Chain, Resistor
from lampwright.syntax import Mapping, Node, Sequence, Tree, insert_before_item, path_at
from lampwright.text import Edit, Span
from lampwright.units import Dimension, ResistorText, read_resistor, say, say_rating


def resistor_text(resistance: float, rating: float | None = None, tolerance: float | None = None) -> str:
    """`820 ohm 1/2 W 5 %`; ohms, watts and a share go in, None is left out."""
    parts = [say(resistance, Dimension.RESISTANCE)]
    parts += [say_rating(rating)] if rating is not None else []
    parts += [say(tolerance, Dimension.SHARE)] if tolerance is not None else []
    return " ".join(parts)


def put_in(tree: Tree, chain: Chain, index: int, text: str) -> tuple[Edit, ...]:
    """The edits that put an element before number `index` of `chain`; none if the chain is not found in the text."""
    node = _node_at(tree, chain.span)
    return (insert_before_item(node, index, text),) if isinstance(node, Sequence) and index < len(node) else ()


def changed(
    tree: Tree, resistor: Resistor, resistance: float | None = None, rating: float | None = None
) -> tuple[Edit, ...]:
    """The edits that give `resistor` another resistance, ohms, or rating, watts; None leaves it as it is."""
    node = _node_at(tree, resistor.span)
    if isinstance(node, Mapping):
        return _changed_mapping(node, resistance, rating)
    old = read_resistor(resistor.span.text.strip("\"'"))
    if not isinstance(old, ResistorText):
        return ()
    new = resistor_text(resistance or old.resistance, rating or old.rating, old.tolerance)
    return (Edit(resistor.span, new),)


def _changed_mapping(node: Mapping, resistance: float | None, rating: float | None) -> tuple[Edit, ...]:
    old_resistance, old_rating = node.value("resistor"), node.value("rating")
    if old_resistance is None:
        return ()
    edits: list[Edit] = []
    if resistance is not None:
        edits.append(Edit(old_resistance.span, say(resistance, Dimension.RESISTANCE)))
    if rating is not None and old_rating is not None:
        edits.append(Edit(old_rating.span, say_rating(rating)))
    elif rating is not None:
        end = old_resistance.span.end
        where = old_resistance.span.source.span(end, end)
        separator = ", " if node.flow else "\n" + " " * _indentation(node)
        edits.append(Edit(where, f"{separator}rating: {say_rating(rating)}"))
    return tuple(edits)


def _indentation(node: Mapping) -> int:
    return node.span.source.position(node.span.start).column - 1


def _node_at(tree: Tree, span: Span) -> Node | None:
    """The node that stands exactly at `span`."""
    node: Node | None = tree.root
    for step in path_at(tree, span):
        if isinstance(node, Mapping) and isinstance(step, str):
            node = node.value(step)
        elif isinstance(node, Sequence) and isinstance(step, int):
            node = node[step]
    return node if node is not None and node.span == span else None
