"""What a text says, where it says so, and what of YAML a plan does without."""

from __future__ import annotations

import os
import subprocess
import sys
import time
import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ruamel.yaml.scanner import Scanner
from trees import PLAN, damaged_plans, data, documents, nodes, outline, places, read, rubbish

from lampwright.diagnostics import Problem
from lampwright.syntax import MAXIMUM_DEPTH, Mapping, Scalar, Sequence, Tree, Unread, events, path_at, scope_below
from lampwright.text import apply

any_text = st.one_of(rubbish, damaged_plans(), documents(), documents(line_end="\r\n"))


def only_problem(tree: Tree) -> Problem:
    assert len(tree.problems) == 1, [(problem.kind, problem.span.text, problem.data) for problem in tree.problems]
    return tree.problems[0]


def mapping(text: str) -> Mapping:
    root = read(text).root
    assert isinstance(root, Mapping)
    return root


# What is read


def test_a_plan_is_read_as_it_is_written() -> None:
    tree = read(PLAN)
    assert tree.complete
    assert not tree.problems
    plan = data(tree.root)
    assert list(plan) == ["lighting-plan", "vehicle", "supply", "parts", "lamps", "outputs", "keys"]
    assert plan["vehicle"] == {"name": "Quarry switcher 7", "scale": "HO", "address": "2107"}
    assert plan["outputs"]["brown"]["circuit"] == [
        {"parallel": [["2.7 kohm", "marker lamp"], ["100 ohm 1/2 W", "cab lamp"]]}
    ]
    assert plan["keys"]["F0"]["label"] == "Headlamps: both"
    assert plan["keys"]["F2"] == {"label": "Horn?", "momentary": "true"}
    assert plan["keys"]["F3"]["label"] == "Driver's lamp"


@pytest.mark.parametrize(
    "word", ["0805", "off", "no", "12:30", "~", "null", "1e3", "0x1F", "2026-01-01", "+5", ".5", "=", "a?b", "-5"]
)
def test_everything_is_text(word: str) -> None:
    assert data(read(f"a: {word}").root) == {"a": word}
    assert data(read(f"{{a: {word}, b: [{word}, {word}]}}").root) == {"a": word, "b": [word, word]}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ('"a\\tb"', "a\tb"),
        ("'it''s'", "it's"),
        ('"  wide  "', "wide"),
        ('"\\u2126"', "\u03a9"),  # NFC makes the ohm sign a Greek letter (Unicode Standard Annex 15).
        ("e\u0301", "\u00e9"),
        ("two\n  lines", "two lines"),
        ("|\n  one\n  two\n", "one\ntwo"),
        (">\n  one\n  two\n", "one two"),
        ("a\u2028b", "a\u2028b"),  # No line break since YAML 1.2 (section 5.4).
        ("http://x", "http://x"),
        ("why # a remark", "why"),
        ("no#remark", "no#remark"),
    ],
)
def test_values_are_unescaped_stripped_and_composed(text: str, value: str) -> None:
    tree = read(f"a: {text}")
    assert tree.complete
    assert data(tree.root) == {"a": value}


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "---\n", "--- # nothing\n...\n", "  \t\n", "\r\n"])
def test_an_empty_document_is_no_mistake(text: str) -> None:
    tree = read(text)
    assert (tree.root, tree.problems, tree.complete) == (None, (), True)


@pytest.mark.parametrize(
    "text",
    [
        "%YAML 1.2\n---\na: 1\n",
        "--- # begins\na: 1\n...\n",
        "---\na: 1",
        "a: 1\n...\n",
        "a:\t1\n",
        "a: 1\t\n\t\n\t# x\n",
    ],
)
def test_marks_of_a_single_document_and_idle_tabs_are_accepted(text: str) -> None:
    tree = read(text)
    assert data(tree.root) == {"a": "1"}
    assert not tree.problems


def test_a_colon_after_a_quoted_key_needs_no_space() -> None:
    assert data(read("""{"a":b, 'c':[d], "e f":{g: 1}}""").root) == {"a": "b", "c": ["d"], "e f": {"g": "1"}}


