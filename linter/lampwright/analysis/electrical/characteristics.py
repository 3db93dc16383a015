"""Current-voltage characteristics of single elements: resistor, junction, filament, limiter, gap.

Each gives its voltage and its slope at a current, and says where a straight line through such a point leads. Knows
neither circuits nor where its constants come from.
"""

from __future__ import annotations

from math import exp, expm1, inf, log, log1p
from typing import Protocol

from lampwright.records import dataclass

LEAST_RESISTANCE = 1e-9
"""Ohms of a wire: so little that nothing shows, and enough to divide by."""

GAP_RESISTANCE = 1e15
"""Ohms of what lets nothing through: femtoamperes instead of no current, so that every network has one answer."""

LEAST_CURRENT = 1e-300
"""Amperes below which no element is followed."""

MOST_CURRENT = 1e300
"""Amperes above which none is: as far as a junction without any resistance can be asked for its slope."""

LEAST_FORWARD_VOLTAGE = 1e-9
"""Volts of a junction that has none: so little that nothing shows, and enough to divide by."""


class Characteristic(Protocol):
    """A voltage that rises with the current, without a jump. Currents and voltages are not negative."""

    @property
    def start(self) -> float:
        """Amperes at which to begin when nothing else is known."""
        ...

    def tangent(self, current: float) -> tuple[float, float]:
        """Volts at `current`, and the ohms by which they rise there."""
        ...

    def current_at(self, voltage: float) -> float:
        """Amperes at `voltage`."""
        ...

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:
        """The current to look at next, where the tangent at `current` has led to the current `reached`.

        Of the two points of the characteristic with the current and with the voltage that the tangent leads to, the one
        that cannot overshoot: then Newton's method on one bent element in front of straight ones never turns round.
        """
        ...


@dataclass(frozen=True, slots=True)
class Ohmic:
    """V = R I."""

    resistance: float
    start: float = 0.0

    def tangent(self, current: float) -> tuple[float, float]:
        """As any characteristic."""
        return self.resistance * current, self.resistance

    def current_at(self, voltage: float) -> float:
        """As any characteristic."""
        return voltage / self.resistance

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:  # noqa: ARG002  # straight
        """As any characteristic."""
        return reached


def ohmic(resistance: float) -> Ohmic:
    """A resistance in ohms; zero is a wire, infinity a gap."""
    return Ohmic(min(max(resistance, LEAST_RESISTANCE), GAP_RESISTANCE))


WIRE, GAP = ohmic(0.0), ohmic(inf)


@dataclass(frozen=True, slots=True)
class Junction:
    """V = n V_T ln(1 + I / I_S) + R I: a diode or an LED with its series resistance (Shockley's equation).

    `emission` is n V_T in volts, `log_saturation` the natural logarithm of I_S in amperes, which may be too small for a
    float itself.
    """

    emission: float
    log_saturation: float
    resistance: float
    start: float

    def tangent(self, current: float) -> tuple[float, float]:
        """As any characteristic."""
        current = max(current, LEAST_CURRENT)
        over = log(current) - self.log_saturation
        if over > 0:
            # ln(1 + e^x) without the e^x that no float holds.
            rest = exp(-over)
            volts, share = over + log1p(rest), 1 / (1 + rest)
        else:
            rest = exp(over)
            volts, share = log1p(rest), rest / (1 + rest)
        slope = self.emission * share / current
        return self.emission * volts + self.resistance * current, slope + self.resistance

    def current_at(self, voltage: float) -> float:
        """As any characteristic. Solved by Newton's method from above, where it cannot overshoot."""
        current = min(self._alone(voltage), voltage / self.resistance if self.resistance else inf)
        for _ in range(100):
            at, slope = self.tangent(current)
            reached = min(current + (voltage - at) / slope, MOST_CURRENT)
            following = self.onward(current, (at, slope), reached)
            if abs(following - current) <= 1e-15 * current:
                break
            current = following
        return current

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:
        """As any characteristic. Upwards the current is followed, downwards the voltage of the junction itself."""
        if reached >= current:
            return reached
        volts, slope = tangent
        return self._alone(volts + slope * (reached - current) - self.resistance * reached)

    def _alone(self, voltage: float) -> float:
        """Amperes of the junction without its series resistance."""
        over = voltage / self.emission
        if over <= 0:
            return LEAST_CURRENT
        exponent = self.log_saturation + _log_expm1(over)
        return max(exp(min(exponent, log(MOST_CURRENT))), LEAST_CURRENT)


