"""Edits change what they are asked to change, and leave every other character and what the rest says."""

from __future__ import annotations

import unicodedata
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from trees import data, documents, nodes, read

from lampwright.syntax import (
    Mapping,
    Sequence,
    Tree,
    append_entry,
    append_item,
    as_value,
    insert_before_item,
    insert_first_entry,
    remove_entry,
    remove_item,
    replace,
    scope_below,
)
from lampwright.text import apply

any_document = st.one_of(documents(), documents(line_end="\r\n"))


def at(tree: Tree, path: list[str | int]) -> Any:
    node: Any = tree.root
    for step in path:
        node = node[step]
    return node


def without(text: str, path: list[str | int], key: str) -> str:
    """`text` after the removal of a key of the mapping at `path`."""
    tree = read(text)
    mapping = at(tree, path)
    written = mapping.key(key)
    return apply(tree.source, [remove_entry(tree, mapping, written.span, mapping[key].span)])


def without_item(text: str, path: list[str | int], index: int) -> str:
    tree = read(text)
    return apply(tree.source, [remove_item(at(tree, path), index)])


def with_item(text: str, path: list[str | int], index: int) -> str:
    tree = read(text)
    return apply(tree.source, [insert_before_item(at(tree, path), index, "new")])


def test_a_span_is_replaced() -> None:
    tree = read("a: 1 # x\n")
    assert apply(tree.source, [replace(at(tree, ["a"]).span, "2")]) == "a: 2 # x\n"


@pytest.mark.parametrize(
    ("before", "path", "key", "after"),
    [
        ("a: 1 # x\n# y\nb: 2\n", [], "a", "# y\nb: 2\n"),
        ("a: 1\nb: 2 # x\n", [], "b", "a: 1\n"),
        ("a: 1\nb: 2", [], "b", "a: 1\n"),
        ("a: 1\r\nb: 2\r\nc: 3\r\n", [], "b", "a: 1\r\nc: 3\r\n"),
        ("a:\n  b: 1\n  c: 2\n\n# y\nd: 1\n", [], "a", "\n# y\nd: 1\n"),
        ("a:\n  b:\n  c: 2\n", ["a"], "b", "a:\n  c: 2\n"),
        ("a:\n  b: 1\n", ["a"], "b", "a:\n  {}\n"),
        ("a: 1\n", [], "a", "{}\n"),
        ("- a: 1 # x\n  # y\n  b: 2\n", [0], "a", "-\n  # y\n  b: 2\n"),
        ("- a: 1\n  b: 2\n", [0], "a", "- b: 2\n"),
        ("- a: 1\n  b: 2\n", [0], "b", "- a: 1\n"),
        ("- a: 1\n- c\n", [0], "a", "- {}\n- c\n"),
        ("? a\n: 1\nb: 2\n", [], "a", "b: 2\n"),
        ("b: 2\n&x a: 1\n", [], "a", "b: 2\n"),
        ("b: 2\na: |\n  x\n\n  y\nc: 1\n", [], "a", "b: 2\nc: 1\n"),
        ("{a: 1, b: 2}", [], "a", "{b: 2}"),
        ("{a: 1, b: 2}", [], "b", "{a: 1}"),
        ("{a: 1, b: 2, c: 3}", [], "b", "{a: 1, c: 3}"),
        ("{a: 1, b: 2, }", [], "b", "{a: 1, }"),
        ("{a: 1}", [], "a", "{}"),
        ("{ a }", [], "a", "{  }"),
        ("{a, b: [1, {c: 2}], d: 1}", [], "b", "{a, d: 1}"),
        ("[a: 1, b]", [0], "a", "[{}, b]"),
        ("{\n  a: 1, # x\n  b: 2, # y\n  c: 3  # z\n}\n", [], "b", "{\n  a: 1, # x\n  c: 3  # z\n}\n"),
        ("{\n  a: 1, # x\n  b: 2, # y\n  c: 3  # z\n}\n", [], "c", "{\n  a: 1, # x\n  b: 2, # y\n}\n"),
        ("{\n  a: 1, # x\n  b: 2\n}\n", [], "b", "{\n  a: 1, # x\n  \n}\n"),
        ("{\n  a: 1, # x,\n  b: 2\n}\n", [], "b", "{\n  a: 1, # x,\n  \n}\n"),
        ("{\n  a: 1,\n  b: 2\n}\n", [], "b", "{\n  a: 1\n}\n"),
        ("{a: 1, b: 2, # x\n c: 3}\n", [], "b", "{a: 1, # x\n c: 3}\n"),
        ("{a: 1\n, b: 2}\n", [], "b", "{a: 1\n}\n"),
        ("{? a : 1, b: 2}", [], "a", "{b: 2}"),
        ("{b: 2, &x a: 1}", [], "a", "{b: 2}"),
    ],
)
def test_an_entry_goes_with_its_line_or_its_comma(before: str, path: list[str | int], key: str, after: str) -> None:
    assert without(before, path, key) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a: 1\nb: 2\na: 1 # x\nc: 3\n", "a: 1\nb: 2\nc: 3\n"),
        ("- a: 1\n  a: 1\n", "- a: 1\n"),
        ("{a: 1, b: 2, a: 1}", "{a: 1, b: 2}"),
        ("{a: 1, a: 1, b: 2}", "{a: 1, b: 2}"),
        ("{a: 1,5 V, a: 1,5 V, b: 2}", "{a: 1,5 V, b: 2}"),
        ("a:\na:\n", "a:\n"),
        ("a: {b: 1}\na:\n  b: 1\n\n# x\n", "a: {b: 1}\n\n# x\n"),
    ],
)
def test_a_later_duplicate_goes_by_its_places(before: str, after: str) -> None:
    tree = read(before)
    (problem,) = tree.problems
    mapping = next(node for node in nodes(tree.root) if isinstance(node, Mapping) and "a" in node)
    removal = remove_entry(tree, mapping, problem.span, problem.data["value"])
    assert removal == problem.data["remove"]
    assert apply(tree.source, [removal]) == after


