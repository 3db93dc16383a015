"""Trees as plain data to compare, and texts to read: well-formed ones of every layout, and rubbish."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from hypothesis import strategies as st

from lampwright.diagnostics import Problem
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Tree, Unread, parse
from lampwright.text import Edit, Source, Span

PLAN = """\
# The plan of an invented switcher.
lighting-plan: 1

vehicle:
  name: Quarry switcher 7
  scale: HO                      # picks the voltage row
  address: 2107
supply: {track: 14.5 V}
parts: [club.parts.yaml]

lamps:
  front headlamp: {part: warm white 0603}
  # On loan from the museum.
  cab lamp:
    bulb: {voltage: 12 V, current: 40 mA}
  marker lamp:
    led: {forward-voltage: 1.9 V to 2.2 V, current: 4 mA, colour: red}

outputs:
  white:  {circuit: [1.5 kohm, front headlamp]}
  green:  {circuit: [820 ohm 1/2 W, cab lamp], effect: alternating flash, rate: 60 per minute}
  brown:
    circuit:
      - parallel:
          - [2.7 kohm, marker lamp]
          - [100 ohm 1/2 W, cab lamp]

keys:
  F0:
    label: "Headlamps: both"
    turns-on:
      - {output: white, when: forward}
  F2: {label: Horn?, momentary: true}
  F3:
    label: 'Driver''s lamp'
    turns-on:
      - output: [green, brown]
        when: [forward, F0]
      - {output: brown, brightness: 40 %}