def test_containers_know_their_key() -> None:
    root = mapping("a: {b: [c]}\nd:\n- [e]\n")
    inner, items = root["a"], root["d"]  # type: ignore[index]
    assert isinstance(inner, Mapping)
    assert isinstance(items, Sequence)
    assert root.owner is None
    assert inner.owner == "a"
    assert inner.owner is root.key("a")
    assert root.key("z") is None
    first = items[0]
    assert isinstance(first, Sequence)
    assert (items.owner, first.owner) == ("d", None)
    assert (root.flow, inner.flow, items.flow, first.flow) == (False, True, False, True)


# Where it stands


@pytest.mark.parametrize(
    ("text", "path", "span"),
    [
        ("a:   HO   # x\n", ["a"], "HO"),
        ("a: 'H O'\n", ["a"], "'H O'"),
        ("a: two\n  lines\nb: 1\n", ["a"], "two\n  lines"),
        ("a: |\n  one\n\n  two  \n\n# x\nb: 1\n", ["a"], "|\n  one\n\n  two"),
        ("a: |2\n    deep\n  less\n # x\nb: 1\n", ["a"], "|2\n    deep\n  less"),
        ("a: |\n# x\nb: 1\n", ["a"], "|"),
        ("a: >-  # x\n  y\n", ["a"], ">-  # x\n  y"),
        ("a: >-  # x\n\nb: 1\n", ["a"], ">-"),
        ("a:\n  b: 1\n  c: 2   \n\n# x\nd: 1\n", ["a"], "b: 1\n  c: 2"),
        ("a:\n  b: {c: 1}  # x\n\n\nd: 1\n", ["a"], "b: {c: 1}"),
        ("a:\n- b\n- c # x\n\nd: 1\n", ["a"], "- b\n- c"),
        ("a:\n  b:\n  c:   # x\n", ["a"], "b:\n  c:"),
        ("a:\n  -\n  -  # x\n", ["a"], "-\n  -"),
        ("a: [b,\n  c ]\n", ["a"], "[b,\n  c ]"),
        ("a: [b: c , d]\n", ["a", 0], "b: c"),
        ("a: &x !y b\n", ["a"], "b"),
        ("a: !y &x\n  - b\n", ["a"], "- b"),
        ("a: &x\n  b: c\n", ["a"], "b: c"),
        ("a: *x\n", ["a"], "*x"),
    ],
)
def test_spans_begin_and_end_with_what_is_written(text: str, path: list[str | int], span: str) -> None:
    node = read(text).root
    for step in path:
        node = node[step]  # type: ignore[index]
    assert node is not None
    assert node.span.text == span


@pytest.mark.parametrize(
    ("text", "path", "stand_in"),
    [
        ("a:\n", ["a"], "a"),
        ("{a, b: c}", ["a"], "a"),
        ("[a: ]", [0, "a"], "a"),
        ("- b\n-\n- c\n", [1], "-"),
        ("- # - no\n-\n", [0], "-"),
        ("a: &x\n", ["a"], "a"),
        ("- &x\n", [0], "&x"),
    ],
)
def test_what_is_left_empty_has_a_place(text: str, path: list[str | int], stand_in: str) -> None:
    node = read(text).root
    for step in path:
        node = node[step]  # type: ignore[index]
    assert isinstance(node, Scalar)
    assert node.is_empty
    assert node.span.text == stand_in


def test_quotes_with_nothing_in_them_are_not_empty() -> None:
    empty = mapping("a: ''")["a"]  # type: ignore[index]
    assert isinstance(empty, Scalar)
    assert empty == ""
    assert not empty.is_empty


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("820 ohm 1/2 W", "ohm"),
        ("'820 ohm 1/2 W'", "ohm"),
        ('" 820 ohm 1/2 W "', "ohm"),
        ('"820\\x20ohm 1/2 W"', '"820\\x20ohm 1/2 W"'),
        ("820\n  ohm 1/2 W", "820\n  ohm 1/2 W"),
        ("|\n  820 ohm 1/2 W\n", "ohm"),
    ],
)
def test_a_part_is_exact_where_the_value_stands_literally(text: str, part: str) -> None:
    value = mapping(f"a: {text}")["a"]  # type: ignore[index]
    assert isinstance(value, Scalar)
    assert value == "820 ohm 1/2 W"
    assert value.part(4, 7).text == part


