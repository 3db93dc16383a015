"""A text that is read again after a change, held against the same text read from its beginning."""

from __future__ import annotations

import os
import random

import pytest

from edited import edited, texts
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree, parse
from lampwright.syntax.rereading import reread
from lampwright.text import Source

EDITS = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "3000"))
"""How many random edits are made; some 60,000 in a quarter of an hour."""


def told(node: Node | None) -> object:
    """All that a tree says of a node, places and all."""
    match node:
        case Scalar():
            return str(node), node.start, node.end, node.style
        case Mapping():
            entries = [(told(key), told(value)) for key, value in node.items()]
            written = [(text, told(key)) for text, key in node.written.items()]
            return "mapping", node.span.start, node.span.end, node.flow, told(node.owner), entries, written
        case Sequence():
            return "list", node.span.start, node.span.end, node.flow, told(node.owner), [told(item) for item in node]
    return repr(node)


def sources(node: Node | None) -> set[Source]:
    match node:
        case Scalar():
            return {node.source}
        case Mapping():
            return {node.span.source}.union(*(sources(each) for entry in node.items() for each in entry))
        case Sequence():
            return {node.span.source}.union(*map(sources, node))
    return set()


def test_what_is_read_again_is_what_is_read_from_the_beginning() -> None:
    chance, again = random.Random(7), 0
    begun, made = texts(), 0
    while made < EDITS:
        text = chance.choice(begun)
        tree = parse(Source("plan", text))
        for _ in range(chance.randint(1, 3)):
            made += 1
            text = edited(text, chance)
            source = Source("plan", text)
            anew, part = parse(source), reread(source, tree, parse)
            if part is not None:
                again += 1
                assert told(part.root) == told(anew.root), text
                assert sources(part.root) <= {source}
                assert _beside(part) == _beside(anew), text
            tree = part or anew
    # An edit like these breaks a plan more often than not; what is left is seldom more than one entry.
    assert again > made / 5


def _beside(tree: Tree) -> object:
    comments = [(each.span.start, each.span.end, each.text, each.own_line) for each in tree.comments]
    return comments, tree.problems, tree.complete, tree.dropped, tree.broken


BEFORE = """\
lamps:
  front: {led: {forward-voltage: 3 V}}
  rear: {led: {forward-voltage: 3 V}}
outputs:
  white:
    circuit: [1 kohm, front]
  yellow:
    circuit: [1 kohm, rear]
keys: {}
"""

OUTPUTS = BEFORE[BEFORE.index("outputs:") : BEFORE.index("keys")]


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("1 kohm, front", "1.5 kohm, front", "    circuit: [1.5 kohm, front]\n"),
        ("1 kohm, rear]", "1 kohm,\n      rear]", "    circuit: [1 kohm,\n      rear]\n"),
        ("  rear: {led", "  tail: {led", "  tail: {led: {forward-voltage: 3 V}}\n"),
        ("keys: {}", "keys: {F0: }", "keys: {F0: }\n"),
        ("outputs:\n", "outputs:\n  green: {}\n", OUTPUTS.replace("outputs:\n", "outputs:\n  green: {}\n")),
    ],
    ids=["a value", "on two lines", "another name", "the last entry", "a new entry"],
)
def test_only_the_entry_that_has_changed_is_parsed(old: str, new: str, wanted: str) -> None:
    asked: list[str] = []

    def noted(source: Source) -> Tree:
        asked.append(source.text)
        return parse(source)

    text = BEFORE.replace(old, new, 1)
    tree = reread(Source("plan", text), parse(Source("plan", BEFORE)), noted)
    assert tree is not None
    assert asked[-1] == wanted


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  rear: {led", "  front: {led"),
        ("keys: {}", "keys: {}\nkeys: {}"),
        ("  white:\n", "   white:\n"),
        ("  white:\n", "white:\n"),
        ("circuit: [1 kohm, rear]", "circuit: [1 kohm, rear"),
        ("keys:", "--- keys:"),
        ("front: {", "front: &a {"),
    ],
    ids=[
        "a key twice",
        "a key twice above",
        "too far in",
        "too far out",
        "a bracket left open",
        "a document",
        "an anchor",
    ],
)
def test_what_may_have_another_meaning_is_read_from_the_beginning(old: str, new: str) -> None:
    source = Source("plan", BEFORE.replace(old, new, 1))
    assert reread(source, parse(Source("plan", BEFORE)), parse) is None


def test_what_was_wrong_before_is_read_from_the_beginning() -> None:
    broken = parse(Source("plan", BEFORE.replace("[1 kohm, front]", "[1 kohm, front")))
    assert reread(Source("plan", BEFORE), broken, parse) is None


def test_nothing_is_left_of_the_older_text() -> None:
    old = parse(Source("plan", BEFORE))
    source = Source("plan", BEFORE.replace("1 kohm", "1.5 kohm", 1))
    tree = parse(source, before=old)
    assert sources(tree.root) == {source}
    assert old.source not in {comment.span.source for comment in tree.comments}
