"""Real typing mistakes: the place that cures them, and the likely cause.

In each case the place that is to be reported stands between « and ».
"""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from trees import PLAN, damaged_plans, data, nodes, read, rubbish

from lampwright.diagnostics import Problem
from lampwright.syntax import CAUSES, Scalar, Tree
from lampwright.text import Source, Span

CASES = [
    # Tabs
    ("tab", "vehicle:\n«\t»name: Quarry switcher 7\n"),
    ("tab", "vehicle:\n  name: Quarry switcher 7\n«\t»scale: HO\n"),
    ("tab", "vehicle:\n  name: Quarry switcher 7\n  «\t»scale: HO\n"),
    ("tab", "vehicle:\n  name: Quarry switcher 7\n      «\t»scale: HO\n"),
    ("tab", "vehicle:\n  name: Quarry switcher 7\n «\t» scale: HO\n"),
    ("tab", "«\t»vehicle: 1\n"),
    ("tab", "circuit:\n«\t\t»- 1 kohm\n"),
    ("tab", "circuit:\n  -«\t»1 kohm\n"),
    ("tab", "a: |\n «\t»text\n"),
    # A space is missing
    ("missing-space", "vehicle:\n  name: Quarry switcher 7\n  «scale:HO»\n  address: 3\n"),
    ("missing-space", "vehicle:\n  «name:Quarry switcher 7»\n  scale: HO\n"),
    ("missing-space", "vehicle:\n  «name:Quarry» # mine\n  scale:HO\n  address: 3\n"),
    ("missing-space", "vehicle:\n  name: Quarry\n  «scale:HO»  # last\n"),
    ("missing-space", "vehicle:\n  name: Quarry\n  «scale:\u00a0HO»\n"),
    ("missing-space", "- «output:white»\n  when: forward\n"),
    ("missing-space", "circuit:\n  - 1 kohm\n  «-front headlamp»\n"),
    ("missing-space", "circuit:\n- 1 kohm\n«-front headlamp»\nnext: 1\n"),
    ("missing-space", "white: {«circuit:x», effect: steady}\n"),
    ("missing-space", "white: {effect: steady, «rate:60 per minute»}\n"),
    ("missing-space", "white: {«circuit:»}\n"),
    ("missing-space", "outputs:\n  «white:{»circuit: [a, b]}\n"),
    ("missing-space", "outputs:\n  «white:{»circuit: x}\n  yellow: 1\n"),
    ("missing-space", "outputs:\n  «white:[»a, b: 2]\n"),
    # A colon is missing
    ("missing-colon", "«vehicle»\n  name: Quarry switcher 7\n"),
    ("missing-colon", "lighting-plan: 1\n«vehicle»\n  name: Quarry switcher 7\n"),
    ("missing-colon", "vehicle:\n  «scale HO»\n  address: 3\n"),
    ("missing-colon", "vehicle:\n  address: 3\n  «scale HO»\n"),
    ("missing-colon", "vehicle:\n  address: 3\n  «scale = HO»   # so\n  x: 1\n"),
    ("missing-colon", "label: A long text that\n«goes on here»\n"),
    ("missing-colon", "lamps: {}\n«outpu»"),
    ("missing-colon", "outputs:\n  «white» {circuit: [a, b]}\n"),
    ("missing-colon", "outputs:\n  «white»  {circuit: x}\n  yellow: 1\n"),
    ("missing-colon", "outputs:\n  «white»  {circuit: [a, b], effect: steady}\n  yellow: 1\n"),
    # Quotes
    ("unclosed-quote", 'label: «"»Horn\nb: 1\n'),
    ("unclosed-quote", "label: «'»Horn\nb: 1\n"),
    ("unclosed-quote", 'label: «"»Horn'),
    ("unclosed-quote", 'label: «"»Horn\nlamp: "Cab"\nb: 1\n'),
    ("unclosed-quote", 'a: "fine"\nlabel: «"»Horn\nlamp: "Cab"\nb: "x"\n'),
    ("unclosed-quote", 'F2: {label: «"»Horn, momentary: true}\nF3: {label: "Cab"}\n'),
    ("unclosed-quote", 'F2: {label: «"»Horn, x: "y"}\n'),
    ("unclosed-quote", "label: «'»til dawn\nb: 1\n"),
    ("unclosed-quote", "label: «\"»Horn'\nb: 1\n"),
    ("unclosed-quote", "label: «'»x\n---\nb: 1\n"),
    ("unclosed-quote", 'label: «"»Horn\nb: "@x"\n'),
    ("text-after-quote", "name: «'Fred's engine'»\n"),
    ("text-after-quote", 'name: «"Old" switcher»  # mine\nb: 1\n'),
    ("text-after-quote", 'name: «"The "big" one"»\n'),
    ("text-after-quote", "F2: {label: «'Fred's horn'», momentary: true}\n"),
    ("text-after-quote", "name: «'Fred'@home»\n"),
    ("bad-escape", 'file: "C:«\\d»ecoders"\n'),
    ("bad-escape", 'file: "a\\\\b\\tc «\\x»zz"\n'),
    ("bad-escape", 'file: "«\\u»d800"\n'),
    ("bad-escape", 'file: {a: "5 «\\O»mega"}\n'),
    # Brackets
    ("unclosed-bracket", "lamps: «[»a, b\noutputs:\n  white: x\n"),
    ("unclosed-bracket", "lamps: «[»a, b\noutputs: {x: 1}\n"),
    ("unclosed-bracket", "white: {circuit: «[»1.5 kohm, front headlamp}\nyellow: 1\n"),
    ("unclosed-bracket", "white: «{»circuit: [1.5 kohm, lamp]\nyellow: {circuit: [1 kohm]}\n"),
    ("unclosed-bracket", "white: «{»circuit: x\nyellow: {circuit: y}\n"),
    ("unclosed-bracket", "white: {circuit: «[»a, b\n"),
    ("unclosed-bracket", "white: {circuit: «[»a, b"),
    ("unclosed-bracket", "white: «{»"),
    ("unclosed-bracket", "white: «{»circuit: [a], effect: x,\nviolet: {circuit: [a]}\nkeys:\n  F0: 1\n"),
    ("unclosed-bracket", "turns-on:\n  - «{»output: white, when: forward\n  - {output: yellow}\n"),
    ("unclosed-bracket", "circuit:\n  - «[»a, b\n  - [c]\nnext: 1\n"),
    ("unclosed-bracket", "circuit:\n  - parallel: [[a], «[»b}]\n"),
    ("unclosed-bracket", "circuit: «[»a, b, # so\n  c\nnext: 1\n"),
    ("unclosed-bracket", "a: 1\n«{»b: 2\n"),
    ("unclosed-bracket", "a: «[»b, c\nd: e]\nf: 1\n"),
    ("unopened-bracket", "white: [a]«]»\n"),
    ("unopened-bracket", "white: {circuit: [a]}«}»\n"),
    ("unopened-bracket", "white: circuit: [a]«}»\n"),
    ("unopened-bracket", "white: {circuit: 1.5 kohm, front headlamp«]»}\n"),
    ("unopened-bracket", "white: «]»\n"),
    ("text-after-bracket", "name: «[Old] switcher»  # mine\n"),
    ("text-after-bracket", "circuit: «[a, b] effect: steady»\n"),
    ("text-after-bracket", "- «{a: b} c»\n- d\n"),
    ("missing-comma", "white: {circuit: [a, b] «effect»: steady}\n"),
    ("missing-comma", "white: {effect: steady «rate»: 60 per minute}\n"),
    ("missing-comma", "white: {led: {colour: red} «bulb»: {voltage: 12 V}}\n"),
    ("missing-comma", "white: {\n  effect: steady\n  «rate»: 60 per minute\n}\n"),
    ("missing-comma", 'when: ["forward" «"F0"»]\n'),
    ("missing-comma", "a: [{b: 1} «{»c: 2}]\n"),
    ("extra-comma", "circuit: [a,«,» b]\n"),
    ("extra-comma", "circuit: [a, «,» b]\n"),
    ("extra-comma", "white: {effect: steady,«,» rate: 1}\n"),
    ("extra-comma", "circuit: [«,» a]\n"),
    ("extra-comma", "white: {effect: steady}«,»\nyellow: 1\n"),
    ("extra-comma", 'label: "Horn"«,»\nb: 1\n'),
    # Colons in values
    ("second-colon", "name: «Quarry: the switcher»\n"),
    ("second-colon", "name: «Quarry: the switcher»   # mine\nscale: HO\n"),
    ("second-colon", "- output: «white: when»\n"),
    ("second-colon", 'name: «"Quarry": the switcher»\n'),
    ("second-colon", "F2: {label: «Horn: long», momentary: true}\n"),
    ("second-colon", "name: «X  scale: HO»\n"),
    # Indentation
    ("bad-indentation", "vehicle:\n  name: Quarry\n«   »scale: HO\n"),
    ("bad-indentation", "vehicle:\n  name: Quarry\n« »scale: HO\n"),
    ("bad-indentation", "lamps:\n  cab:\n    bulb: 1\n«   »rear: 2\n"),
    ("bad-indentation", "circuit:\n  - a\n« »- b\n"),
    ("bad-indentation", "«  »lighting-plan: 1\nvehicle: 1\n"),
    ("bad-indentation", "turns-on:\n  - output: white\n«   »when: forward\n"),
    ("bad-indentation", "vehicle:\n«   »name: Quarry\n  scale: HO\n  address: 3\n"),
    ("bad-indentation", "vehicle:\n« »name: Quarry\n  scale: HO\n  # so\n\n  address: 3\nb: 1\n"),
    ("bad-indentation", "lamps:\n«   »cab:\n      bulb: 1\n  rear: 2\n  front: 3\n"),
    ("item-among-keys", "outputs:\n  white: x\n  «-» yellow\n"),
    ("item-among-keys", "outputs: 1\n«-» yellow\n"),
    ("key-among-items", "turns-on:\n  - {output: white}\n  «when: forward»  # so\n"),
    ("key-among-items", "- a\n«b: c»\n"),
    # Characters that mean something
    # YAML 1.2.2, section 7.4.2: a key without ? is 1,024 characters long at most.
    ("long-key", f"a: 1\n«{'x' * 1025}»: 2\n"),
    ("long-key", f"«{'x y ' * 300}z»: 2\n"),
    ("long-key", f"a: {{«{'x' * 1100}»: 2, b: 1}}\n"),
    ("long-key", f"- «'{'x' * 1100}'»: 2\n"),
    ("missing-colon", f"a: 1\n«{'x' * 1100}» # b: c\n"),
    ("second-colon", f"a: «{'x' * 1100}: b»\n"),
    ("reserved-character", "name: «@»home\n"),
    ("reserved-character", "«%» a comment of another language\nname: x\n"),
    ("reserved-character", "name: «`»x`\n"),
    ("reserved-character", "brightness: «%» 40\n"),
    ("reserved-character", "a: {brightness: «%»40}\n"),
    ("reserved-character", "«%»40: a\n"),
    ("reserved-character", "label: «*»stars*\n"),
    ("reserved-character", "label: «&» more\n"),
    ("reserved-character", "voltage: «>» 5 V\n"),
    ("reserved-character", "voltage: [«>» 5 V]\n"),
    ("reserved-character", "voltage: «|» x\n"),
    ("reserved-character", "circuit: «-» a\n"),
    ("reserved-character", "circuit: [\n  «-» a,\n  b]\n"),
    ("reserved-character", "label: «?» x\n"),
    ("no-break-space", "vehicle:\n«\u00a0\u00a0»name: Quarry\n"),
    ("no-break-space", "vehicle:\n  name: Quarry\n« \u2003»scale: HO\n"),
    ("control-character", "name: Qua«\x07»rry\n"),
    ("control-character", "name: Quarry # «\x1b»\n"),
    ("control-character", "a: 1\n«\x0c»\nb: 2\n"),
    ("control-character", "«\ufeff»name: Quarry\n"),
    ("control-character", "name: «\ud83d»\n"),
    # Version control
    ("merge-conflict", "a: 1\n«<<<<<<< HEAD»\nb: 1\n=======\nb: 2\n>>>>>>> other\n"),
    ("merge-conflict", "a: {\n  b: 1,\n«<<<<<<< HEAD»\n  c: 1 }\n=======\n  c: 2 }\n>>>>>>> other\n"),
    # No guess
]


