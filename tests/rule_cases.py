"""Small plan texts for the tables of rules, and what a case of such a table says of a finding."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from lampwright.diagnostics import Finding, Report, Severity, Undecided
from lampwright.model.settings import Settings
from seam import report

ERROR, WARNING = Severity.ERROR, Severity.WARNING

# A plan of these defines the lamps that its circuits name, and no others.
LAMPS = {
    "led a": "{led: {forward-voltage: 3.1 V, maximum-current: 20 mA}}",
    "led b": "{led: {forward-voltage: 3.1 V, maximum-current: 20 mA}}",
    # For figures that are exact: an LED has just its forward voltage where it carries just its test current.
    "led eighteen": "{led: {forward-voltage: 3.1 V, at: 18 mA, maximum-current: 20 mA}}",
    "led twenty": "{led: {forward-voltage: 3.1 V, at: 20 mA, maximum-current: 20 mA}}",
    "weak led": "{led: {forward-voltage: 3.1 V, current: 2 mA, maximum-current: 5 mA}}",
    "wide led": "{led: {forward-voltage: 2.8 V to 3.4 V, current: 7 mA, maximum-current: 20 mA}}",
    "low led": "{led: {forward-voltage: 2 V, maximum-current: 20 mA}}",
    "any led": "{led: {forward-voltage: 3.1 V}}",
    "red led": "{led: {colour: red, maximum-current: 20 mA}}",
    # For heat beside LEDs that stand it, wherever they go.
    "stout led": "{led: {forward-voltage: 3.1 V, maximum-current: 90 mA}}",
    "stout scarlet": "{led: {colour: red, maximum-current: 90 mA}}",
    "leaded led": "{led: {forward-voltage: 3.1 V, maximum-current: 20 mA, built-in-resistor: 470 ohm}}",
    "cab bulb": "{bulb: {voltage: 12 V, current: 60 mA}}",
    "tough bulb": "{bulb: {voltage: 12 V, current: 60 mA, maximum-voltage: 16 V}}",
    "micro bulb": "{bulb: {voltage: 1.5 V, current: 15 mA}}",
    # At the voltage behind the decoder, so that whatever law of bulbs there is they carry just this.
    "lamp of 30 mA": "{bulb: {voltage: 13.1 V, current: 30 mA, maximum-voltage: 16 V}}",
    "lamp of 50 mA": "{bulb: {voltage: 13.1 V, current: 50 mA, maximum-voltage: 16 V}}",
    "lamp of 500 mA": "{bulb: {voltage: 13.1 V, current: 500 mA, maximum-voltage: 16 V}}",
    "lamp of 650 mA": "{bulb: {voltage: 13.1 V, current: 650 mA, maximum-voltage: 16 V}}",
    "lamp of 1 A": "{bulb: {voltage: 13.1 V, current: 1.04 A, maximum-voltage: 16 V}}",
    "lamp of 2 A": "{bulb: {voltage: 13.1 V, current: 1.64 A, maximum-voltage: 16 V}}",
}

SHEET = (
    "{common: {drop: 1.4 V}, outputs: {white: {number: 1, surge: 9 A, limit: 100 mA},"
    " yellow: {number: 2, surge: 9 A, limit: 100 mA},"
    " mute: {number: 3}, logic: {number: 4, logic-level: 5 V}}}"
)

# The same of a decoder of which it is said how far its keys go.
REACHING = SHEET.replace("{", "{keys: {highest: 68, mapping: function-matrix}, registers: [], ", 1)


def plan(
    white: str = "[1.5 kohm 1 W, led a]",
    *,
    supply: str = "{track: 14.5 V}",
    sheet: str = SHEET,
    keys: str = "{}",
    more: str = "",
    output: str = "white",
    **others: str,
) -> str:
    """A plan with `white` as the circuit of `output`, other outputs by name, and `more` lines at its top level.

    14.5 V less 1.4 V leave 13.1 V.
    """
    circuits = {output: white, **others}
    outputs = "".join(f"  {name}: {{circuit: {circuit}}}\n" for name, circuit in circuits.items())
    used = {name: data for name, data in LAMPS.items() if any(name in text for text in (*circuits.values(), more))}
    lamps = "".join(f"\n  {name}: {data}" for name, data in used.items()) or " {}"
    scale = ", scale: N" if not supply else ""
    fed = f"supply: {supply}\n" if supply else ""
    return (
        f"vehicle: {{name: Tipper 9{scale}}}\n{fed}decoder: {sheet}\n{more}"
        f"lamps:{lamps}\noutputs:\n{outputs}keys: {keys}\n"
    )


@dataclass(frozen=True)
class Loud:
    """One finding that a plan has: its level, its culprit, words of its message, figures of its data, related texts."""

    name: str
    text: str
    level: Severity
    culprit: str
    says: tuple[str, ...] = ()
    data: Mapping[str, Any] = field(default_factory=dict)
    related: tuple[str, ...] | None = None
    settings: Settings | None = None
    files: Mapping[str, str] = field(default_factory=dict)


def has_name(case: Any) -> str:
    return str(getattr(case, "name", case))


# Circuits that are drawn for their currents may well be what these rules advise against.
ADVICE = frozenset(
    {
        "shared-resistor",
        "reversed-led",
        "mixed-lamps-in-series",
        "off-code-wire",
        "half-wave-bulb",
        "sneak-path",
        "reverse-voltage",
        "no-preferred-value",
        "dim-bulb",
        "hot-on-other-layouts",
        "surging-output",
    }
)


def beside_advice(whole: Report, rule: str = "") -> list[Finding]:
    """The findings but advice of the kind that such circuits ask for, unless it is of `rule`."""
    return [finding for finding in whole.findings if finding.rule == rule or finding.rule not in ADVICE]


def only_finding(rule: str, case: Loud) -> Finding:
    """The one finding of the plan of `case`, which is one of `rule`."""
    findings = beside_advice(report(case.text, files=case.files, settings=case.settings), rule)
    assert [finding.rule for finding in findings] == [rule], [finding.message for finding in findings]
    return findings[0]


def assert_loud(rule: str, case: Loud) -> None:
    """That the plan has this finding and no other, in one sentence that quotes what is wrong."""
    found = only_finding(rule, case)
    assert (found.level, found.span.text) == (case.level, case.culprit)
    missing = [words for words in case.says if words not in found.message]
    assert not missing, found.message
    assert '"' in found.message
    assert not found.message.endswith(".")
    assert ". " not in found.message
    assert_figures(found.data, case.data)
    json.dumps(dict(found.data), allow_nan=False)
    if case.related is not None:
        assert tuple(note.span.text for note in found.notes) == case.related


def assert_figures(data: Mapping[str, Any], expected: Mapping[str, Any]) -> None:
    """That `data` has these figures, whatever else it has."""
    for name, value in expected.items():
        if isinstance(value, Mapping):
            assert set(data[name]) == set(value)
            assert_figures(data[name], value)
        else:
            assert data[name] == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value), name


def assert_silent(rule: str, text: str, **how: Any) -> None:
    """That `rule` came to a verdict everywhere in the plan, and has nothing to say."""
    whole = report(text, **how)
    assert [finding.message for finding in whole.findings if finding.rule == rule] == []
    assert lacks(whole, rule) == []


def lacks(whole: Report, rule: str) -> list[tuple[str, str]]:
    """Where `rule` could not decide, and for want of what."""
    return [_lack(item) for item in whole.undecided if item.rule == rule]


def _lack(item: Undecided) -> tuple[str, str]:
    return item.span.text, item.lacks