@pytest.mark.parametrize(
    ("before", "path", "index", "after"),
    [
        ("[a, b]", [], 0, "[new, a, b]"),
        ("[a, b]", [], 1, "[a, new, b]"),
        ("[a, b]", [], 2, "[a, b, new]"),
        ("[a, b,]", [], 2, "[a, b, new,]"),
        ("[]", [], 0, "[new]"),
        ("[ ]", [], 0, "[new ]"),
        ("[[a], b]", [], 0, "[new, [a], b]"),
        ("[&x a, b]", [], 0, "[new, &x a, b]"),
        ("[1,5 V, b]", [], 1, "[1,5 V, new, b]"),
        ("[a: b, c]", [], 0, "[new, a: b, c]"),
        ("[\n  a, # x\n  # y\n  b\n]\n", [], 1, "[\n  a, # x\n  new,\n  # y\n  b\n]\n"),
        ("- a\n- b\n", [], 0, "- new\n- a\n- b\n"),
        ("- a # x\n\n# y\n- b\n", [], 1, "- a # x\n\n- new\n# y\n- b\n"),
        ("a:\n  - b\n  - c # x\nd: 1\n", ["a"], 2, "a:\n  - b\n  - c # x\n  - new\nd: 1\n"),
        ("a:\n  - b", ["a"], 1, "a:\n  - b\n  - new"),
        ("a:\r\n  - b\r\n", ["a"], 0, "a:\r\n  - new\r\n  - b\r\n"),
        ("a:\n  # x\n  - b\n", ["a"], 0, "a:\n  - new\n  # x\n  - b\n"),
        ("a:\n  - b: 1\n    c:\n  - d\n", ["a"], 1, "a:\n  - b: 1\n    c:\n  - new\n  - d\n"),
        ("- - a\n  - b\n", [0], 0, "- - new\n  - a\n  - b\n"),
        ("- - a\n  - b\n", [0], 2, "- - a\n  - b\n  - new\n"),
        ("-\n- b\n", [], 1, "-\n- new\n- b\n"),
        ("a:\n- |\n  x\n\n- b\n", ["a"], 1, "a:\n- |\n  x\n\n- new\n- b\n"),
    ],
)
def test_an_item_is_put_in_as_its_neighbours_are_written(
    before: str, path: list[str | int], index: int, after: str
) -> None:
    assert with_item(before, path, index) == after


