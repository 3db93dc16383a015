"""The club's settings with their defaults filled in."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.diagnostics import Severity
from lampwright.model.values import Figure, Origin
from lampwright.records import dataclass, field

INSIDE = Figure.exact(40.0, origin=Origin.PRACTICE)
"""How warm it gets in a shell, degrees Celsius: common practice."""


METER = 0.02
"""The tolerance of a meter: 2 %, as hand-held ones have in their ranges for direct current; common practice.

For direct voltage most are better. It also covers a rectified track signal that is not quite smooth.
"""


@dataclass(frozen=True, slots=True)
class Margins:
    """Shares of a limit above which a rule warns: common practice, except that of a resistor's rating.

    Half of its rating is the design rule of the handbooks (50 %, attributed there to IPC-2221).
    """

    output_current: float = 0.9
    lamp_current: float = 0.9
    resistor_power: float = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Settings:
    """What a `lampwright.yaml` says about plans below it; as it stands, what is meant where there is none.

    `track` volts; `inside` degrees Celsius; `meter` the share that a reading may be off; `levels` by rule name, None
    meaning ignore; `exclude` as written.
    `supply_is_readable` and `resistors_are_readable` are false where what is said of them was dropped with a problem.
    Two of them are equal only if they are the same one, so that results can be kept by settings.
    """

    track: Figure | None = None
    common: Figure | None = None
    series: str = "E12"
    resistor_tolerance: float | None = None
    resistor_rating: Figure | None = None
    margins: Margins = Margins()
    keys: Mapping[int, str] = field(default_factory=dict)
    levels: Mapping[str, Severity | None] = field(default_factory=dict)
    inside: Figure = INSIDE
    meter: float = METER
    exclude: tuple[str, ...] = ()
    supply_is_readable: bool = True
    resistors_are_readable: bool = True


NO_SETTINGS = Settings()
"""What is meant where there is no such file."""