@given(any_text)
@settings(max_examples=100, deadline=None)
def test_nothing_raises_and_all_places_lie_in_the_text(text: str) -> None:
    tree = read(text)
    everything = [*nodes(tree.root), *tree.problems, *tree.comments]
    for span in [item.span for item in everything] + list(tree.dropped):
        assert 0 <= span.start <= span.end <= len(text)
        assert span.start < span.end or span.start == len(text)
    for node in nodes(tree.root):
        children = (
            [*node, *node.values()] if isinstance(node, Mapping) else list(node) if isinstance(node, Sequence) else []
        )
        assert all(node.span.holds(child.span) for child in children)
        if isinstance(node, Scalar) and node.style == "plain" and node and not set("\r\n") & set(node.span.text):
            assert unicodedata.normalize("NFC", node.span.text.strip()).strip() == node


@given(any_text)
@example("!'y'%YAML 1.2\n")
@settings(max_examples=120, deadline=None)
def test_both_parsers_read_the_same(text: str) -> None:
    assert outline(read(text)) == outline(read(text, pure=True))


def test_without_the_c_parser_the_pure_one_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(events, "_c_parser", lambda: None)
    used: list[str] = []
    original = Scanner.fetch_plain
    monkeypatch.setattr(Scanner, "fetch_plain", lambda scanner: used.append("pure") or original(scanner))
    assert data(read("a: 1").root) == {"a": "1"}
    assert used


def test_the_parser_is_imported_late_and_without_loaders_and_dumpers() -> None:
    code = (
        "import sys; from lampwright.syntax import parse; from lampwright.text import Source;"
        "early = 'ruamel.yaml' in sys.modules; parse(Source('plan', 'a: 1'));"
        "late = 'ruamel.yaml.main' in sys.modules; from ruamel.yaml import YAML;"
        "print(early, late, YAML(typ='safe').load('a: [1]'), YAML().load('a: 1') == {'a': 1})"
    )
    command = [sys.executable, "-c", code]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    result = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    assert result.stdout.strip() == "False False {'a': [1]} True"


# What of YAML a plan does without


@pytest.mark.parametrize(
    ("text", "what", "place", "left"),
    [
        ("a: &x 1\n", "anchor", "&x", {"a": "1"}),
        ("&x a: 1\n", "anchor", "&x", {"a": "1"}),
        ("a: &x\n  b: 1\n", "anchor", "&x", {"a": {"b": "1"}}),
        ("a: [&x [1]]\n", "anchor", "&x", {"a": [["1"]]}),
        ("a: *x\nb: 1\n", "alias", "*x", {"a": ..., "b": "1"}),
        ("*x : 1\nb: 1\n", "alias", "*x", {"b": "1"}),
        ("a: !!str 1\n", "tag", "!!str", {"a": "1"}),
        ("a: !ohm 1\n", "tag", "!ohm", {"a": "1"}),
        ("a: ! 1\n", "tag", "!", {"a": "1"}),
        ("a: !<tag:x> {b: 1}\n", "tag", "!<tag:x>", {"a": {"b": "1"}}),
        ("a: 1\nb: !x!y 1\n", "tag", "!", {"a": "1"}),
        ("<<: *x\nb: 1\n", "merge-key", "<<", {"b": "1"}),
        ("a: {<<: {c: 1}, b: 1}\n", "merge-key", "<<", {"a": {"b": "1"}}),
        ("a: 1\n---\nb: 1\n", "document", "---", {"a": "1"}),
        ("a: 1\n---\n", "document", "---", {"a": "1"}),
        ("a: 1\n...\n---\nb: [\n", "document", "---", {"a": "1"}),
        ("a: 1\n...\nb: 1\n", "document", "b: 1", {"a": "1"}),
        ("? [a]\n: 1\nb: 1\n", "key", "[a]", {"b": "1"}),
        ("{[a]: 1, b: 1}\n", "key", "[a]", {"b": "1"}),
        ("? {a: *x}\n: *y\nb: 1\n", "key", "{a: *x}", {"b": "1"}),
        ("?\n: 1\nb: 1\n", "key", "?", {"b": "1"}),
        ("%TAG ! tag:x\n---\nb: 1\n", "directive", "%TAG ! tag:x", {"b": "1"}),
        ("%YAML 2.0\n---\nb: 1\n", "directive", "%YAML 2.0", None),
    ],
)
def test_more_of_yaml_than_a_plan_needs_is_one_problem(text: str, what: str, place: str, left: object) -> None:
    tree = read(text)
    problem = only_problem(tree)
    assert (problem.kind, problem.data["what"], problem.span.text) == ("unsupported-yaml", what, place)
    assert data(tree.root) == left