@pytest.mark.parametrize(
    ("before", "path", "index", "after"),
    [
        ("a:\n  - b # x\n  # y\n  - c\n", ["a"], 0, "a:\n  # y\n  - c\n"),
        ("a:\n- b\n- c\nd: 1\n", ["a"], 1, "a:\n- b\nd: 1\n"),
        ("a:\n  - b\n  - c: 1\n    d: 2\n  - e", ["a"], 1, "a:\n  - b\n  - e"),
        ("a:\r\n  - b\r\n  - c\r\n", ["a"], 1, "a:\r\n  - b\r\n"),
        ("a: [b, {c: 1}, d]\n", ["a"], 1, "a: [b, d]\n"),
        ("a: [b, {c: 1}]\n", ["a"], 1, "a: [b]\n"),
        ("a: [b, {c: 1}]\n", ["a"], 0, "a: [{c: 1}]\n"),
        ("a: [\n  b, # x\n  c, # y\n]\n", ["a"], 0, "a: [\n  c, # y\n]\n"),
        ("- - a\n  - b\n- c\n", [0], 0, "- - b\n- c\n"),
    ],
)
def test_an_item_is_taken_out(before: str, path: list[str | int], index: int, after: str) -> None:
    assert without_item(before, path, index) == after


def test_an_item_at_the_end_has_a_function_of_its_own() -> None:
    tree = read("a: [b]\n")
    assert append_item(at(tree, ["a"]), "c") == insert_before_item(at(tree, ["a"]), 1, "c")


def subjects(tree: Tree) -> list[tuple[str, int | None]]:
    """The comments on lines of their own, with where the node begins that they speak of."""
    scopes = [(comment.text, scope_below(tree, comment)) for comment in tree.comments if comment.own_line]
    return [(text, None if scope is None else scope.start) for text, scope in scopes]


@given(any_document, st.data())
@settings(max_examples=50, deadline=None)
def test_removing_an_entry_removes_it_and_nothing_else(text: str, choice: st.DataObject) -> None:
    tree = read(text)
    mappings = [node for node in nodes(tree.root) if isinstance(node, Mapping) and node]
    mapping = choice.draw(st.sampled_from(mappings))
    key = choice.draw(st.sampled_from(list(mapping)))
    value = mapping[key]
    edit = remove_entry(tree, mapping, key.span, value.span)
    after = read(apply(tree.source, [edit]))
    del mapping[key]
    assert data(after.root) == data(tree.root)
    assert after.complete
    assert not after.problems
    kept = [comment.text for comment in tree.comments if comment.own_line and not edit.span.holds(comment.span)]
    assert [comment.text for comment in after.comments if comment.own_line] == kept
    inside = [comment for comment in tree.comments if comment.own_line and edit.span.holds(comment.span)]
    assert all(key.start < comment.span.start < value.span.end for comment in inside), (
        "a comment of something else went"
    )


@given(any_document, st.data())
@settings(max_examples=50, deadline=None)
def test_taking_an_item_out_takes_out_nothing_else(text: str, choice: st.DataObject) -> None:
    tree = read(text)
    sequences = [node for node in nodes(tree.root) if isinstance(node, Sequence) and len(node) > 1]
    assume(sequences)
    sequence = choice.draw(st.sampled_from(sequences))
    index = choice.draw(st.integers(0, len(sequence) - 1))
    edit = remove_item(sequence, index)
    after = read(apply(tree.source, [edit]))
    kept = [comment.text for comment in tree.comments if comment.own_line and not edit.span.holds(comment.span)]
    assert [comment.text for comment in after.comments if comment.own_line] == kept
    del sequence[index]
    assert data(after.root) == data(tree.root)
    assert after.complete
    assert not after.problems