def marked(case: str) -> tuple[str, int, int]:
    text = case.replace("«", "").replace("»", "")
    return text, case.index("«"), case.index("»") - 1


def syntax_error(tree: Tree) -> Problem:
    errors = [problem for problem in tree.problems if problem.kind == "syntax-error"]
    assert len(errors) == 1, [(problem.kind, problem.span.text, problem.data) for problem in tree.problems]
    return errors[0]


@pytest.mark.parametrize("pure", [False, True], ids=["C", "pure"])
@pytest.mark.parametrize(("cause", "case"), CASES)
def test_the_place_and_the_cause_are_those_of_the_mistake(cause: str, case: str, pure: bool) -> None:
    text, start, end = marked(case)
    error = syntax_error(read(text, pure=pure))
    assert (error.data["cause"], text[error.span.start : error.span.end]) == (cause, text[start:end])
    assert (error.span.start, error.span.end) == (start, end)


def test_the_cases_show_all_causes_but_the_last() -> None:
    assert set(CAUSES) - {cause for cause, _ in CASES} == {"other"}


@pytest.mark.parametrize(
    ("cause", "case", "character"),
    [
        ("unclosed-quote", "a: 'x", "'"),
        ("unclosed-bracket", "a: [x", "["),
        ("unopened-bracket", "a: [x]}", "}"),
        ("reserved-character", "a: @x", "@"),
        ("bad-escape", 'a: "\\q"', "\\q"),
        ("control-character", "a: \x07", "\x07"),
    ],
)
def test_the_character_is_told(cause: str, case: str, character: str) -> None:
    error = syntax_error(read(case))
    assert (error.data["cause"], error.data["character"]) == (cause, character)


