"""Turns of phrase that several rules share: quoting, listing, figures with their units. Holds no sentence of a rule."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lampwright.diagnostics import Fix, Problem
from lampwright.text import Edit, nearest
from lampwright.units import Dimension, Misread, say

_LONGEST_QUOTE = 60
_LONGEST_LIST = 6


def quoted(text: str) -> str:
    """`text` in quotation marks, without its own, cut where nobody reads on."""
    line = " ".join(text.split())
    if len(line) > 1 and line[0] == line[-1] and line[0] in "'\"":
        line = line[1:-1]
    return f'"{line if len(line) <= _LONGEST_QUOTE else line[: _LONGEST_QUOTE - 1] + "…"}"'


def listed(texts: Sequence[str], joint: str = "and") -> str:
    """`a, b and c`."""
    if len(texts) < 2:
        return "".join(texts)
    return f"{', '.join(texts[:-1])} {joint} {texts[-1]}"


def all_quoted(texts: Iterable[str], joint: str = "and", more: int = 0) -> str:
    """Each text quoted, of a long list the first few and how many more; `more` are counted, but not among `texts`."""
    each = [quoted(text) for text in texts]
    if more:
        return listed([*each, f"{more} more"])
    if len(each) > _LONGEST_LIST:
        each = [*each[: _LONGEST_LIST - 1], f"{len(each) - _LONGEST_LIST + 1} more"]
        return listed(each)
    return listed(each, joint)


def meant_or_possible(written: str, choices: Sequence[str], possible: Sequence[str]) -> str:
    """What to say after an unknown word: what it was probably meant to be, else what there is."""
    close = nearest(written, choices)
    if close:
        return f"; did you mean {all_quoted(close, 'or')}?"
    return f"; there is {all_quoted(possible)}" if possible else ""


def said_above(value: float, limit: float, dimension: Dimension) -> str:
    """`value`, which is above `limit` or below it, with as many digits as it takes to see that, three at least."""
    enough = (digits for digits in range(3, 7) if say(value, dimension, digits) != say(limit, dimension, digits))
    return say(value, dimension, next(enough, 7))


def counted(number: int, word: str) -> str:
    """`1 lamp`, `2 lamps`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def meant_instead(misread: Misread) -> str:
    """What to say after a quantity that could not be read: what was probably meant by it."""
    return f"; did you mean {all_quoted(misread.meant[:3], 'or')}?" if misread.meant else ""


def corrections(problem: Problem, *, sure: bool = False) -> tuple[Fix, ...]:
    """A fix for each text that a misread quantity was probably meant to be; sure only if there is but one."""
    misread: Misread = problem.data["misread"]
    is_sure = sure and len(misread.meant) == 1
    if problem.span.text != misread.written:
        return ()
    return tuple(Fix(f"Write {text}", (Edit(problem.span, text),), is_sure) for text in misread.meant[:3])
