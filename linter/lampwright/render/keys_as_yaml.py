"""What a decoder does with values that were read out of it, written as the sections of a lighting plan."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from lampwright.analysis.programming.description import DescribedEntry, DescribedLook, Description
from lampwright.harmless import visible
from lampwright.model.keys import ALWAYS, AllOf, Condition, Literal
from lampwright.rule.programming import said_condition
from lampwright.units import Dimension, say


def render_keys_yaml(description: Description) -> str:
    """The `keys:` of a plan that says the same, and above them the looks of its outputs; with a line end."""
    lines = ["outputs:   # the looks only; what hangs on them no CV knows"]
    lines += (f"  {name}: {{{', '.join(_look(look))}}}" for name, look in description.looks.items() if [*_look(look)])
    lines += (f"  # {name}: not known, a CV of it is missing or has no meaning" for name in description.unknown)
    lines += ["keys:"] if description.entries else ["keys: {}"]
    for key, entries in groupby(description.entries, key=lambda entry: entry.key):
        lines += [f"  F{key}:", "    turns-on:", *(f"      - {_entry(entry)}" for entry in entries)]
    return "".join(f"{visible(line)}\n" for line in lines)


def _look(look: DescribedLook) -> Iterator[str]:
    if look.effect is not None:
        yield f"effect: {look.effect}"
    if look.brightness is not None:
        yield f"brightness: {say(look.brightness, Dimension.SHARE, 6)}"
    if look.rate is not None:
        yield f"rate: {say(look.rate, Dimension.RATE, 6)}"


def _entry(entry: DescribedEntry) -> str:
    when = f", when: {_condition(entry.condition)}" if entry.condition != ALWAYS else ""
    return f"{{output: {entry.output}{when}}}"


def _condition(condition: Condition) -> str:
    if isinstance(condition, Literal):
        return said_condition(condition)
    parts = ", ".join(_condition(part) for part in condition.parts)
    return f"[{parts}]" if isinstance(condition, AllOf) else f"{{any: [{parts}]}}"
