"""A plan with two faults in it, a lamp that nothing feeds and an LED without a resistor, and what is found in such a text."""

from __future__ import annotations

from lampwright.model.settings import Settings
from seam import report, says

TEXT = """\
vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder:
  common: {drop: 1.4 V}
  outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}}
lamps:
  front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
  step lamp:
    bulb: {voltage: 12 V, current: 40 mA}
outputs:
  white:
    circuit:
      - front headlamp
keys: {}
"""
SHEET = "bench-six.decoder.yaml"
UNWIRED, BURNING = ("unwired-lamp", "step lamp"), ("unprotected-led", "front headlamp")


def put(at: str, instead: str, text: str = TEXT) -> str:
    assert text.count(at) == 1
    return text.replace(at, instead)


def places(text: str, settings: Settings | None = None, *, allowed: bool = False) -> list[tuple[str, str]]:
    """Rule and culprit of the findings that are open, or of those that are excused."""
    findings = report(text, settings=settings).findings
    return [(found.rule, found.span.text) for found in findings if (found.allowed is not None) == allowed]


def useless(text: str, name: str = "plan.lights.yaml") -> list[tuple[str, str]]:
    """Culprit and message of the allowances that are of no use."""
    return [(culprit, message) for rule, culprit, message in says(text, name) if rule == "useless-allowance"]
