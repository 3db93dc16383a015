"""Right plans made wrong in their writing and their names, by lists of what the language's page says of each.

Where a rule is a matter of the language alone there is no judge outside it: what is wrong is known from how it is made.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from random import Random
from typing import Any

import mutations
from plans import right_plan
from trials import Case, Maker, Pair, alone, searched, written

Document = dict[str, Any]
Path = Sequence[Any]


def _base(random: Random) -> Document:
    """A plan with an LED and a bulb, an effect and a drawer of parts, so that all of the language has its place."""
    document = right_plan(random.randrange(10**9)).document()
    name = random.choice(sorted(document["outputs"]))
    document["lamps"] |= {
        "led one": {"led": {"forward-voltage": "3 V", "maximum-current": "20 mA"}},
        "bulb one": {"bulb": {"voltage": "14 V", "current": "30 mA"}},
    }
    document["outputs"][name] = {"circuit": [{"parallel": [["1.5 kohm 1 W", "led one"], ["bulb one"]]}]}
    document["decoder"]["effects"] = {"flash": {"code": 3, "rate": "40 to 90 per minute"}}
    document["keys"] = {"F3": {"turns-on": [{"output": name, "effect": "flash", "rate": "60 per minute"}]}}
    return document


def _with(document: Document, path: Path, value: Any = None, *, key: str | None = None) -> Document:
    """A copy with another value at `path`, without it where none is given, or with another key there."""
    copy = deepcopy(document)
    at: Any = copy
    for step in path[:-1]:
        at = at[step]
    if key is not None:
        at[key] = at.pop(path[-1])
    elif value is None:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return copy


def _paths(document: Document) -> dict[str, tuple[Path, ...]]:
    """Keys that the language's page calls required, and some that it does not."""
    (name,) = (each for each, output in document["outputs"].items() if "led one" in json.dumps(output))
    entry = ("keys", "F3", "turns-on", 0)
    return {
        "required": (
            *((key,) for key in ("vehicle", "decoder", "lamps", "outputs", "keys")),
            ("vehicle", "name"),
            ("outputs", name, "circuit"),
            (*entry, "output"),
            ("lamps", "bulb one", "bulb", "voltage"),
            ("lamps", "bulb one", "bulb", "current"),
            ("lamps", "led one", "led", "forward-voltage"),
            ("decoder", "outputs", name, "number"),
        ),
        "optional": (
            ("supply",),
            ("always",),
            ("vehicle", "motor"),
            ("vehicle", "shell"),
            ("lamps", "led one", "led", "maximum-current"),
            ("decoder", "common"),
            ("decoder", "limits"),
            ("decoder", "outputs", name, "limit"),
            (*entry, "effect"),
            (*entry, "rate"),
        ),
    }


def _missing(random: Random) -> Iterator[tuple[Case, bool]]:
    document = _base(random)
    paths = _paths(document)
    while True:
        path = random.choice(paths[kind := random.choice(sorted(paths))])
        yield alone(_with(document, path)), kind == "required"


def _unknown(random: Random) -> Iterator[tuple[Case, bool]]:
    """One of the optional keys is written otherwise, or left out."""
    document = _base(random)
    while True:
        path = random.choice(_paths(document)["optional"])
        letters = list(path[-1])
        letters[random.randrange(len(letters))] = random.choice(["", "x", "e", "-"])
        key = "".join(letters)
        is_wrong = key != path[-1]
        yield alone(_with(document, path, key=key) if is_wrong else _with(document, path)), is_wrong


def _strange(random: Random) -> Iterator[tuple[Case, bool]]:
    """An output, a lamp, an effect or a condition by its name or by one that nothing has."""
    document = _base(random)
    entry = document["keys"]["F3"]["turns-on"][0]
    while True:
        kinds: dict[str, tuple[list[str], Callable[[str], Document]]] = {
            "output": (list(document["outputs"]), lambda name: {**entry, "output": name}),
            "effect": (["flash", "steady"], lambda name: {**entry, "effect": name, "rate": "50 per minute"}),
            "when": (["forward", "reverse", "moving", "stopped", "F7", "not F7"], lambda name: {**entry, "when": name}),
        }
        known, put = kinds[random.choice(sorted(kinds))]
        name = random.choice(known)
        name = random.choice([name, name[:-1], f"{name}s", name.upper()])
        yield alone(_with(document, ("keys", "F3", "turns-on", 0), put(name))), name not in known


