"""Looks for the rules: what two entries at odds want of one output, in words, and which effects have which rates."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.logic.conflicts import Conflict
from lampwright.analysis.logic.looks import Shown
from lampwright.diagnostics import Note, Undecided
from lampwright.model.values import Figure, Name
from lampwright.rule.circumstances import in_state, lacking
from lampwright.rule.context import Context
from lampwright.rule.phrases import listed, quoted
from lampwright.units import Dimension, say


def both_looks(conflict: Conflict) -> str:
    """`brightness 100 % and 40 %`, first what the earlier entry wants."""
    one, other = conflict.earlier.entry.look, conflict.later.entry.look
    pairs = ((name, getattr(one, name), getattr(other, name)) for name in conflict.properties)
    return listed([f"{name} {_value(name, first)} and {_value(name, second)}" for name, first, second in pairs])


def earlier_entries(conflicts: Sequence[Conflict]) -> tuple[Note, ...]:
    """The places of the earlier entries that one later entry is at odds with."""
    first, *others = conflicts
    notes = [Note(first.earlier.entry.span, "the other one is wanted here")]
    notes += [Note(other.earlier.entry.span, f"and another one here, {in_state(other.state)}") for other in others]
    return tuple(notes)


def _value(name: str, value: Name | Figure) -> str:
    if isinstance(value, Name):
        return quoted(value.text)
    return say(value.usual, Dimension.SHARE if name == "brightness" else Dimension.RATE)


def shown_rates(context: Context) -> Iterator[tuple[str, Shown] | Undecided]:
    """Each stated rate with an effect that has it, and the output; or that this cannot be told of an output."""
    for output, looks in context.logic.stated_looks.items():
        rates = [look.rate for look in looks if look.rate is not None]
        for shown in context.logic.shown[output] if rates else ():
            if isinstance(shown, Shown):
                yield output, shown
            else:
                yield Undecided(rates[0].span or context.plan.span, lacking(shown))