def junction(forward_voltage: float, at: float, emission: float, series_resistance: float, built_in: float) -> Junction:
    """The junction that has `forward_voltage` at the current `at`; `built_in` ohms stand outside that voltage.

    Of the forward voltage the series resistance may take half at most.
    """
    resistance = min(series_resistance, 0.5 * forward_voltage / at)
    over = max(forward_voltage - resistance * at, LEAST_FORWARD_VOLTAGE) / emission
    # The saturation current is `at` over e^over - 1, which may be too large for a float.
    return Junction(emission, log(at) - _log_expm1(over), resistance + built_in, at)


def _log_expm1(over: float) -> float:
    """ln(e^x - 1) without the e^x that no float holds, and without the difference that none tells from zero."""
    return over + log1p(-exp(-over)) if over > 1 else log(expm1(over))


@dataclass(frozen=True, slots=True)
class Filament:
    """I = I_0 (V / V_0)^k, and below the voltage where that falls under its cold resistance, that resistance."""

    voltage: float
    current: float
    exponent: float
    cold_resistance: float
    start: float

    def tangent(self, current: float) -> tuple[float, float]:
        """As any characteristic."""
        cold = self.cold_resistance * current
        if current <= 0:
            return cold, self.cold_resistance
        hot = self.voltage * (current / self.current) ** (1 / self.exponent)
        return (hot, hot / (self.exponent * current)) if hot > cold else (cold, self.cold_resistance)

    def current_at(self, voltage: float) -> float:
        """As any characteristic."""
        cold = voltage / self.cold_resistance
        return min(self.current * (max(voltage, 0.0) / self.voltage) ** self.exponent, cold) if voltage > 0 else cold

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:
        """As any characteristic. It rises ever faster: upwards the voltage is followed, downwards the current."""
        if reached <= current:
            return max(reached, 0.01 * current)
        volts, slope = tangent
        return self.current_at(volts + slope * (reached - current))


@dataclass(frozen=True, slots=True)
class Limiter:
    """A current regulator: ohmic up to `needs` volts and `current` amperes, then all but level.

    Level it rises by `RISE` a volt, so that two of them in one chain have an answer: the smaller one has its way.
    """

    current: float
    needs: float
    start: float

    def tangent(self, current: float) -> tuple[float, float]:
        """As any characteristic."""
        steep = self.needs / self.current
        if current <= self.current:
            return steep * current, steep
        level = 1 / (self.current * RISE)
        return self.needs + level * (current - self.current), level

    def current_at(self, voltage: float) -> float:
        """As any characteristic."""
        if voltage <= self.needs:
            return self.current * voltage / self.needs
        return self.current * (1 + RISE * (voltage - self.needs))

    def onward(self, current: float, tangent: tuple[float, float], reached: float) -> float:
        """As any characteristic, bent the same way as a filament."""
        if reached <= current:
            return max(reached, 0.0)
        volts, slope = tangent
        return self.current_at(volts + slope * (reached - current))


RISE = 1e-6
"""Of its current by which a regulator lets more through for each further volt."""

LEAST_NEEDS = 1e-3
"""Volts that the best regulator needs."""


def limiter(current: float, needs: float) -> Limiter:
    """A regulator for `current` amperes that needs `needs` volts for itself."""
    return Limiter(current, max(needs, LEAST_NEEDS), 0.999 * current)
