"""Every name in a file with its place: of what it is the name, and whether it is defined there. Knows no request.

Read off the tree, so that a name is found as well where what stands around it could not be understood.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from lampwright.kinds import Kind
from lampwright.plan.keys import is_condition_word
from lampwright.plan.names import starts_with_letter
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree
from lampwright.text import Span


class What(Enum):
    """What has a name."""

    LAMP = "lamp"
    PART = "part"
    OUTPUT = "output"
    EFFECT = "effect"
    KEY = "key"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class Named:
    """A name at a place. `node` is the scalar that it stands in, `span` the name without what stands before it."""

    what: What
    text: str
    span: Span
    node: Scalar
    is_definition: bool = False


_KEY = re.compile(r"(?:not )?(F(?:[0-9]|[1-5][0-9]|6[0-8]))\Z")


def names_in(tree: Tree, kind: Kind) -> list[Named]:
    """All names in a file of `kind`, in the order of the text."""
    if not isinstance(tree.root, Mapping):
        return []
    read = {
        Kind.LIGHTING_PLAN: _in_plan,
        Kind.DECODER_SHEET: _in_sheet,
        Kind.PARTS_CATALOGUE: _in_catalogue,
        Kind.SETTINGS: _in_settings,
    }[kind]
    return sorted(read(tree.root), key=lambda named: named.span.start)


def name_at(tree: Tree, kind: Kind, offset: int) -> Named | None:
    """The name that `offset` is in, or right behind."""
    around = (each for each in names_in(tree, kind) if each.span.start <= offset <= each.span.end)
    return min(around, key=lambda named: named.span.end - named.span.start, default=None)


# --- The four kinds of file -------------------------------------------------------------------------------------------


def _in_plan(root: Mapping) -> Iterator[Named]:
    decoder = root.value("decoder")
    if isinstance(decoder, Mapping):
        yield from _in_sheet(decoder)
    else:
        yield from _one(What.FILE, decoder)
    yield from _each(What.FILE, root.value("parts"))
    yield from _keys(What.LAMP, root.value("lamps"))
    for lamp in _values(root.value("lamps")):
        yield from _one(What.PART, lamp.value("part"))
    yield from _keys(What.OUTPUT, root.value("outputs"), is_definition=isinstance(decoder, Scalar | None))
    for output in _values(root.value("outputs")):
        yield from _circuit(output.value("circuit"))
        yield from _one(What.EFFECT, output.value("effect"))
        yield from _measured(output.value("measured"))
    common = root.value("common")
    if isinstance(common, Mapping):
        yield from _circuit(common.value("circuit"))
        yield from _measured(common.value("measured"))
    yield from _function_keys(root.value("keys"))
    yield from _entries(root.value("always"))
    vehicle = root.value("vehicle")
    consist = vehicle.value("consist") if isinstance(vehicle, Mapping) else None
    if isinstance(consist, Mapping):
        yield from _each(What.KEY, consist.value("keys"))


def _in_sheet(root: Mapping) -> Iterator[Named]:
    yield from _keys(What.OUTPUT, root.value("outputs"))
    yield from _keys(What.EFFECT, root.value("effects"))
    for effect in _values(root.value("effects")):
        pairs = effect.value("pairs")
        for pair in pairs if isinstance(pairs, Sequence) else ():
            yield from _each(What.OUTPUT, pair)
    registers = root.value("registers")
    for register in registers if isinstance(registers, Sequence) else ():
        cv = register.value("cv") if isinstance(register, Mapping) else None
        yield from _keys(What.OUTPUT, cv, is_definition=False)
    keys = root.value("keys")
    mapping = keys.value("mapping") if isinstance(keys, Mapping) else None
    if isinstance(mapping, Mapping):
        yield from _function_keys(mapping.value("fixed"))


def _in_catalogue(root: Mapping) -> Iterator[Named]:
    yield from _keys(What.PART, root.value("lamps"))


def _in_settings(_root: Mapping) -> Iterator[Named]:
    return iter(())


# --- Their parts ------------------------------------------------------------------------------------------------------


def _function_keys(node: Node | None) -> Iterator[Named]:
    yield from _keys(What.KEY, node)
    for key in _values(node):
        yield from _entries(key.value("turns-on"))


def _entries(node: Node | None) -> Iterator[Named]:
    for entry in node if isinstance(node, Sequence) else ():
        if isinstance(entry, Mapping):
            yield from _each(What.OUTPUT, entry.value("output"))
            yield from _one(What.EFFECT, entry.value("effect"))
            yield from _condition(entry.value("when"))


def _condition(node: Node | None) -> Iterator[Named]:
    if isinstance(node, Scalar):
        match = _KEY.match(node)
        if match is not None:
            yield Named(What.KEY, match[1], node.part(match.start(1), match.end(1)), node)
    elif isinstance(node, Sequence):
        for part in node:
            yield from _condition(part)
    elif isinstance(node, Mapping):
        yield from _condition(node.value("any"))


def _circuit(node: Node | None) -> Iterator[Named]:
    for element in node if isinstance(node, Sequence) else ():
        if isinstance(element, Scalar) and starts_with_letter(element):
            yield from _one(What.LAMP, element)
        elif isinstance(element, Mapping):
            yield from _one(What.LAMP, element.value("lamp"))
            branches = element.value("parallel")
            for branch in branches if isinstance(branches, Sequence) else ():
                yield from _circuit(branch.value("circuit") if isinstance(branch, Mapping) else branch)
                if isinstance(branch, Mapping):
                    yield from _circuit(branch.value("series"))
            yield from _circuit(element.value("series"))


def _measured(node: Node | None) -> Iterator[Named]:
    if isinstance(node, Mapping):
        yield from _each(What.OUTPUT, node.value("outputs"))
        across = _keys(What.LAMP, node.value("across"), is_definition=False)
        yield from (each for each in across if starts_with_letter(each.text))


def _keys(what: What, node: Node | None, *, is_definition: bool = True) -> Iterator[Named]:
    for key in node if isinstance(node, Mapping) else ():
        yield Named(what, str(key), key.span, key, is_definition)


def _values(node: Node | None) -> Iterator[Mapping]:
    for value in node.values() if isinstance(node, Mapping) else ():
        if isinstance(value, Mapping):
            yield value


def _one(what: What, node: Node | None) -> Iterator[Named]:
    if isinstance(node, Scalar) and node and not (what is What.KEY and not is_condition_word(node)):
        yield Named(what, str(node), node.span, node)


def _each(what: What, node: Node | None) -> Iterator[Named]:
    for item in node if isinstance(node, Sequence) else (node,):
        yield from _one(what, item)
