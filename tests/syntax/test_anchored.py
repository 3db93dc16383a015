"""Places that move with their entry: where they are in each text, and to what they are equal."""

from __future__ import annotations

from lampwright.syntax import Mapping, Tree, parse
from lampwright.syntax.anchored import Anchor, AnchoredSpan, Ground
from lampwright.text import Source, Span

TEXT = "a: one\nb:\n  c: two\n  d: {e: three, f: [4, 5]}\n  g: six\nh: seven\n"


def read(text: str, before: Tree | None = None) -> Tree:
    return parse(Source("plan", text), before=before)


def mapping(tree: Tree) -> Mapping:
    assert isinstance(tree.root, Mapping)
    return tree.root


def inner(tree: Tree, name: str) -> Mapping:
    value = mapping(tree).value(name)
    assert isinstance(value, Mapping)
    return value


def test_what_nobody_has_changed_is_the_very_same_further_on() -> None:
    first = read(TEXT.replace("one", "once"), read(TEXT))
    kept = {name: (inner(first, "b").key(name), inner(first, "b").value(name)) for name in "dg"}
    last = mapping(first).value("h")
    assert last is not None
    text = TEXT.replace("two", "a longer two").replace("one", "once")
    second = read(text, first)
    for name, (key, value) in kept.items():
        assert inner(second, "b").key(name) is key
        assert inner(second, "b").value(name) is value
        assert key is not None
        assert key.span == Span(second.source, text.index(f"  {name}:") + 2, text.index(f"  {name}:") + 3)
    assert mapping(second).value("h") is last
    assert last.span.text == "seven"
    assert last.span.source is second.source


def test_a_tree_that_was_taken_over_is_spent_and_gives_nothing_more() -> None:
    fresh = read(TEXT)
    first = read(TEXT.replace("one", "once"), fresh)
    # What was read from its beginning hangs on nothing, and stays what it was.
    assert not fresh.is_spent
    assert not first.is_spent
    second = read(TEXT.replace("one", "ones"), first)
    assert first.is_spent
    assert not second.is_spent
    again = read(TEXT.replace("one", "onto"), first)
    assert again.ground is None
    assert [key.start for key in mapping(again)] == [key.start for key in mapping(second)]


def test_a_text_that_breaks_takes_nothing() -> None:
    first = read(TEXT.replace("one", "once"), read(TEXT))
    assert read(TEXT.replace("one", "[one"), first).problems
    assert not first.is_spent
    assert not read(TEXT.replace("one", "ones"), first).problems
    assert first.is_spent


def test_an_anchored_span_is_equal_to_what_stands_there_and_moves() -> None:
    source, newer = Source("plan", "abcdef"), Source("plan", "xyabcdef")
    ground = Ground(source)
    anchor = Anchor(ground, 1)
    span, plain = AnchoredSpan(anchor, 0, 3), source.span(1, 4)
    assert span == plain
    assert plain == span
    assert hash(span) == hash(plain)
    assert span != source.span(1, 3)
    assert span != "bcd"
    assert span.text == "bcd"
    assert span.moves_with(AnchoredSpan(anchor, 0, 3))
    assert not span.moves_with(AnchoredSpan(Anchor(ground, 1), 0, 3))
    assert not span.moves_with(AnchoredSpan(anchor, 0, 2))
    assert not span.moves_with(plain)
    assert not plain.moves_with(span)
    assert plain.moves_with(source.span(1, 4))
    part, pinned, reach = span.part(1, 2), span.pinned(), span.to(AnchoredSpan(anchor, 4, 5))
    beyond = span.to(source.span(5, 6))
    ground.source, anchor.offset = newer, 3
    assert [each.text for each in (span, part, reach)] == ["bcd", "c", "bcdef"]
    assert {each.source for each in (span, part, reach)} == {newer}
    assert pinned == plain
    assert beyond == source.span(1, 6)
    assert span == newer.span(3, 6)
    assert span.holds(part)
    assert plain.pinned() is plain