@pytest.mark.parametrize("text", ["a: &x 1", "a: !t 1", "%TAG ! tag:x\n---\na: 1"])
def test_what_is_read_all_the_same_is_complete(text: str) -> None:
    assert read(text).complete


@pytest.mark.parametrize("text", ["a: *x", "*x : 1", "<<: *x", "a: 1\n---\n", "? [a]\n: 1", "a: 1\na: 1"])
def test_what_leaves_something_out_is_not_complete(text: str) -> None:
    assert not read(text).complete


def test_each_of_several_is_told() -> None:
    tree = read("a: &x !y 1\nb: *x\nc: &z {d: *x}\n")
    assert [problem.data["what"] for problem in tree.problems] == ["anchor", "tag", "alias", "anchor", "alias"]


def test_a_quoted_merge_key_is_text() -> None:
    assert not read("'<<': 1\n").problems


# The same key twice


def test_the_first_of_two_keys_stands() -> None:
    tree = read("lamps:\n  cab: 1\n  cab: 2\n  rear: 3\n")
    problem = only_problem(tree)
    assert (problem.kind, problem.span.text, problem.span.start) == ("duplicate-key", "cab", 18)
    assert problem.data["first"].start == 9
    assert (problem.data["first_value"].text, problem.data["value"].text) == ("1", "2")
    assert problem.data["equal"] is False
    assert data(tree.root) == {"lamps": {"cab": "1", "rear": "3"}}
    assert not tree.complete


@pytest.mark.parametrize(
    ("text", "equal"),
    [
        ("a: {b: [1, 2]}\na: {b: ['1', 2]}\n", True),
        ("a: {b: 1, c: 2}\na:\n  c: 2\n  b: 1\n", True),
        ("a: [1, 2]\na: [2, 1]\n", False),
        ("a: 1\na: [1]\n", False),
        ("a:\na:\n", True),
        ("{a: 1.5 V, a: 1,5 V}\n", False),
        ("\u00e9: 1\ne\u0301: 1\n", True),
    ],
)
def test_equal_is_what_says_the_same(text: str, equal: bool) -> None:
    problem = only_problem(read(text))
    assert (problem.kind, problem.data["equal"]) == ("duplicate-key", equal)


def test_a_duplicate_is_not_read_further() -> None:
    problem = only_problem(read("a: 1\na: {b: 1, b: &x 2, c: *x}\n"))
    assert (problem.span.start, problem.data["value"].text) == (5, "{b: 1, b: &x 2, c: *x}")


def test_what_follows_a_duplicate_is_read() -> None:
    tree = read("{a: 1, a: *x, b: *y, c: 1}")
    assert [(problem.kind, problem.span.text) for problem in tree.problems] == [
        ("duplicate-key", "a"),
        ("unsupported-yaml", "*y"),
    ]


def test_each_later_one_points_to_the_first() -> None:
    tree = read("a: 1\na: 2\na: 3\n")
    assert [(problem.span.start, problem.data["first"].start) for problem in tree.problems] == [(5, 0), (10, 0)]


