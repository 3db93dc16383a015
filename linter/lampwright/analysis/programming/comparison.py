"""Values that were read out of a decoder beside those that a plan needs: equal, different, not read, not asked for.

Bits that the plan does not decide are no difference.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lampwright.analysis.programming.claims import PageNumber, Setting
from lampwright.analysis.programming.listing import POINTERS
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Comparison:
    """Which settings are so in the decoder, which are not (with the value there), which are not known.

    `others` are values of CVs of which the plan says nothing.
    """

    equal: tuple[Setting, ...]
    different: tuple[tuple[Setting, int], ...]
    unknown: tuple[Setting, ...]
    others: tuple[tuple[PageNumber | None, int, int], ...]


def compared(settings: Sequence[Setting], values: Mapping[tuple[PageNumber | None, int], int]) -> Comparison:
    """What `values`, by page and CV, say of `settings`."""
    wanted = {(each.page, each.cv): each for each in settings if each.page is not None or each.cv not in POINTERS}
    found = {place: values.get(place) for place in wanted}
    return Comparison(
        equal=tuple(
            each for place, each in wanted.items() if (value := found[place]) is not None and each.is_met(value)
        ),
        different=tuple(
            (each, value)
            for place, each in wanted.items()
            if (value := found[place]) is not None and not each.is_met(value)
        ),
        unknown=tuple(each for place, each in wanted.items() if found[place] is None),
        others=tuple((page, cv, value) for (page, cv), value in values.items() if (page, cv) not in wanted),
    )
