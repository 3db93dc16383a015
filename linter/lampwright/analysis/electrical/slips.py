"""A reading with its decimal point in another place: how it would be written, and what it would say then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from lampwright.analysis.electrical.reading import Reading, fits
from lampwright.model.values import Figure
from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.text import Edit

PLACES = (-1, 1, -2, 2, -3, 3)
"""By how many places the point may have slipped, the likeliest first; three are also another unit, mA for A."""

_NUMBER = pattern(r"[0-9]+(?:\.[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Slip:
    """One reading as it was probably meant: its figure, and the edit that writes it so."""

    figure: Figure
    edit: Edit


def slip_among(readings: Sequence[Reading], meter: float) -> Slip | None:
    """The slip in the only one of `readings` that does not fit, with which it would."""
    misfits = [reading for reading in readings if not reading.fits]
    if len(misfits) != 1:
        return None
    moved = slips(misfits[0].figure, meter)
    return next((slip for slip in moved if fits(slip.figure, misfits[0].expected)), None)


def slips(figure: Figure, meter: float) -> Iterator[Slip]:
    """What `figure` would be with its point elsewhere, read off a meter that is off by the share `meter`.

    Nothing of a zero, of which the place of the point is no matter, and of what nobody wrote.
    """
    span = figure.span
    number = _NUMBER.search(span.text) if span is not None and figure.usual else None
    if span is None or number is None:
        return
    written = Decimal(number[0])
    unit = figure.usual / float(written)
    place = span.part(number.start(), number.end())
    for places in PLACES:
        moved = written.scaleb(places)
        exponent = moved.as_tuple().exponent
        assert isinstance(exponent, int)
        usual = unit * float(moved)
        off = meter * usual + unit * 0.5 * 10.0 ** min(exponent, 0)
        yield Slip(Figure(max(usual - off, 0.0), usual, usual + off, span), Edit(place, f"{moved:f}"))
