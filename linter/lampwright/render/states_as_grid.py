"""The state table of a plan as a grid: a row for each lamp, a column for each key alone, in one look.

Each cell says in which direction the lamp burns, whether only moving or only standing, and whether not steadily or not
fully.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence

from lampwright.account.single_states import LitLamp, StateLine, state_lines
from lampwright.account.states import PlanStates
from lampwright.harmless import harmless_text
from lampwright.model.lighting import LightingPlan

WIDTH = 100
"""Columns where nothing says how many there are."""

_GAP = "  "
_LEGEND = {
    "●": "both ways",
    "→": "forward only",
    "←": "reverse only",
    "m": "only moving",
    "s": "only stopped",
    "?": "in some of these states only",
    "~": "not steady",
    "%": "not fully",
    "·": "dark",
}
_PLAIN = str.maketrans({"●": "x", "→": ">", "←": "<", "·": "."})

_Situation = tuple[bool, bool]
"""Whether forward, whether moving."""

_EVERYWHERE = frozenset((forward, moving) for forward in (True, False) for moving in (True, False))


def render_states_grid(
    name: str, plan: LightingPlan, states: PlanStates, width: int = WIDTH, *, has_signs: bool = True
) -> str:
    """The grid, with a line end, and what its signs mean; `has_signs` where arrows and dots can be shown."""
    by_keys: dict[tuple[str, ...], list[StateLine]] = {}
    for line in state_lines(plan, states):
        by_keys.setdefault(line.state.keys, []).append(line)
    lamps = list(dict.fromkeys(lamp for account in states.outputs.values() for lamp in account.lamps or ()))
    unknown = [output for output, account in states.outputs.items() if account.lacks is not None]
    heads = [_head(keys) for keys in by_keys]
    rows = {lamp: [_cell(lamp, lines) for lines in by_keys.values()] for lamp in lamps}
    vehicle = f"{plan.vehicle.name.text}, " if plan.vehicle.name is not None else ""
    text = [*_wrapped(f"{vehicle}{name}: what burns with each key alone", width), ""]
    text += _grids(heads, rows, width) if lamps else ["no lamp hangs on any output"]
    text += ["", *_wrapped(_legend(rows.values()), width)] if lamps else []
    text += _wrapped(f"cannot be told of: {', '.join(unknown)}", width) if unknown else []
    printed = harmless_text(text)
    return printed if has_signs else printed.translate(_PLAIN)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent=_GAP, break_long_words=False, break_on_hyphens=False)


def _head(keys: Sequence[str]) -> str:
    return "none" if not keys else keys[0] if len(keys) == 1 else "all"


def _cell(lamp: str, lines: Iterable[StateLine]) -> str:
    lit = {(line.state.forward, line.state.moving): line.lit[lamp] for line in lines if lamp in line.lit}
    if not lit:
        return "·"
    return _where(frozenset(lit)) + _how(lit)


def _where(situations: frozenset[_Situation]) -> str:
    """The directions and motions in which a lamp burns."""
    forwards, motions = ({each[place] for each in situations} for place in (0, 1))
    if len(situations) != len(forwards) * len(motions):
        return "?"
    way = "●" if len(forwards) == 2 else "→" if True in forwards else "←"
    return way + ("" if len(motions) == 2 else "m" if True in motions else "s")


def _how(lit: Mapping[_Situation, LitLamp]) -> str:
    looks = [each.look for each in lit.values()]
    is_unsteady = any(effect != "steady" for look in looks for effect in look.effects)
    is_dimmed = any(share < 1 for look in looks for share in look.brightness)
    return ("~" if is_unsteady else "") + ("%" if is_dimmed else "")


def _grids(heads: Sequence[str], rows: Mapping[str, Sequence[str]], width: int) -> Iterator[str]:
    """As many grids below each other as it takes."""
    first = max(map(len, rows))
    widths = [max(len(head), *(len(cells[number]) for cells in rows.values())) for number, head in enumerate(heads)]
    begin = 0
    while begin < len(heads):
        end, taken = begin, first
        while end < len(heads) and (end == begin or taken + len(_GAP) + widths[end] <= width):
            taken += len(_GAP) + widths[end]
            end += 1
        if begin:
            yield ""
        for name, cells in (("", heads), *rows.items()):
            aligned = [cell.ljust(size) for cell, size in zip(cells[begin:end], widths[begin:end], strict=True)]
            yield _GAP.join([name.ljust(first), *aligned]).rstrip()
        begin = end


def _legend(rows: Iterable[Sequence[str]]) -> str:
    used = {sign for cells in rows for cell in cells for sign in cell}
    said = [f"{sign} {meaning}" for sign, meaning in _LEGEND.items() if sign in used]
    return "; ".join([*said, "none: no key pressed", "all: every key of the plan"])
