"""What is meant by a resistor of which a plan says less than there is to say.

Its tolerance and rating are the catalogue's, else the house's, else the trade's.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.model.circuit import Resistor
from lampwright.model.defaults import RESISTOR_TOLERANCE
from lampwright.model.settings import Settings
from lampwright.model.values import Figure
from lampwright.records import dataclass
from lampwright.text import Span

Stock = Sequence["StockResistor"]
"""The resistors of all catalogues of a plan."""


@dataclass(frozen=True, slots=True)
class StockResistor:
    """A resistor of the catalogue: ohms, its tolerance as a share, watts; None where it is silent.

    `is_readable` is false where its tolerance or rating was dropped with a problem. `count` is how many there are,
    `pack` how many are sold together. `span` is where it stands.
    """

    resistance: float
    tolerance: float | None
    rating: Figure | None
    is_readable: bool = True
    count: int | None = None
    size: str | None = None
    pack: int | None = None
    span: Span | None = None

    @property
    def says(self) -> tuple[object, ...]:
        """What is known of such a resistor, wherever it lies."""
        rating = self.rating.usual if self.rating is not None else None
        return self.tolerance, rating, self.size, self.is_readable


def resistor_meant(
    stock: Stock,
    settings: Settings,
    span: Span,
    resistance: float,
    tolerance: float | None = None,
    rating: Figure | None = None,
) -> Resistor:
    """The resistor that is meant at `span` by what is written there, of which None is not written.

    Such a tolerance or rating is that of the only catalogue entry of this value, else that of the settings, else 5 %
    and no rating.
    """
    only = only_entry(stock, resistance)
    tolerances = (tolerance, only.tolerance if only is not None else None, settings.resistor_tolerance)
    share = next((each for each in tolerances if each is not None), RESISTOR_TOLERANCE)
    ratings = (rating, only.rating if only is not None else None, settings.resistor_rating)
    return Resistor(
        span=span,
        resistance=Figure(resistance * (1 - share), resistance, resistance * (1 + share), span),
        rating=next((each for each in ratings if each is not None), None),
        tolerance=tolerance,
        size=only.size if only is not None and rating is None else None,
    )


def only_entry(stock: Stock, resistance: float) -> StockResistor | None:
    """The entry of that value, if there is exactly one, or if all of them say the same."""
    found = [entry for entry in stock if abs(entry.resistance - resistance) <= 1e-9 * resistance]
    if len(found) > 1 and any(entry.says != found[0].says for entry in found):
        return None
    return found[0] if found else None