def test_what_was_opened_is_told() -> None:
    for case, opener in (("a: 'x", 3), ("a: [x", 3), ("a: 'x' y", 3), ("a: [x] y", 3)):
        opened = syntax_error(read(case)).data["opened"]
        assert isinstance(opened, Span)
        assert (opened.start, opened.end) == (opener, opener + 1)


def test_a_control_character_is_told_by_its_code_point() -> None:
    assert syntax_error(read("a: \x07")).data["code"] == "U+0007"


def test_the_parser_s_own_words_are_kept() -> None:
    assert "could not find expected ':'" in str(syntax_error(read("a: 1\nb")).data["detail"])


# What is left of the text


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("a: 1\nb: 2\nc d\n", {"a": "1", "b": "2"}),
        ("a: 1\nb: c: d\n", {"a": "1"}),
        ('a: 1\nb: "c" d\n', {"a": "1"}),
        ('a: 1\nb: "c\nd: "e"\n', {"a": "1"}),
        ("a: 1\nb:\n  c: 1\n   d: 2\n", {"a": "1"}),
        ("a: 1\nb:\n  c: 1\n  d: 2\n   e: 2\n", {"a": "1", "b": {"c": "1"}}),
        ("a: 1\nb:\n  c: 1\n d: 2\n", {"a": "1", "b": {"c": "1"}}),
        ("a:\n  - b\n  - c: @\n", {"a": ["b"]}),
        ("a: [b, c}\nd: 1\n", {"a": ["b", "c"]}),
        ("a: [b, c\nd: 1\n", {"a": ["b"]}),
        ("a: {b: 1, c: 2 d: 3}\n", {"a": {"b": "1"}}),
        ("a: {b: [1] c: 3}\n", {"a": {"b": ["1"]}}),
        ("a: {b: 1, c: [\n", {"a": {"b": "1"}}),
        ("a: {b: 1, c\n", {"a": {"b": "1"}}),
        ("a: {\n", None),
        ("a: [b, fro", {"a": ["b"]}),
        ("a: {b: 1, c: fro", {"a": {"b": "1"}}),
        ("a: 1\nb: @\n", {"a": "1"}),
        ("a: 1\nb:\n\tc: 1\n", {"a": "1"}),
        ("? [a: b\n", None),
        ('"a" b\n', None),
        ("a: 1\na: 2\nb c\n", {"a": "1"}),
        ("a: 1\nb: \x07\nc: d\n", {"a": "1", "b": ..., "c": "d"}),
        ("a: 1\nb\x07: c\nd: e\n", {"a": "1", "d": "e"}),
        ("a: {b: 1, c:d, e: 2}\nf: 1\n", {"a": {"b": "1", "e": "2"}, "f": "1"}),
        ("a {b: c}\nd: 1\n", {"d": "1"}),
    ],
)
def test_what_was_read_whole_before_the_mistake_is_kept(text: str, left: object) -> None:
    tree = read(text)
    assert data(tree.root) == left
    assert not tree.complete
    assert syntax_error(tree)