@given(any_document, st.data())
@settings(max_examples=50, deadline=None)
def test_putting_an_item_in_puts_it_there_and_moves_no_comment(text: str, choice: st.DataObject) -> None:
    tree = read(text)
    sequences = [node for node in nodes(tree.root) if isinstance(node, Sequence)]
    assume(sequences)
    sequence = choice.draw(st.sampled_from(sequences))
    index = choice.draw(st.integers(0, len(sequence)))
    edit = insert_before_item(sequence, index, "new: 1")
    after = read(apply(tree.source, [edit]))
    assert edit.span.start == edit.span.end
    expected = [
        (text, begin if begin is None or begin < edit.span.start else begin + len(edit.text))
        for text, begin in subjects(tree)
    ]
    assert subjects(after) == expected
    assert after.complete
    assert not after.problems
    new = read("- new: 1\n").root
    assert isinstance(new, Sequence)
    sequence.insert(index, new[0])
    assert data(after.root) == data(tree.root)


@given(any_document, st.data())
@settings(max_examples=25, deadline=None)
def test_a_duplicate_removed_leaves_the_document(text: str, choice: st.DataObject) -> None:
    """Any top-level entry written a second time at the end is told, and its removal gives the document back."""
    tree = read(text)
    assert isinstance(tree.root, Mapping)
    key = choice.draw(st.sampled_from(list(tree.root)))
    line_end = "\r\n" if "\r\n" in text else "\n"
    begun = text if text.endswith(line_end) else text + line_end
    doubled = read(f"{begun}{key}: again{line_end}")
    (problem,) = doubled.problems
    assert (problem.kind, problem.span.start) == ("duplicate-key", len(begun))
    assert apply(doubled.source, [problem.data["remove"]]) == begun


@given(any_document, st.data())
@settings(max_examples=100, deadline=None)
def test_an_entry_put_in_is_there_and_nothing_else_has_changed(text: str, choice: st.DataObject) -> None:
    tree = read(text)
    mapping = choice.draw(st.sampled_from([node for node in nodes(tree.root) if isinstance(node, Mapping)]))
    is_last = choice.draw(st.booleans())
    edit = append_entry(mapping, "new: {a: b}") if is_last else insert_first_entry(mapping, "new: {a: b}")
    # Before the first entry of an item there is no line; else there is always a way.
    if edit is None:
        assert not is_last
        assume(False)
    assert edit is not None
    after = read(apply(tree.source, [edit]))
    (new,) = read("new: {a: b}").root.items()  # type: ignore[union-attr]
    old = dict(mapping)
    mapping.clear()
    mapping.update({**old, new[0]: new[1]} if is_last else {new[0]: new[1], **old})
    assert data(after.root) == data(tree.root)
    assert list(data(after.root)) == list(data(tree.root))
    assert (after.complete, after.problems) == (True, ())
    assert [comment.text for comment in after.comments] == [comment.text for comment in tree.comments]


def test_several_lines_go_into_a_block_only() -> None:
    block, flow = read("a:\n    b: 1\n"), read("a: {b: 1}\n")
    edit = append_entry(at(block, ["a"]), "c:\n  d: 2")
    assert edit is not None
    assert apply(block.source, [edit]) == "a:\n    b: 1\n    c:\n      d: 2\n"
    assert append_entry(at(flow, ["a"]), "c:\n  d: 2") is None


@given(st.text(st.characters(categories=["L", "M", "N", "P", "S", "Zs"], max_codepoint=0x1FFFF), min_size=1))
def test_a_text_is_read_as_the_value_that_it_is(text: str) -> None:
    words = " ".join(text.split())
    assume(words)
    for line in ("a: %s\n", "{a: %s, b: c}"):
        tree = read(line.replace("%s", as_value(words)))
        assert tree.problems == ()
        assert at(tree, ["a"]) == unicodedata.normalize("NFC", words)