def _one_of(*paths: Path, wrong: Sequence[Any], near: Sequence[Any]) -> Maker:
    """A value of either kind in one of these places."""

    def maker(random: Random) -> Pair:
        document, path = _base(random), random.choice(paths)
        values = [random.choice(wrong), random.choice(near)]
        return Pair(*(alone(_with(document, path, value)) for value in values))

    return maker


def _excused(random: Random) -> Pair | None:
    """A figure beyond the point where a rule speaks, and one before it: there is something to excuse, or nothing."""
    rule = random.choice(
        ["overdriven-led", "overheated-resistor", "dim-led", "no-preferred-value", "wrong-lamp-voltage"]
    )
    pair = mutations.MAKERS[rule][1](random)
    if pair is None:
        return None
    reason, name = random.choice([(" -- as built", rule), (" -- as built", rule), ("", rule), (" -- so", f"{rule}s")])
    texts = [case.plans[0] for case in (pair.near if reason == " -- as built" else pair.wrong, pair.wrong)]
    comments = [f"allow {name}{reason}", f"allow {rule} -- as built"]
    place = '\n "outputs"'
    return Pair(
        *(
            Case((text.replace(place, f"\n # lampwright: {comment}{place}"),))
            for text, comment in zip(texts, comments, strict=True)
        )
    )


def _commanded(random: Random) -> Iterator[tuple[Case, bool]]:
    """Outputs of logic level or not, with a driver or without one, and with or without a lamp."""
    document = _base(random)
    while True:
        is_logic, has_driver, has_lamp = (random.random() < 0.5 for _ in range(3))
        row: list[Any] = ["1.5 kohm 1 W", *(["led one"] if has_lamp else [])]
        if has_driver:
            row.insert(random.randint(0, len(row)), {"driver": {"limit": "200 mA"}})
        output = {"number": 9, "limit": "0.5 mA"} | ({"logic-level": "5 V"} if is_logic else {})
        changed = _with(_with(document, ("decoder", "outputs", "aux4"), output), ("outputs", "aux4"), {"circuit": row})
        yield alone(changed), is_logic and has_lamp and not has_driver


def _drawers(random: Random) -> Pair:
    document, name = _base(random), f"drawer {random.randint(1, 99)}.parts.yaml"
    text, files = written({**document, "parts": [name]}), {name: written({"parts-catalogue": 1, "lamps": {}})}
    return Pair(Case((text,), {f"x{name}": files[name]}), Case((text,), files))


_TRACK = ("supply", "track")
_BULB = ("lamps", "bulb one", "bulb", "voltage")

MAKERS: dict[str, tuple[str, Maker]] = {
    "missing-key": ("language, by its page's list", searched(_missing)),
    "unknown-key": ("language, by its page's list", searched(_unknown)),
    "unknown-name": ("names, by those that there are", searched(_strange)),
    "useless-allowance": ("what it excuses, by SciPy", _excused),
    "lamp-on-logic-output": ("wiring, by how it was drawn", searched(_commanded)),
    "unreadable-file": ("files, by those that there are", _drawers),
    **{
        rule: ("by construction", maker)
        for rule, maker in {
            "wrong-shape": _one_of(
                ("outputs",), ("lamps",), ("keys",), ("decoder", "outputs"), wrong=[[], "white", 3, [{}]], near=[{}]
            ),
            "misspelt-unit": _one_of(
                _TRACK, _BULB, wrong=["14 v", "14 volts", "14 VDC", "14 Volt"], near=["14 V", "14V", "14000 mV"]
            ),
            "decimal-comma": _one_of(_TRACK, _BULB, wrong=["14,5 V", "13,9V"], near=["14.5 V", "13.9V"]),
            "unreadable-quantity": _one_of(
                _TRACK,
                wrong=["high", "1.2.3 V", "-14 V", "+14 V", "1.4e1 V", "7 V + 7 V", "2*7 V", "inf V", "13 V - 14 V"],
                near=["14 V", "14.0 V", "13.5 V to 14 V"],
            ),
            "implausible-value": _one_of(
                _TRACK, _BULB, wrong=["14 kV", "145 kV", "1450 V"], near=["14 V", "9 V", "18 V"]
            ),
            "unsupported-version": _one_of(("lighting-plan",), wrong=[0, 2, 3, 99], near=[1]),
        }.items()
    },
}
