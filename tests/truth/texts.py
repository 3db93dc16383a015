"""Right plans made wrong in their writing, their wiring or their names, where what is wrong is known from how it is made.

Each rule has one way that the plan is spoiled, and one that looks like it and is right.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from copy import deepcopy
from random import Random
from typing import Any

from plans import right_plan
from trials import Case, Maker, Pair, written

Document = dict[str, Any]


def _spoiled(rule: str) -> Maker:
    def maker(random: Random) -> Pair | None:
        made = SPOILED[rule](right_plan(random.randrange(10**9)).document(), random)
        if made is None:
            return None
        return Pair(*(Case((each if isinstance(each, str) else written(each),)) for each in made))

    return maker


Made = tuple[Document | str, Document | str] | None


def _put(document: Document, *path: Any, to: Any) -> Document:
    """A copy with another value at `path`."""
    copy = deepcopy(document)
    at: Any = copy
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = to
    return copy


def _each(*path: str, wrong: Callable[[Random], Any], near: Callable[[Random], Any]) -> Callable[..., Made]:
    return lambda document, random: (
        _put(document, *path, to=wrong(random)),
        _put(document, *path, to=near(random)),
    )


def _volts(unit: str, point: str = ".") -> Callable[[Random], str]:
    return lambda random: f"{random.randint(14, 16)}{point}{random.randint(1, 9)}{unit}"


def _led(document: Document, random: Random) -> str | None:
    names = [name for name, data in document["lamps"].items() if "led" in data]
    return random.choice(names) if names else None


def _syntax(document: Document, random: Random) -> Made:
    text = written(document)
    at = random.choice([place for place, letter in enumerate(text) if letter in "}]"])
    return text[:at] + text[at + 1 :], text[: at + 1] + random.choice([" ", "\n", "\n\n"]) + text[at + 1 :]


def _twice(document: Document, random: Random) -> Made:
    text = written(document)
    key = random.choice(["vehicle", "supply", "lamps", "keys", "always"])
    return (
        text.replace("{\n", f'{{\n "{key}": {json.dumps(document[key])},\n', 1),
        text.replace("{\n", f"{{\n # {key}: the same twice\n", 1),
    )


def _unknown_key(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    wrong = deepcopy(document)
    wrong["outputs"][name][random.choice(["circut", "colour", "Brightness", "lamp"])] = "x"
    return wrong, document


def _missing_key(document: Document, random: Random) -> Made:
    key = random.choice(["vehicle", "lamps", "outputs"])
    return {each: data for each, data in document.items() if each != key}, {
        each: data for each, data in document.items() if each != random.choice(["always"])
    }


def _name(document: Document, random: Random) -> Made:
    output = random.choice(sorted(document["outputs"]))
    wrong = output[:-1] + random.choice("xyz")
    entries = [{"output": each, "when": ["forward"]} for each in (wrong, output)]
    return tuple(_put(document, "keys", "F28", to={"turns-on": [each]}) for each in entries)  # type: ignore[return-value]


def _allowance(document: Document, random: Random) -> Made:
    text = written(document)
    rule = random.choice(["overdriven-led", "dim-bulb", "hot-lamp", "duplicate-key"])
    odd = text.replace("{\n", f"{{ # lampwright: allow {rule} -- as built\n", 1)
    return odd, text.replace("{\n", "{ # lampwright is what reads this\n", 1)


def _anchor(document: Document, _: Random) -> Made:
    text = written(document)
    return text.replace('"lamps": {', '"lamps": &warm {', 1), text.replace('"Tipper 9"', '"Tipper &9"', 1)


def _rewire(
    document: Document, random: Random, wrong: Callable[[list[Any], str], Any], near: Callable[[list[Any], str], Any]
) -> Made:
    """Rebuilds the circuit of an output that has one chain of LEDs."""
    chains = [
        name
        for name, each in document["outputs"].items()
        if len(each["circuit"]) > 1 and all("led" in document["lamps"][lamp] for lamp in each["circuit"][1:])
    ]
    if not chains:
        return None
    name = random.choice(chains)
    circuit = document["outputs"][name]["circuit"]
    return tuple(  # type: ignore[return-value]
        _put(document, "outputs", name, "circuit", to=make(deepcopy(circuit), circuit[1])) for make in (wrong, near)
    )


def _wired(wrong: Callable[[list[Any], str], Any], near: Callable[[list[Any], str], Any]) -> Callable[..., Made]:
    return lambda document, random: _rewire(document, random, wrong, near)


def _turned_round(circuit: list[Any], *, reversed_: bool) -> list[Any]:
    return [circuit[0], *({"lamp": lamp, "reversed": reversed_} for lamp in circuit[1:])]


def _shared(document: Document, random: Random) -> Made:
    """Two LEDs more, side by side behind one resistor, or behind one each."""
    name, output = random.choice(sorted(document["outputs"].items()))
    led = {"led": {"forward-voltage": "3 V", "maximum-current": "20 mA"}}
    more = _put(_put(document, "lamps", "one", to=led), "lamps", "other", to=led)
    ohms = random.choice(["2.2 kohm 1 W", "3.3 kohm 1 W", "4.7 kohm 1 W"])
    circuits = ([ohms, {"parallel": [["one"], ["other"]]}], [{"parallel": [[ohms, "one"], [ohms, "other"]]}])
    assert output
    return tuple(_put(more, "outputs", name, "circuit", to=each) for each in circuits)  # type: ignore[return-value]


def _mixed(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    more = _put(document, "lamps", "one", to={"led": {"forward-voltage": "3 V", "maximum-current": "30 mA"}})
    more = _put(more, "lamps", "other", to={"bulb": {"voltage": "1.5 V", "current": "15 mA"}})
    ohms = random.choice(["820 ohm 2 W", "1 kohm 2 W"])
    apart = [{"parallel": [["1.5 kohm 2 W", "one"], [ohms, "other"]]}]
    return tuple(_put(more, "outputs", name, "circuit", to=each) for each in ([ohms, "one", "other"], apart))  # type: ignore[return-value]


def _unwired(document: Document, random: Random) -> Made:
    bulb = {"bulb": {"voltage": "14 V", "current": f"{random.randint(20, 60)} mA"}}
    name = random.choice(sorted(document["outputs"]))
    circuit = document["outputs"][name]["circuit"]
    more = _put(document, "lamps", "one", to=bulb)
    return more, _put(more, "outputs", name, "circuit", to=[{"parallel": [circuit, ["one"]]}])


def _twice_wired(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    circuit = document["outputs"][name]["circuit"]
    lamp = random.choice(sorted(document["lamps"]))
    more = _put(document, "lamps", "one", to=document["lamps"][lamp])
    return (
        _put(document, "outputs", name, "circuit", to=[{"parallel": [circuit, ["1 kohm 2 W", lamp]]}]),
        _put(more, "outputs", name, "circuit", to=[{"parallel": [circuit, ["1 kohm 2 W", "one"]]}]),
    )


def _empty(document: Document, random: Random) -> Made:
    more = _put(document, "decoder", "outputs", "spare", to={"number": "9", "limit": "100 mA"})
    taken = random.choice(sorted(document["outputs"]))
    keys = [{"turns-on": [{"output": each, "when": ["moving"]}]} for each in ("spare", taken)]
    return tuple(_put(more, "keys", "F28", to=each) for each in keys)  # type: ignore[return-value]


def _logic_level(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    return _put(document, "decoder", "outputs", name, "logic-level", to=random.choice(["3.3 V", "5 V"])), document


def _key_number(document: Document, random: Random) -> Made:
    reach = random.randint(1, 27)
    short = _put(document, "decoder", "keys", "highest", to=reach)
    output = random.choice(sorted(document["outputs"]))
    keys = {"turns-on": [{"output": output}]}
    return tuple(_put(short, "keys", to={f"F{key}": keys}) for key in (reach + 1, reach))  # type: ignore[return-value]


def _rates(document: Document, random: Random, wrong: int, near: int, span: str) -> Made:
    name = random.choice(sorted(document["outputs"]))
    more = _put(document, "decoder", "effects", to={"strobe": {"code": 3, "rate": f"{span} per minute"}})
    entries = [{"output": name, "effect": "strobe", "rate": f"{rate} per minute"} for rate in (wrong, near)]
    return tuple(_put(more, "keys", to={"F5": {"turns-on": [each]}}) for each in entries)  # type: ignore[return-value]


def _rate(document: Document, random: Random) -> Made:
    low, high = random.randint(41, 80), random.randint(90, 170)
    wrong, near = random.choice([(low - 1, low), (high + 1, high)])
    return _rates(document, random, wrong, near, f"{low} to {high}")


def _flash(document: Document, random: Random) -> Made:
    # The prototype's strobes flash 40 to 180 times a minute.
    wrong, near = random.choice([(39, 40), (181, 180), (20, 41), (300, 179)])
    return _rates(document, random, wrong, near, "10 to 300")


def _matrix(document: Document) -> Document:
    more = _put(document, "decoder", "keys", to={"highest": 28, "mapping": "function-matrix"})
    return _put(more, "decoder", "registers", to=[])


def _window(key: int) -> range:
    """The outputs that the eight bits of a key's CV stand for, S-9.2.2 (2012), CV33 to CV46."""
    return range(1, 9) if key <= 3 else range(4, 12) if key <= 8 else range(7, 15)


