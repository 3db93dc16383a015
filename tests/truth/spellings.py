"""How a plan is written: what PyYAML, the reader of JSON and Pint make of it, none of which has to do with our readers."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pint
import yaml
from plans import right_plan
from trials import Case, Maker, searched, written

UNITS: pint.UnitRegistry[Any] = pint.UnitRegistry()

Draw = Callable[[Random], Iterator[tuple[Case, bool]]]


def _text(random: Random) -> str:
    return right_plan(random.randrange(10**9)).text()


# --- YAML -------------------------------------------------------------------------------------------------------------


def _events(text: str) -> list[yaml.Event] | None:
    """What a reader of YAML that is written in Python sees; None where it cannot read on."""
    try:
        return list(yaml.parse(text, Loader=yaml.SafeLoader))
    except yaml.YAMLError:
        return None


def _garbled(random: Random) -> Iterator[tuple[Case, bool]]:
    """One character is taken out, put in or exchanged."""
    text = _text(random)
    while True:
        at = random.randrange(1, len(text) - 2)
        put = random.choice(["", "", "{", "}", "[", "]", ",", ":", '"', "#", " ", "\n", "x"])
        garbled = text[:at] + put + text[at + random.randint(0 if put else 1, 1) :]
        yield Case((garbled,)), _events(garbled) is None


def _unusual(random: Random) -> Iterator[tuple[Case, bool]]:
    """An anchor, a tag or an alias before a value, or what looks like one inside a name."""
    text = _text(random)
    while True:
        at = random.choice([place for place in range(1, len(text) - 1) if text[place] == '"'])
        put = random.choice(["&warm ", "!!str ", "!lamp ", "# *warm\n", "- "])
        changed = text[:at] + (put + '"' if random.random() < 0.5 else f'"{put.strip()}') + text[at + 1 :]
        if random.random() < 0.2:
            changed = f"{text}{random.choice(['--- {}', '# --- {}'])}\n"
        events = _events(changed)
        if events is not None:
            yield Case((changed,)), _is_unusual(events)


def _is_unusual(events: list[yaml.Event]) -> bool:
    documents = sum(isinstance(event, yaml.DocumentStartEvent) for event in events)
    return documents > 1 or any(getattr(event, "anchor", None) or getattr(event, "tag", None) for event in events)


def _repeated(random: Random) -> Iterator[tuple[Case, bool]]:
    """A line with a key is written again, as it is or with another key."""
    lines = _text(random).splitlines()
    while True:
        at = random.choice([place for place, line in enumerate(lines) if line.endswith(",") and '": "' in line])
        line = lines[at] if random.random() < 0.5 else lines[at].replace('":', random.choice([' 2":', '.":']), 1)
        text = "\n".join([*lines[: at + 1], line, *lines[at + 1 :]]) + "\n"
        yield Case((text,)), _repeats(text)


def _repeats(text: str) -> bool:
    found: list[bool] = []

    def see(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found.append(len({key for key, _ in pairs}) < len(pairs))
        return dict(pairs)

    json.loads(text, object_pairs_hook=see)
    return any(found)


# --- Units ------------------------------------------------------------------------------------------------------------

PLACES = {("supply", "track"): "volt", ("decoder", "common", "drop"): "volt", ("vehicle", "motor"): "ampere"}
SAID = ("", "V", "mV", "kV", "A", "mA", "uA", "ohm", "kohm", "Mohm", "W", "mW")


def _measured_in(is_wrong: Callable[[str, str], bool]) -> Draw:
    def draw(random: Random) -> Iterator[tuple[Case, bool]]:
        document = right_plan(random.randrange(10**9)).document()
        while True:
            path, unit = random.choice(sorted(PLACES)), random.choice(SAID)
            quantity = f"{random.choice(['1', '12', '14.5', '0.7'])}{random.choice(['', ' '])}{unit}".strip()
            changed = json.loads(json.dumps(document))
            at = changed
            for step in path[:-1]:
                at = at[step]
            at[path[-1]] = quantity
            yield Case((written(changed),)), is_wrong(quantity, PLACES[path])

    return draw


def has_no_unit(quantity: str, _: str) -> bool:
    """Whether Pint takes it for a mere number."""
    return bool(UNITS.Quantity(quantity).unitless)


def has_other_unit(quantity: str, unit: str) -> bool:
    """Whether Pint reads something that is not of that dimension."""
    return not has_no_unit(quantity, unit) and not UNITS.Quantity(quantity).check(UNITS(unit).dimensionality)


MAKERS: dict[str, tuple[str, Maker]] = {
    "syntax-error": ("text, by PyYAML", searched(_garbled)),
    "unsupported-yaml": ("text, by PyYAML", searched(_unusual)),
    "duplicate-key": ("text, by Python's json", searched(_repeated)),
    "missing-unit": ("unit, by Pint", searched(_measured_in(has_no_unit))),
    "wrong-unit": ("unit, by Pint", searched(_measured_in(has_other_unit))),
}
