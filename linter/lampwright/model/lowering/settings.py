"""The settings of a repository with their defaults, names of rules looked up."""

from __future__ import annotations

from collections.abc import Collection

from lampwright.diagnostics import Severity
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.supply import UNREADABLE, stated_supply
from lampwright.model.lowering.values import figure
from lampwright.model.settings import Margins, Settings
from lampwright.plan import settings as written
from lampwright.plan.keys import key_number
from lampwright.plan.quantities import Measured
from lampwright.plan.words import Word


def lower_settings(shape: written.Settings, rules: Collection[str], notes: Notes) -> Settings:
    """The settings that `shape` writes; `rules` are the names of all rules there are."""
    supply, house = stated_supply(shape, notes), shape.resistors
    default = Settings()
    detailed = house if isinstance(house, written.HouseResistors) else None
    series = detailed.series if detailed is not None else house
    return Settings(
        track=supply.track if supply is not None else None,
        common=supply.common if supply is not None else None,
        series=series.text if isinstance(series, Word) else default.series,
        resistor_tolerance=_value(detailed.tolerance if detailed is not None else None),
        resistor_rating=figure(detailed.rating) if detailed is not None else None,
        margins=_margins(shape.margins),
        keys=_keys(shape),
        levels=_levels(shape, rules, notes),
        inside=figure(shape.inside) or default.inside,
        meter=_or(_value(shape.meter), default.meter),
        exclude=tuple(word.text for word in shape.exclude.root if word is not None) if shape.exclude else (),
        supply_is_readable=supply != UNREADABLE and not (supply is None and shape.may_lack("supply")),
        resistors_are_readable=not shape.may_lack("resistors")
        and (detailed is None or not any(map(detailed.lost, ("tolerance", "rating")))),
    )


def _value(written_figure: Measured | None) -> float | None:
    return written_figure.usual if written_figure is not None else None


def _margins(shape: written.MarginShares | None) -> Margins:
    default = Margins()
    if shape is None:
        return default
    return Margins(
        output_current=_or(_value(shape.output_current), default.output_current),
        lamp_current=_or(_value(shape.lamp_current), default.lamp_current),
        resistor_power=_or(_value(shape.resistor_power), default.resistor_power),
    )


def _or(value: float | None, default: float) -> float:
    return default if value is None else value


def _keys(shape: written.Settings) -> dict[int, str]:
    numbered = ((key_number(word.text), label) for word, label in (shape.keys or {}).items())
    return {number: label.text for number, label in numbered if number is not None and label is not None}


def _levels(shape: written.Settings, rules: Collection[str], notes: Notes) -> dict[str, Severity | None]:
    levels: dict[str, Severity | None] = {}
    for word, level in (shape.levels or {}).items():
        if word.text not in rules:
            notes.unknown("rule", word, sorted(rules))
        elif level is not None:
            levels[word.text] = None if level.text == "ignore" else Severity[level.text.upper()]
    return levels