# The decimal comma that YAML takes for its own


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("{forward-voltage: 1,9 V, at: 10 mA}", {"forward-voltage": "1,9 V", "at": "10 mA"}),
        ("{forward-voltage: 1,9 V to 2,2 V, at: 10 mA}", {"forward-voltage": "1,9 V to 2,2 V", "at": "10 mA"}),
        ("{at: 10 mA, forward-voltage: 1,9}", {"at": "10 mA", "forward-voltage": "1,9"}),
        ("{a: 1,5 V, b: 2,5 V}", {"a": "1,5 V", "b": "2,5 V"}),
        ("{a: 1,5 V, b: 1,5 V}", {"a": "1,5 V", "b": "1,5 V"}),
        ("[1,5 kohm, lamp]", ["1,5 kohm", "lamp"]),
        ("[lamp, 1,5 kohm 1/2 W, 2,7 kohm]", ["lamp", "1,5 kohm 1/2 W", "2,7 kohm"]),
        ("{voltage: 1, 5 V}", {"voltage": "1", "5 V": ""}),
        ("{voltage: 1 ,5 V}", {"voltage": "1", "5 V": ""}),
        ("{voltage: a,5 V}", {"voltage": "a", "5 V": ""}),
        ("{voltage: 1,V}", {"voltage": "1", "V": ""}),
        ("{voltage: '1',5 V}", {"voltage": "1", "5 V": ""}),
        ("{voltage: 1,5: V}", {"voltage": "1", "5": "V"}),
        ("[F0,F1, 2,x]", ["F0", "F1", "2", "x"]),
        ("a: 1,9 V", {"a": "1,9 V"}),
    ],
)
def test_a_decimal_comma_between_brackets_stays_in_one_piece(text: str, value: object) -> None:
    tree = read(text)
    assert data(tree.root) == value
    assert not tree.problems
    for node in nodes(tree.root):
        assert not isinstance(node, Scalar) or "," not in node or node.span.text == node


# Depth and size


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize("opener", ["[", "{a: ", "- ", "? "])
def test_depth_is_bounded(opener: str, pure: bool) -> None:
    tree = read(opener * 20_000, pure=pure)
    problem = only_problem(tree)
    assert (problem.kind, problem.data["what"]) == ("unreadable-file", "depth")
    assert problem.span.start == len(opener) * MAXIMUM_DEPTH
    assert not tree.complete


def test_a_hundred_levels_are_no_problem() -> None:
    tree = read("[" * MAXIMUM_DEPTH + "a" + "]" * MAXIMUM_DEPTH)
    assert tree.complete
    assert not tree.problems


@pytest.mark.parametrize(
    "text",
    [
        "".join(f"k{number}: 1\n" for number in range(40_000)),
        "a: 1\n" * 15_000,
        "{" + "a: 1, " * 15_000 + "}",
        "[" + "1," * 40_000 + "2]",
        "{" + "a:b, " * 15_000 + "}",
        "# x\n" * 40_000,
        "a: " + " " * 500_000 + "\t x",
        "'" * 200_001,
        "a: " + "x\n  " * 40_000 + ": y",
        "\u00a0" * 200_000 + "a",
        "a: [" + "{" * 50 + "b, " * 10_000,
    ],
    ids=[
        "keys",
        "duplicates",
        "flow duplicates",
        "commas",
        "glued",
        "comments",
        "spaces",
        "quotes",
        "lines",
        "wide",
        "unclosed",
    ],
)
def test_time_grows_with_the_size_and_no_faster(text: str) -> None:
    start = time.process_time()
    read(text)
    # A second is plenty for any of them; what is quadratic takes minutes.
    assert time.process_time() - start < 8


# Comments


def test_comments_are_told_from_what_looks_like_one() -> None:
    tree = read("# one\na: 'no # comment'   # two\nb#c: d#e\n\n  # three \nf: |\n  # text\n  g\n# four\n")
    told = [(comment.span.text, comment.text, comment.own_line) for comment in tree.comments]
    assert told == [
        ("# one", "one", True),
        ("# two", "two", False),
        ("# three ", "three", True),
        ("# four", "four", True),
    ]


def test_comments_end_where_lines_of_the_editor_end() -> None:
    tree = read("a: 1 # one\u2028still one\r\nb: 2 # two\r# three\r")
    assert [comment.text for comment in tree.comments] == ["one\u2028still one", "two", "three"]


def test_comments_below_a_syntax_error_are_found() -> None:
    tree = read("a: 1 # one\nb: [1 # two\n# three\nc: \"x # no\" # four\nd: 'e' # it's five\n")
    assert [comment.text for comment in tree.comments] == ["one", "two", "three", "four", "it's five"]


