"""The order of work at the bench, in words: what to do before any current flows, at the first of it, and after.

Practice of the trade, with the figures of one plan put in. Knows no form of the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.bench import LEAST_MARGIN, MARGIN, BenchSheet
from lampwright.account.sayings import said_value
from lampwright.analysis.together import Together
from lampwright.model.circuit import Bulb, Driver, Led
from lampwright.records import dataclass
from lampwright.rule.circumstances import at_supply, in_state
from lampwright.rule.phrases import counted, listed
from lampwright.units import Dimension, say

CAUTIONS = (
    "The mains side of any supply stays closed: leave it to qualified people, and follow your local codes.",
    "The decoder's own manual has the last word: hold wires, limits and CVs of this sheet against it first.",
    "Solder with everything unplugged; the tip is at about 350 °C. Moving air, eye protection, and let things cool.",
    "A storage capacitor keeps its charge: discharge it through a resistor before you touch or solder anything.",
    "Bulbs and resistors get hot enough to melt a shell and burn fingers: try them with the shell off, on a stand.",
)
"""What can hurt somebody, or a model."""

METER_NOTES = (
    "DC volts, 20 V range, about 10 Mohm; red towards the common wire (or the rail), black towards the output.",
    "Amperes without cutting a wire: the volts across a resistor divided by its ohms.",
    "A meter shows averages: what is dimmed or flashes reads too little. Set it to 100 %, steady, then measure.",
    "The track carries DCC, no sine: the ordinary AC range of a meter misleads there. Measure behind the decoder.",
)
"""What is true of every reading."""

RAIL_NOTE = (
    "What returns to a rail is on about half of the time. All volts are those while it is on; a meter shows less, of a"
    " resistor the average that is given. A lamp's own average hangs on its dark half: go by the resistor."
)


@dataclass(frozen=True, slots=True)
class Step:
    """One step: a few words to tick off, and what to mind."""

    title: str
    text: str


def steps(sheet: BenchSheet) -> tuple[Step, ...]:
    """All steps, in order."""
    return tuple(_steps(sheet))


def _steps(sheet: BenchSheet) -> Iterator[Step]:
    if sheet.errors:
        wrong = counted(len(sheet.errors), "error")
        yield Step("Mend the plan", f"It has {wrong}, named above: build and power nothing before that is settled.")
    yield Step("Sort the parts", _parts(sheet))
    yield Step(
        "Wire it, without power",
        "Decoder unplugged, capacitors discharged. Insulate every joint: a bare lamp lead on a frame is a short.",
    )
    yield Step(
        "Look for shorts",
        "Ohms range: no way through between common and either rail, between any output and a rail or the frame,"
        " between the motor and a rail, or between two outputs.",
    )
    yield Step("First power", first_power(sheet))
    if sheet.cvs:
        yield Step(
            "Program",
            "On the programming track, from the list below, in its order; read each value back. Effects and dimming of"
            " an output come after its measurement, or are set back for it.",
        )
    yield Step("Measure", "Each output alone, by the tables below. What differs by more than the range has a cause.")
    yield Step(
        "Press every key", "The vehicle on a stand, in both directions; hold what burns against the states below."
    )
    yield Step(
        "Warm up",
        "Ten minutes in the worst state, shell off: nothing may smell or discolour. Then close it, and look again.",
    )


def _parts(sheet: BenchSheet) -> str:
    said = "Measure each resistor out of circuit"
    lamps = [lamp.kind for lamp in sheet.plan.lamps.values()]
    if any(isinstance(kind, Led) for kind in lamps):
        said += "; find the anode of each LED with the diode range"
    if any(isinstance(kind, Bulb) for kind in lamps):
        said += "; a cold bulb has about a tenth of its hot ohms"
    return f"{said}."


def first_power(sheet: BenchSheet) -> str:
    """How to let the first current flow, with the limit of a supply and where that comes from."""
    track = (
        "On the programming track, which gives little current: read one CV back (CV8, the maker). No answer, a smell or"
        " a warm decoder: off."
    )
    limit = sheet.power.limit
    if limit is None:
        return f"{track} {_no_limit(sheet)}"
    driven = " and any lamp supply of its own" if _has_driver(sheet) else ""
    return (
        f"{track} Or from a supply that feeds the track{driven} with its current limited to"
        f" {say(limit, Dimension.CURRENT)}, motor off: {limit_reason(sheet)}."
    )


def limit_reason(sheet: BenchSheet) -> str:
    """Where the limit comes from: what all lamps draw at most, and the margin above that."""
    power = sheet.power
    worst = power.worst
    assert worst is not None
    lamps = f"the lamps draw {said_value(worst.at_most, Dimension.CURRENT)} at most, {_in_worst(worst)}"
    if power.left_out:
        lamps += f" without {listed(power.left_out)}, of which nothing is known"
    if power.capped:
        return f"{lamps}; the decoder's own limit is below that and a margin"
    if worst.at_most * MARGIN >= worst.at_most + LEAST_MARGIN:
        return f"{lamps}; a quarter more for the decoder, rounded up"
    return f"{lamps}; {say(LEAST_MARGIN, Dimension.CURRENT)} more for the decoder, rounded up"


def _in_worst(worst: Together) -> str:
    return in_state(worst.state) if worst.state is not None else "with all outputs on"


def _no_limit(sheet: BenchSheet) -> str:
    power = sheet.power
    if power.lacks is not None:
        return f"No limit for a supply can be computed, for lack of {power.lacks}."
    return "No limit for a supply can be given: nothing limits the current of a lamp in this plan. Mend that first."


def _has_driver(sheet: BenchSheet) -> bool:
    return any(isinstance(row.facts.element, Driver) for table in sheet.meters for row in table.rows)


def conditions(sheet: BenchSheet) -> str:
    """Under what the readings hold."""
    return f"One output on alone, {at_supply(sheet.plan, 'usual')}".rstrip(", ")


def notes(sheet: BenchSheet) -> tuple[str, ...]:
    """What is true of the readings of this plan."""
    return (*METER_NOTES, RAIL_NOTE) if any(table.is_switched for table in sheet.meters) else METER_NOTES
