"""What was measured at an output: figures in SI, as wide as the meter that showed them leaves open."""

from __future__ import annotations

from lampwright.model.values import Figure, Name
from lampwright.records import dataclass, replace
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Across:
    """Volts across one element: the lamp of this name, or where `ohms` says so, the resistor of that value."""

    name: Name
    ohms: float | None
    voltage: Figure


@dataclass(frozen=True, slots=True)
class Readings:
    """Amperes through an output that is fully on and alone, volts from the common wire to it and across its elements.

    None stands for what was not measured, or could not be read.
    """

    span: Span
    current: Figure | None = None
    voltage: Figure | None = None
    across: tuple[Across, ...] = ()

    @property
    def of_supply(self) -> Readings | None:
        """What still holds when another circuit hangs on the output."""
        return replace(self, current=None, across=()) if self.voltage is not None else None

    @property
    def of_parts(self) -> bool:
        """Whether anything was measured that another circuit would change."""
        return self.current is not None or bool(self.across)


@dataclass(frozen=True, slots=True)
class LeadReadings:
    """Amperes through the common lead, volts from its beginning to an output and across what stands in it.

    All with `outputs` on together, None for all that there are.
    """

    span: Span
    outputs: tuple[str, ...] | None
    current: Figure | None = None
    voltage: Figure | None = None
    across: tuple[Across, ...] = ()

    @property
    def of_supply(self) -> LeadReadings | None:
        """What still holds when another circuit hangs on the lead, or stands in it."""
        return replace(self, current=None, across=()) if self.voltage is not None else None

    @property
    def of_parts(self) -> bool:
        """Whether anything was measured that another circuit would change."""
        return self.current is not None or bool(self.across)

    def is_with(self, output: str) -> bool:
        """Whether this output was on."""
        return self.outputs is None or output in self.outputs
