"""A whole lighting plan, resolved: the one thing that the analyses read."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.model.circuit import Chain, Lamp, leaves
from lampwright.model.decoder import Decoder, DecoderOutput
from lampwright.model.keys import Entry, Key, Look
from lampwright.model.measured import LeadReadings, Readings
from lampwright.model.settings import Settings
from lampwright.model.stock import Stock
from lampwright.model.values import Figure
from lampwright.model.vehicle import Vehicle
from lampwright.records import dataclass, field
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Supply:
    """What feeds the lamps. `common` is measured from the common wire to a switched-on output and replaces the rest.

    Volts. Both None: what the plan says could not be read.
    """

    track: Figure | None
    common: Figure | None


@dataclass(frozen=True, slots=True)
class Output:
    """One output of the plan: the key that names it, its circuit (None: unreadable), what the sheet says of it.

    `decoder_output` is None if there is no readable sheet, or the sheet has no such output. `measured` is what counts
    instead of what is assumed, None where nobody measured.
    """

    name: str
    span: Span
    circuit: Chain | None
    decoder_output: DecoderOutput | None
    look: Look
    measured: Readings | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing hangs on it."""
        return self.circuit is not None and not any(True for _ in leaves(self.circuit))


@dataclass(frozen=True, slots=True)
class LightingPlan:
    """A plan with all references resolved.

    `common_circuit` is the chain in the shared common lead (an empty one without it, None if unreadable).
    `outputs_are_known` is false where the plan may have an output that is not here, or has one that its decoder has
    not. `wiring_is_complete` and `keys_are_complete` are false where something was dropped with a problem: then rules
    for which absence is the evidence rest.
    """

    span: Span
    supply: Supply
    decoder: Decoder | None
    lamps: Mapping[str, Lamp]
    outputs: Mapping[str, Output]
    common_circuit: Chain | None
    keys: Mapping[int, Key]
    always: tuple[Entry, ...]
    settings: Settings
    wiring_is_complete: bool
    keys_are_complete: bool
    outputs_are_known: bool = True
    stock: Stock = ()
    vehicle: Vehicle = field(default_factory=Vehicle)
    common_measured: LeadReadings | None = None

    def has_readings_of(self, output: Output) -> bool:
        """Whether anything was measured that another circuit on `output` would change."""
        lead = self.common_measured
        own = output.measured is not None and output.measured.of_parts
        return own or (lead is not None and lead.of_parts and lead.is_with(output.name))