def test_a_mistake_that_costs_nothing_leaves_the_tree_complete() -> None:
    for text in ("a:\n\u00a0\u00a0b: 1\n", "a: {b: 1} # \x07\n"):
        tree = read(text)
        assert syntax_error(tree)
        assert (data(tree.root), tree.complete) == ({"a": {"b": "1"}}, True)


@pytest.mark.parametrize(
    "text", ["a: '\u00a0'\n", "a: \u00a0b\n", "a: |\n  x\n  \u00a0y\n", "\u00a0\u00a0\na: 1\n", "\u00a0# x\na: 1\n"]
)
def test_no_break_spaces_elsewhere_are_no_mistake(text: str) -> None:
    assert not read(text).problems


def test_a_value_around_a_line_of_control_characters_is_not_read() -> None:
    tree = read("a: b\n\x07\n  c")
    assert syntax_error(tree)
    assert data(tree.root) == {"a": ...}


@given(st.one_of(damaged_plans(), rubbish))
@example("a\n\x07\n  a")
@settings(max_examples=200, deadline=None)
def test_no_text_that_is_part_of_the_mistake_is_kept(text: str) -> None:
    tree = read(text)
    for error in (problem for problem in tree.problems if problem.kind == "syntax-error"):
        for node in nodes(tree.root):
            if isinstance(node, Scalar) and error.data["cause"] != "no-break-space":
                assert node.end <= error.span.start or error.span.end <= node.start