"""


def read(text: str, *, pure: bool = False) -> Tree:
    return parse(Source("plan", text), pure=pure)


def data(node: Node | None) -> Any:
    """A tree as dicts, lists and strings. What was not read is ..."""
    if isinstance(node, Mapping):
        return {str(key): data(value) for key, value in node.items()}
    if isinstance(node, Sequence):
        return [data(item) for item in node]
    if isinstance(node, Unread):
        return ...
    return None if node is None else str(node)


def nodes(node: Node | None) -> Iterator[Node]:
    """All nodes, keys included."""
    if node is not None:
        yield node
    if isinstance(node, Mapping):
        for key, value in node.items():
            yield key
            yield from nodes(value)
    if isinstance(node, Sequence):
        for item in node:
            yield from nodes(item)


def places(value: Any) -> Any:
    """Anything that is made of nodes, spans and edits, as offsets and words."""
    if isinstance(value, Span):
        return (value.start, value.end)
    if isinstance(value, Edit):
        return (places(value.span), value.text)
    if isinstance(value, Scalar):
        return (str(value), places(value.span), value.style)
    if isinstance(value, Mapping):
        entries = [(places(key), places(node)) for key, node in value.items()]
        return ("mapping", places(value.span), value.flow, places(value.owner), entries)
    if isinstance(value, Sequence):
        return ("list", places(value.span), value.flow, places(value.owner), [places(item) for item in value])
    if isinstance(value, Unread):
        return ("unread", places(value.span))
    if isinstance(value, Problem):
        # The parsers' own words differ, and are for the curious only.
        told = {name: places(item) for name, item in value.data.items() if name != "detail"}
        return (value.kind, places(value.span), told)
    return value


def outline(tree: Tree) -> Any:
    """All that a tree says."""
    comments = [(places(comment.span), comment.text, comment.own_line) for comment in tree.comments]
    problems = [places(problem) for problem in tree.problems]
    return places(tree.root), comments, problems, tree.complete, [places(span) for span in tree.dropped]


_PIECES = [
    *"ab1 :,-[]{}#'\"\n?&*!|>\\%@`\t.~=é",
    *[
        "a: ",
        "- ",
        "\n  ",
        "\n    ",
        ", ",
        ": ",
        ",5 V",
        '"x"',
        "'y'",
        " # c",
        "&a ",
        "*a",
        "!t ",
        "<<: ",
        "\r\n",
        "\r",
        "...\n",
        "---\n",
    ],
    *[
        "12:30",
        "k:v",
        "x y",
        "\u2028",
        "\u0085",
        "\x07",
        "\x00",
        "\u00a0",
        "\ufeff",
        "e\u0301",
        "\U0001f600",
        "\ud800",
        "a: 1\n",
        "b:\n",
    ],
    *["|\n", ">-\n", "|2\n", "\\x41", "\\u00e9", "%YAML 1.2\n", "<<<<<<< HEAD\n"],
]
rubbish = st.lists(st.sampled_from(_PIECES), max_size=24).map("".join)


@st.composite
def damaged_plans(draw: st.DrawFn) -> str:
    """The plan above with some characters lost, doubled or replaced."""
    text = PLAN
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(text)))
        width = draw(st.integers(0, 2))
        text = text[:at] + draw(st.sampled_from(["", "", *_PIECES])) + text[at + width :]
    return text


_WORDS = st.sampled_from(
    ["white", "F0", "cab lamp", "1.5 kohm", "0805", "off", "12:30", "Ω", "\U0001f686", "a-b", "x.y"]
)
_KEYS = st.sampled_from(["a", "b", "c", "d", "e f", "0805", "Ω", "\U0001f686"])


@st.composite
def documents(draw: st.DrawFn, line_end: str = "\n") -> str:
    """A mapping in block style with everything that may stand in a plan, in mixed layouts, with comments."""
    lines = draw(_block_mapping(0, 3))
    return line_end.join(lines) + draw(st.sampled_from(["", line_end]))


@st.composite
def _block_mapping(draw: st.DrawFn, indent: int, depth: int) -> list[str]:
    lines: list[str] = []
    for key in draw(st.lists(_KEYS, min_size=1, max_size=4, unique=True)):
        lines += draw(_own_lines(indent))
        lines += draw(_entry(f"{' ' * indent}{key}:", indent, depth))
    return lines


@st.composite
def _block_list(draw: st.DrawFn, indent: int, depth: int) -> list[str]:
    lines: list[str] = []
    for _ in range(draw(st.integers(1, 3))):
        lines += draw(_own_lines(indent))
        if depth and draw(st.booleans()):
            entries = draw(_block_mapping(indent + 2, depth - 1))
            first = next(number for number, line in enumerate(entries) if line.strip() and line.strip()[0] != "#")
            # What stands above the first key must stand above the dash.
            lines += [*entries[:first], f"{' ' * indent}- {entries[first].lstrip()}", *entries[first + 1 :]]
        else:
            lines.append(f"{' ' * indent}- {draw(_flow(depth))}{draw(_line_comment)}")
    return lines


@st.composite
def _entry(draw: st.DrawFn, start: str, indent: int, depth: int) -> list[str]:
    kind = draw(st.sampled_from(["flow", "flow", "mapping", "list"])) if depth else "flow"
    if kind == "flow":
        return [f"{start} {draw(_flow(depth))}{draw(_line_comment)}"]
    inner = indent + draw(st.sampled_from([2, 4] if kind == "mapping" else [0, 2]))
    block = _block_mapping if kind == "mapping" else _block_list
    return [f"{start}{draw(_line_comment)}", *draw(block(inner, depth - 1))]


@st.composite
def _flow(draw: st.DrawFn, depth: int) -> str:
    kind = draw(st.sampled_from(["word", "word", "quoted", "list", "mapping"])) if depth else "word"
    if kind == "list":
        return f"[{', '.join(draw(st.lists(_flow(depth - 1), max_size=3)))}]"
    if kind == "mapping":
        keys = draw(st.lists(_KEYS, max_size=3, unique=True))
        comma = draw(st.sampled_from([", ", ",  "]))
        return "{" + comma.join(f"{key}: {draw(_flow(depth - 1))}" for key in keys) + "}"
    word = draw(_WORDS)
    return f'"{word} #: "' if kind == "quoted" else word


@st.composite
def _own_lines(draw: st.DrawFn, indent: int) -> list[str]:
    line = st.sampled_from(["", f"{' ' * indent}# a remark", f"{' ' * indent}# b: [c, #"])
    return draw(st.lists(line, max_size=2)) if draw(st.booleans()) else []


_line_comment = st.sampled_from(["", "", "", " # why", "  #: [{"])
