"""Readings of a meter, each as wide as its tolerance and its last digit leave open, elements by name or by value."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from lampwright.model.circuit import Lamp
from lampwright.model.lowering.names import Notes
from lampwright.model.measured import Across, LeadReadings, Readings
from lampwright.model.values import Figure, Name
from lampwright.patterns import pattern
from lampwright.plan.conditions import OutputNames
from lampwright.plan.measured import MeasuredData, MeasuredLeadData
from lampwright.plan.quantities import Measured
from lampwright.plan.words import Word
from lampwright.records import dataclass
from lampwright.units import Dimension, ResistorText, read, read_resistor

_NUMBER = pattern(r"[0-9]+(?:\.([0-9]+))?")


@dataclass(frozen=True, slots=True)
class MeasuredLowering:
    """What readings are lowered with. `tolerance` is the meter's, a share; `lamps_are_complete` as for circuits."""

    lamps: Mapping[str, Lamp]
    lamps_are_complete: bool
    tolerance: float
    notes: Notes

    def readings(self, data: MeasuredData | None) -> Readings | None:
        """What `data` says, None if nothing."""
        if data is None:
            return None
        return Readings(
            data.span,
            self._figure(data.current, Dimension.CURRENT),
            self._figure(data.voltage, Dimension.VOLTAGE),
            tuple(self._across(data)),
        )

    def of_lead(
        self, data: MeasuredLeadData | None, outputs: Collection[str], *, outputs_are_complete: bool
    ) -> LeadReadings | None:
        """The same of the common lead; None also where it cannot be told which `outputs` were on.

        One that is not there is a mistake only where no output may have been lost.
        """
        if data is None or data.lost("outputs"):
            return None
        written = data.outputs.root if isinstance(data.outputs, OutputNames) else [data.outputs]
        words = [word for word in written if word is not None]
        strangers = [word for word in words if word.text not in outputs]
        for word in strangers if outputs_are_complete else ():
            self.notes.unknown("output", word, outputs)
        if strangers or (data.outputs is not None and len(words) < len(written)):
            return None
        names = tuple(dict.fromkeys(word.text for word in words)) if data.outputs is not None else None
        return LeadReadings(
            data.span,
            names,
            self._figure(data.current, Dimension.CURRENT),
            self._figure(data.voltage, Dimension.VOLTAGE),
            tuple(self._across(data)),
        )

    def _across(self, data: MeasuredData | MeasuredLeadData) -> Iterator[Across]:
        for word, written in (data.across or {}).items():
            voltage = self._figure(written, Dimension.VOLTAGE)
            ohms = self._ohms(word)
            if word.text not in self.lamps and ohms is None:
                if self.lamps_are_complete:
                    self.notes.unknown("lamp", word, self.lamps)
            elif voltage is not None:
                yield Across(Name(word.text, word.span), ohms, voltage)

    def _ohms(self, word: Word) -> float | None:
        """The value that a resistor is named by; a lamp that has this for a name comes first, as in a circuit."""
        if word.text in self.lamps or not word.text[:1].isdecimal():
            return None
        written = read_resistor(word.text)
        return written.resistance if isinstance(written, ResistorText) else None

    def _figure(self, written: Measured | None, dimension: Dimension) -> Figure | None:
        """A reading has its meter's tolerance, and half a step of its last digit, either way."""
        if written is None:
            return None
        off = self.tolerance * written.usual + _half_a_step(written, dimension)
        return Figure(max(written.usual - off, 0.0), written.usual, written.usual + off, written.span)


def _half_a_step(written: Measured, dimension: Dimension) -> float:
    text = written.span.text.strip("'\"")
    number = _NUMBER.search(text)
    if number is None:
        return 0.0
    step = f"0.{'0' * (len(number[1]) - 1)}1" if number[1] else "1"
    value = read(text[: number.start()] + step + text[number.end() :], dimension)
    return 0.5 * value if isinstance(value, float) else 0.0
