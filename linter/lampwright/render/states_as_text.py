"""The state table of a plan as one reads it at the layout: output by output, how it burns and when."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from lampwright.account.sayings import lit_lines
from lampwright.account.states import OutputAccount, PlanStates
from lampwright.harmless import harmless_text
from lampwright.model.circuit import Board, leaves
from lampwright.model.lighting import LightingPlan, Output
from lampwright.rule.phrases import listed

WIDTH = 100
"""Columns where nothing says how many there are."""


def render_states_text(name: str, plan: LightingPlan, states: PlanStates, width: int = WIDTH) -> str:
    """The table, with a line end; below it what the keys in it are called."""
    paragraphs = [[_title(name, plan)]]
    for output, account in states.outputs.items():
        paragraphs.append([_heading(output, account, plan.outputs.get(output)), *lit_lines(account)])
    below = [*_loose(states), *_labels(plan, states)]
    paragraphs += [below] if below else []
    texts = [text for paragraph in paragraphs for text in ("", *paragraph)][1:]
    return harmless_text(line for text in texts for line in _wrapped(text, width) or [""])


def _wrapped(text: str, width: int) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip()))
    return textwrap.wrap(text, width, subsequent_indent=f"{indent}  ", break_long_words=False, break_on_hyphens=False)


def _title(name: str, plan: LightingPlan) -> str:
    vehicle = f"{plan.vehicle.name.text}, " if plan.vehicle.name is not None else ""
    return f"{vehicle}{name}: what burns when"


def _heading(name: str, account: OutputAccount, output: Output | None) -> str:
    if output is None or account.lamps is None:
        hangs = "its lamps cannot all be read"
    else:
        hangs = listed([*account.lamps, *_boards(output)]) or "no lamp hangs on it"
    always = ", always on" if account.is_always_lit else ""
    return f"output {name} ({hangs}){always}:"


def _boards(output: Output) -> Iterator[str]:
    """What lights without being a lamp of the plan."""
    if output.circuit is not None and any(isinstance(leaf, Board) for leaf in leaves(output.circuit)):
        yield "a lighting board"


def _loose(states: PlanStates) -> Iterator[str]:
    if states.loose:
        yield f"on no output: {listed(states.loose)}"


def _labels(plan: LightingPlan, states: PlanStates) -> Iterator[str]:
    """What the plan calls the keys that the table names, and which of them are on only while pressed."""
    looks = (each for account in states.outputs.values() for each in account.lit)
    used = {literal.variable for each in looks for product in each.products for literal in product}
    said = []
    for _, key in sorted(plan.keys.items()):
        remarks = [key.label.text] if key.label is not None else []
        remarks += ["on while pressed"] if key.momentary else []
        said += [f"{key.name} {', '.join(remarks)}"] if key.name in used and remarks else []
    if said:
        yield f"keys: {'; '.join(said)}"
