"""What hangs on each output, drawn in lines of text: from the common on the left to the output on the right.

Resistors wear their bands in colour where there is colour, else in words. Says nothing of what flows.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

from lampwright.account.wiring import End, Ends, Label, ends_of_common, ends_of_output, label_of
from lampwright.harmless import no_command, visible
from lampwright.model.circuit import Chain, Element, Parallel
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass

WIDTH = 100
"""Columns where nothing says how many there are."""

_PLAIN = str.maketrans(dict(zip("─│┬├└┤┘▷◁⊗●→", "-|+++++><o*>", strict=True)))
_COLOURS = {
    "black": 16, "brown": 94, "red": 160, "orange": 208, "yellow": 226, "green": 34, "blue": 27, "violet": 93,
    "grey": 245, "white": 231, "gold": 178, "silver": 250, "pink": 218,
}  # fmt: skip
"""Of the 256 that terminals know, by the names of the bands."""

_FIRST_BAND = 0xE000
"""Stands for a band until all is laid out; no name of a plan comes through `visible` with such a character."""


@dataclass(frozen=True, slots=True)
class Manner:
    """What a terminal can show: colours, and lines and symbols beyond ASCII; and its columns."""

    has_colour: bool = False
    has_lines: bool = True
    width: int = WIDTH


def render_wiring_text(name: str, plan: LightingPlan, manner: Manner) -> str:
    """The pictures of all circuits of `plan`, with a line end; `name` is the file."""
    lines = [visible(f"{plan.vehicle.name.text}, {name}" if plan.vehicle.name is not None else name)]
    lead = plan.common_circuit
    if lead is not None and lead.elements:
        lines += ["", "common lead:", *_picture(lead, ends_of_common(plan), manner)]
    for output in plan.outputs.values():
        lines += ["", visible(f"output {output.name}:")]
        if output.circuit is None:
            lines.append("  its circuit cannot be read")
        elif output.is_empty:
            lines.append("  nothing hangs on it")
        else:
            lines += _picture(output.circuit, ends_of_output(plan, output), manner)
    text = "".join(f"{no_command(line)}\n" for line in lines)
    return _with_bands(text if manner.has_lines else text.translate(_PLAIN))


# --- Blocks -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines of one width, the first of which has the wire through it."""

    lines: tuple[str, ...]
    width: int


def _picture(circuit: Chain, ends: Ends, manner: Manner) -> Iterator[str]:
    left, right = _end(ends.left), _end(ends.right)
    parts = [_block(element, manner) for element in circuit.elements]
    rows = list(_rows(parts, manner.width - _columns(left) - 10))
    if len(rows[-1]) > 1 and _columns(left) + sum(part.width for part in rows[-1]) + _columns(right) + 8 > manner.width:
        rows[-1:] = [rows[-1][:-1], rows[-1][-1:]]
    for number, row in enumerate(rows):
        begins = f"{left} ──" if not number else f"{' ' * (_columns(left) - 1)}→ ──"
        ends_with = f"── {right}" if number == len(rows) - 1 else "── →"
        block = _in_row(row)
        yield f"  {begins}{block.lines[0]}{ends_with}".rstrip()
        for line in block.lines[1:]:
            yield f"  {' ' * _columns(begins)}{line}".rstrip()


def _end(end: End) -> str:
    return visible(end.words)


def _rows(parts: Sequence[_Block], room: int) -> Iterator[list[_Block]]:
    row: list[_Block] = []
    for part in parts:
        if row and sum(each.width for each in row) + part.width > room:
            yield row
            row = []
        row.append(part)
    yield row


def _block(element: Element, manner: Manner) -> _Block:
    match element:
        case Chain(elements=parts):
            return _in_row([_block(part, manner) for part in parts], from_rail=element.rail_span is not None)
        case Parallel(branches=branches):
            each = [_in_row([_block(part, manner) for part in branch.elements]) for branch in branches]
            return _side_by_side(each, [branch.rail_span is not None for branch in branches])
    text = _cell(label_of(element), manner)
    return _Block((text,), _columns(text))


def _cell(label: Label, manner: Manner) -> str:
    """One element on its wire."""
    name = visible(label.name)
    match label.kind:
        case "resistor":
            if not label.bands:
                return f"─[{name}]─"
            worn = "".join(map(_band, label.bands)) if manner.has_colour else "-".join(label.bands)
            return f"─[{name} {worn}]─"
        case "led":
            return f"─({'|◁' if label.is_reversed else '▷|'} {name})─"
        case "bulb":
            return f"─(⊗ {name})─"
        case "diode":
            return f"─(▷| {label.lines[-1]})─"
        case "unreadable":
            return f"─[{name}?]─"
    return f"─[{name} {label.lines[-1]}]─"


def _in_row(blocks: Sequence[_Block], *, from_rail: bool = False) -> _Block:
    """Blocks one after the other, on one wire."""
    if from_rail:
        blocks = [_Block(("rail ●",), 6), *blocks]
    height = max((len(block.lines) for block in blocks), default=1)
    lines = [
        "".join(block.lines[number] if number < len(block.lines) else " " * block.width for block in blocks)
        for number in range(height)
    ]
    return _Block(tuple(lines), sum(block.width for block in blocks))


def _side_by_side(branches: Sequence[_Block], from_rail: Sequence[bool]) -> _Block:
    """Branches one below the other, between two upright wires; what a rail feeds does not hang on the left one."""
    if not branches:
        return _Block(("",), 0)
    starts = ["rail ●" if is_fed else "──" for is_fed in from_rail]
    indent = max(map(_columns, starts))
    width = max(branch.width for branch in branches)
    last_left = max((number for number, is_fed in enumerate(from_rail) if not is_fed), default=0)
    lines: list[str] = []
    for number, (branch, start, is_fed) in enumerate(zip(branches, starts, from_rail, strict=True)):
        is_last = number == len(branches) - 1
        filler = " " if is_fed else "─"
        for row, line in enumerate(branch.lines):
            if row:
                left = "│" if number < last_left else " "
                lines.append(f"{left}{' ' * indent}{line}{' ' * (width - branch.width)} {' ' if is_last else '│'}")
                continue
            left = _corner(number, last_left, is_fed=is_fed)
            right = "┬" if not number and len(branches) > 1 else "─" if not number else "┘" if is_last else "┤"
            lead = filler * (indent - _columns(start)) + start
            lines.append(f"{left}{lead}{line}{'─' * (width - branch.width)}─{right}")
    return _Block(tuple(lines), width + indent + 3)


def _corner(number: int, last: int, *, is_fed: bool) -> str:
    """Where a branch leaves the left upright wire, which ends at the branch `last`."""
    if not number:
        return "┬" if last else ("─" if not is_fed else " ")
    if is_fed:
        return "│" if number < last else " "
    return "└" if number == last else "├"


# --- Columns and colours ----------------------------------------------------------------------------------------------


def _columns(text: str) -> int:
    """How many columns a terminal takes for `text`."""
    return sum(_column(character) for character in text)


def _column(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def _band(colour: str) -> str:
    return chr(_FIRST_BAND + list(_COLOURS).index(colour))


def _with_bands(text: str) -> str:
    """Bands in their colours, as stripes that stand beside each other."""
    stripes = (f"\x1b[38;5;{code}m\N{LEFT HALF BLOCK}\x1b[0m" for code in _COLOURS.values())
    return text.translate(dict(enumerate(stripes, _FIRST_BAND)))