@given(any_text)
@settings(max_examples=100, deadline=None)
def test_a_text_without_its_comments_says_the_same(text: str) -> None:
    tree = read(text)
    if any(problem.kind == "syntax-error" for problem in tree.problems) or not tree.complete:
        return
    blank = list(text)
    for comment in tree.comments:
        blank[comment.span.start : comment.span.end] = " " * (comment.span.end - comment.span.start)
    without = read("".join(blank))
    assert without.comments == ()
    assert places(without.root) == places(tree.root)


# Finding a place again


@pytest.mark.parametrize(
    ("culprit", "path"),
    [
        ("scale", ("vehicle", "scale")),
        ("HO", ("vehicle", "scale")),
        ("scale: HO", ("vehicle", "scale")),
        ("supply", ("supply",)),
        ("14.5 V", ("supply", "track")),
        ("2.7 kohm", ("outputs", "brown", "circuit", 0, "parallel", 0, 0)),
        ("[green, brown]", ("keys", "F3", "turns-on", 0, "output")),
        ("40 %", ("keys", "F3", "turns-on", 1, "brightness")),
        ("{output: brown, brightness: 40 %}", ("keys", "F3", "turns-on", 1)),
    ],
)
def test_a_place_has_a_path(culprit: str, path: tuple[str | int, ...]) -> None:
    tree = read(PLAN)
    start = PLAN.index(culprit)
    assert path_at(tree, tree.source.span(start, start + len(culprit))) == path


def test_a_place_that_is_in_nothing_has_the_path_of_its_surroundings() -> None:
    tree = read("a: {b: 1, b: 2}\n")
    assert path_at(tree, only_problem(tree).span) == ("a",)
    assert path_at(tree, tree.source.span(0, 16)) == ()
    assert path_at(read(""), read("").source.span(0, 0)) == ()


@pytest.mark.parametrize(
    ("text", "scope"),
    [
        ("# c\na:\n  b: 1\nd: 1\n", "a:\n  b: 1"),
        ("a:\n  # c\n\n  # more\n\n  b: {d: 1} # x\n", "b: {d: 1}"),
        ("a:\n  # c\n  - b: 1\n    d: 1\n  - e\n", "- b: 1\n    d: 1"),
        ("a:\n# c\n- b\n- e\n", "- b"),
        ("a:\n- b\n# c\n- # no\n  e\n", "- # no\n  e"),
        ("a: [\n  # c\n  [b, d],\n  e]\n", "[b, d]"),
        ("a: {\n  # c\n  b: [d], e: 1}\n", "b: [d]"),
        ("# c\n---\na: 1\n", "a: 1"),
        ("# c\n- - a\n  - b\n", "- - a\n  - b"),
        ("a: 1\n# c\na: 2\n", "a: 2"),
        ("# c\n<<: 2\n", "<<: 2"),
        ("# c\na:\nb: 1\n", "a"),
        ("# c\n&x a: 1\n", "a: 1"),
        ("a:\n  b: 1\n# c\n", None),
        ("a: [b,\n  # c\n]\nd: 1\n", None),
        ("# c", None),
    ],
)
def test_a_comment_above_speaks_of_the_node_below(text: str, scope: str | None) -> None:
    tree = read(text)
    comment = next(comment for comment in tree.comments if comment.text == "c")
    span = scope_below(tree, comment)
    assert (span and span.text) == scope


def test_a_duplicate_takes_its_own_removal_along() -> None:
    tree = read(PLAN.replace("  address: 2107", "  scale: HO # again\n  address: 2107"))
    problem = only_problem(tree)
    assert problem.data["equal"]
    assert apply(tree.source, [problem.data["remove"]]) == PLAN


def test_nothing_is_unread_without_a_problem() -> None:
    tree = read("a: *x\nb: [*y]\n")
    unread = [node for node in nodes(tree.root) if isinstance(node, Unread)]
    assert [node.span for node in unread] == [problem.span for problem in tree.problems]


@pytest.mark.parametrize(
    "text", ["# see file:///a/b\nword: [12:30]\n", "word: [12:30] # file:///a\n", "word: [12:30]\n# file:///a\n"]
)
def test_an_address_in_a_comment_hides_no_glued_colon(text):
    value = read(text).root.value("word")
    assert [str(item) for item in value] == ["12:30"]