def _reach(document: Document, random: Random) -> Made:
    key, name = random.randint(1, 12), random.choice(sorted(document["outputs"]))
    window = _window(key)
    numbers = [random.choice([each for each in range(1, 15) if each not in window]), random.choice(window)]
    entry = {f"F{key}": {"turns-on": [{"output": name}]}}
    only = _put(_matrix(document), "keys", to=entry)
    only["decoder"]["outputs"] = {name: only["decoder"]["outputs"][name]}
    only["outputs"] = {name: only["outputs"][name]}
    return tuple(_put(only, "decoder", "outputs", name, "number", to=str(each)) for each in numbers)  # type: ignore[return-value]


def _said(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    word = random.choice(["forward", "reverse"])
    made = [{f"F{key}": {"turns-on": [{"output": name, "when": word}]}} for key in (random.randint(1, 3), 0)]
    return tuple(_put(_matrix(document), "keys", to=each) for each in made)  # type: ignore[return-value]


def _covered(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    one, other = random.sample(["forward", "moving", "F9", "not F9"], 2)
    entries = [{"output": name, "when": [one]}, {"output": name, "when": [one, other]}]
    apart = [{"output": name, "when": [one]}, {"output": name, "when": [other]}]
    if {one, other} == {"F9", "not F9"}:
        return None
    return tuple(_put(document, "keys", to={"F5": {"turns-on": each}}) for each in (entries, apart))  # type: ignore[return-value]


def _headlamp(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    end, right, wrong = random.choice([("front", "forward", "reverse"), ("rear", "reverse", "forward")])
    more = _put(document, "lamps", f"{end} headlamp", to={"bulb": {"voltage": "14 V", "current": "30 mA"}})
    more = _put(more, "outputs", name, "circuit", to=[f"{end} headlamp"])
    made = [{"F0": {"turns-on": [{"output": name, "when": word}]}} for word in (wrong, right)]
    return tuple(_put(more, "keys", to=each) for each in made)  # type: ignore[return-value]


def _register(cv: Callable[[Random], int], near: Callable[[Random], int]) -> Callable[..., Made]:
    def made(document: Document, random: Random) -> Made:
        name = random.choice(sorted(document["outputs"]))
        holds = [{"what": "effect", "digit": "ones"}]
        effects = _put(document, "decoder", "effects", to={"steady": {"code": 0}})
        numbers = cv(random), near(random)
        registers = [[{"cv": {name: number}, "holds": holds, "default": 0}] for number in numbers]
        return tuple(_put(effects, "decoder", "registers", to=each) for each in registers)  # type: ignore[return-value]

    return made


def _claimed(document: Document, random: Random) -> Made:
    name, split = random.choice(sorted(document["outputs"])), random.randint(1, 6)
    effects = _put(document, "decoder", "effects", to={"steady": {"code": 0}})
    fields = [
        [{"what": "effect", "bits": f"0 to {split}"}, {"what": "brightness", "bits": bits}]
        for bits in (f"{split} to 7", "7" if split == 6 else f"{split + 1} to 7")
    ]
    made = [[{"cv": {name: 121}, "holds": holds, "default": 0}] for holds in fields]
    return tuple(_put(effects, "decoder", "registers", to=each) for each in made)  # type: ignore[return-value]


def _rail(document: Document, random: Random) -> Made:
    name = random.choice(sorted(document["outputs"]))
    more = _put(document, "lamps", "one", to={"bulb": {"voltage": "14 V", "current": "30 mA"}})
    more = _put(more, "outputs", name, "circuit", to=["one"])
    return _put(more, "outputs", name, "return", to="rail"), more


def _dimmed(document: Document, random: Random) -> Made:
    """An LED of 20 mA behind 330 or 2200 ohms: above 26 mA or below 8 mA at 12 V or more, whatever its law."""
    name = random.choice(sorted(document["outputs"]))
    more = _put(document, "lamps", "one", to={"led": {"forward-voltage": "2 V", "maximum-current": "20 mA"}})
    more = _put(more, "outputs", name, "brightness", to=f"{random.randint(10, 60)} %")
    made = ([f"{ohms} ohm 2 W", "one"] for ohms in (330, 2200))
    return tuple(_put(more, "outputs", name, "circuit", to=each) for each in made)  # type: ignore[return-value]


def _starved(document: Document, random: Random) -> Made:
    """A regulator that has about half of what it needs, or twice as much."""
    name, volts = random.choice(sorted(document["outputs"])), random.choice([2.0, 2.5, 3.0])
    more = _put(document, "supply", "track", to="14 V")
    more = _put(more, "decoder", "common", "drop", to="1.4 V")
    led = {"led": {"forward-voltage": "3 V", "maximum-current": "20 mA"}}
    lamps = [f"one of {number}" for number in range(math.floor(12.6 / 3))]
    for lamp in lamps:
        more = _put(more, "lamps", lamp, to=led)
    regulator = {"current-regulator": "10 mA", "needs": f"{volts} V"}
    return tuple(  # type: ignore[return-value]
        _put(more, "outputs", name, "circuit", to=[regulator, *each]) for each in (lamps, lamps[:2])
    )


_ADDRESS = ("vehicle", "address")
_TRACK = ("supply", "track")

SPOILED: dict[str, Callable[[Document, Random], Made]] = {
    "syntax-error": _syntax,
    "duplicate-key": _twice,
    "unknown-key": _unknown_key,
    "missing-key": _missing_key,
    "wrong-shape": _each("outputs", wrong=lambda random: random.choice([[], "white", 3]), near=lambda _: {}),
    "missing-unit": _each(*_TRACK, wrong=_volts(""), near=_volts("V")),
    "wrong-unit": _each(
        *_TRACK, wrong=lambda random: _volts(random.choice([" mA", " ohm", " W"]))(random), near=_volts(" V")
    ),
    "misspelt-unit": _each(*_TRACK, wrong=_volts(" v"), near=_volts(" V")),
    "decimal-comma": _each(*_TRACK, wrong=_volts(" V", ","), near=_volts(" V")),
    "unreadable-quantity": _each(
        *_TRACK, wrong=lambda random: random.choice(["high", "1.2.3 V", "--"]), near=_volts(" V")
    ),
    "implausible-value": _each(*_TRACK, wrong=lambda random: f"{random.randint(90, 400)} V", near=_volts(" V")),
    "unknown-name": _name,
    "unreadable-file": _each(
        "parts", wrong=lambda random: [f"drawer {random.randint(1, 99)}.parts.yaml"], near=lambda _: []
    ),
    "unsupported-version": _each("lighting-plan", wrong=lambda random: random.randint(2, 99), near=lambda _: 1),
    "unsupported-yaml": _anchor,
    "useless-allowance": _allowance,
    "shared-resistor": _shared,
    "mixed-lamps-in-series": _mixed,
    "lamp-on-logic-output": _logic_level,
}

MAKERS: dict[str, tuple[str, Maker]] = {rule: ("by construction", _spoiled(rule)) for rule in SPOILED}