def slips() -> list[tuple[str, int, str]]:
    """Each single slip of one kind in the plan: its likely causes, where it is, and the text with it."""
    found: list[tuple[str, int, str]] = []
    code = re.sub("#.*", lambda comment: " " * len(comment[0]), PLAN)
    kinds = {
        r"(?<=\w): (?=[^ \n])": ("missing-space", ":"),
        r"\]": ("unclosed-bracket", ""),
        r"\}": ("unclosed-bracket", ""),
        r"(?m)^ +(?=\S)": ("tab", "\t"),
        r"(?<=[\]}]), ": ("missing-comma", " "),
        r"(?m)(?<=:) (?=\{)": ("missing-space", ""),
        r"(?m)(?<=\w):(?= +[\[{])": ("missing-colon", ""),
        r"(?<=\w)[\"'](?=\n)": ("unclosed-quote", ""),
    }
    for pattern, (cause, instead) in kinds.items():
        matches = re.finditer(pattern, code)
        found += [(cause, match.start(), PLAN[: match.start()] + instead + PLAN[match.end() :]) for match in matches]
    return found


def test_single_slips_are_found_in_their_line() -> None:
    """Of all single slips of these kinds in a plan, those that are no YAML are told by their line and cause."""
    missed = []
    told = 0
    for cause, at, text in slips():
        tree = read(text)
        errors = [problem for problem in tree.problems if problem.kind == "syntax-error"]
        for error in errors:
            told += 1
            line = tree.source.position(error.span.start).line
            if (error.data["cause"], line) != (cause, Source("plan", text).position(at).line):
                missed.append((cause, error.data["cause"], tree.source.line(line)))
    assert told > 80
    assert not missed


@given(rubbish)
@settings(max_examples=100, deadline=None)
def test_a_text_has_one_syntax_error_at_most(text: str) -> None:
    tree = read(text)
    errors = [problem for problem in tree.problems if problem.kind == "syntax-error"]
    assert len(errors) <= 1
    assert all(error.data["cause"] in CAUSES for error in errors)
