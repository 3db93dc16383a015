"""The state table of a plan as one reads it at the layout: output by output, how it burns and when."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from lampwright.account.states import OutputAccount, PlanStates
from lampwright.analysis.logic.questions import Product
from lampwright.analysis.logic.states import LitLook, LitStates
from lampwright.harmless import visible
from lampwright.model.circuit import Board, leaves
from lampwright.model.keys import Literal
from lampwright.model.lighting import LightingPlan, Output
from lampwright.rule.phrases import listed
from lampwright.units import Dimension, say

WIDTH = 100
"""Columns where nothing says how many there are."""

_DIGITS = 6
"""Of a figure of the plan: what was written is said again, not rounded."""


def render_states_text(name: str, plan: LightingPlan, states: PlanStates, width: int = WIDTH) -> str:
    """The table, with a line end; below it what the keys in it are called."""
    paragraphs = [[_title(name, plan)]]
    for output, account in states.outputs.items():
        paragraphs.append([_heading(output, account, plan.outputs.get(output)), *_lines(account)])
    below = [*_loose(states), *_labels(plan, states)]
    paragraphs += [below] if below else []
    texts = [text for paragraph in paragraphs for text in ("", *paragraph)][1:]
    return "".join(f"{visible(line)}\n" for text in texts for line in _wrapped(text, width) or [""])


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


def _lines(account: OutputAccount) -> Iterator[str]:
    if account.lacks is not None:
        yield f"  cannot be told, for lack of {account.lacks}"
    elif not account.lit:
        never = "never on: no state meets what would turn it on" if account.is_named else "nothing turns it on"
        yield f"  {never}"
    for states in account.lit:
        yield from _states(states)


def _states(states: LitStates) -> Iterator[str]:
    look = _look(states.look)
    if states.products == ((),):
        yield f"  {look.rstrip(',')}, always"
        return
    first, *others = (_while(product) for product in states.products)
    yield f"  {look} {first}"
    yield from (f"    or {other}" for other in others)


def _look(look: LitLook) -> str:
    """`steady`, `steady at 40 %`, `alternating flash, 60 per minute,`, `in conflict, steady or beacon,`."""
    said = listed(look.effects, "or")
    if look.brightness != (1.0,):
        said += f" at {listed([say(share, Dimension.SHARE, _DIGITS) for share in look.brightness], 'or')}"
    if look.rates:
        said += f", {listed([say(rate, Dimension.RATE, _DIGITS) for rate in look.rates], 'or')},"
    return f"in conflict, {said.rstrip(',')}," if look.is_at_odds else said


def _while(product: Product) -> str:
    """`while F0 and F3 are on and F5 is off, forward`."""
    keys = [literal for literal in product if literal.variable.startswith("F")]
    on = [literal.variable for literal in keys if literal.positive]
    off = [literal.variable for literal in keys if not literal.positive]
    said = " and ".join(_are(names, what) for names, what in ((on, "on"), (off, "off")) if names)
    others = [_word(literal) for literal in product if literal not in keys]
    return f"while {', '.join([said, *others] if said else others)}"


def _are(names: list[str], what: str) -> str:
    return f"{listed(names)} {'is' if len(names) == 1 else 'are'} {what}"


def _word(literal: Literal) -> str:
    if literal.variable == "forward":
        return "forward" if literal.positive else "reverse"
    return "moving" if literal.positive else "stopped"


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
