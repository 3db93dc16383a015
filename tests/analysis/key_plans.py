"""Lighting plans of nothing but keys, written as YAML would give them, for the tests of the logic."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import Any

from lampwright.analysis.logic.questions import State
from lampwright.model.decoder import Decoder, EffectSheet
from lampwright.model.keys import AllOf, AnyOf, Condition, Entry, Key, Literal, Look
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.settings import Settings
from lampwright.model.values import Figure, Name
from lampwright.text import Source, Span

SOURCE = Source("quarry.lights.yaml", "")
NOWHERE = Span(SOURCE, 0, 0)

Items = Sequence[Mapping[str, Any]]
"""Entries as YAML gives them."""


def condition(when: Any) -> Condition:
    """`when` as YAML gives it: a word, a list that means all of them, or {any: [...]}."""
    if isinstance(when, list):
        return AllOf(tuple(condition(part) for part in when))
    if isinstance(when, dict):
        return AnyOf(tuple(condition(part) for part in when["any"]))
    word = when.removeprefix("not ")
    opposite = {"reverse": "forward", "stopped": "moving"}
    return Literal(opposite.get(word, word), (word == when) is (word not in opposite))


def look(at: int, item: Mapping[str, Any]) -> Look:
    """The look that `item` names, as YAML would give it but for figures in SI."""
    span = Span(SOURCE, at, at)
    figures = {name: Figure.exact(item[name], span=span) for name in ("brightness", "rate") if name in item}
    effect = Name(item["effect"], span) if "effect" in item else None
    return Look(effect=effect, **figures, is_readable=item.get("readable", True))


def decoder(*pairs: tuple[str, str], rate: Figure | None = None) -> Decoder:
    """A decoder that knows `oscillating` as an effect for these pairs of outputs, with `rate` as its range."""
    named = tuple((Name(one, NOWHERE), Name(other, NOWHERE)) for one, other in pairs)
    effect = EffectSheet("oscillating", NOWHERE, pairs=named, rate=rate, is_for_pairs=True)
    drop = Figure.exact(1.4)
    return Decoder(NOWHERE, drop, None, common_is_readable=True, outputs={}, effects={"oscillating": effect})


def entry(at: int, item: Mapping[str, Any]) -> Entry:
    outputs = item["output"] if isinstance(item["output"], list) else [item["output"]]
    when = item.get("when", [])
    return Entry(
        span=Span(SOURCE, at, at),
        outputs=tuple(Name(output, Span(SOURCE, at, at)) for output in outputs),
        condition=when if when is None or isinstance(when, Literal | AllOf | AnyOf) else condition(when),
        look=look(at, item),
        complete=item.get("complete", True),
    )


def plan(
    keys: Mapping[str, Items],
    always: Items = (),
    outputs: Mapping[str, Mapping[str, Any]] | None = None,
    momentary: Sequence[str] = (),
) -> LightingPlan:
    """A plan of nothing but keys, and of outputs with their own looks; each entry stands behind the one before it."""
    places = itertools.count(1)
    own = {name: Output(name, NOWHERE, None, None, look(next(places), item)) for name, item in (outputs or {}).items()}
    modelled = {
        int(name[1:]): Key(
            int(name[1:]),
            NOWHERE,
            momentary=name in momentary,
            entries=tuple(entry(next(places), item) for item in items),
        )
        for name, items in keys.items()
    }
    return LightingPlan(
        span=NOWHERE,
        supply=Supply(None, None),
        decoder=None,
        lamps={},
        outputs=own,
        common_circuit=None,
        keys=modelled,
        always=tuple(entry(next(places), item) for item in always),
        settings=Settings(),
        wiring_is_complete=True,
        keys_are_complete=True,
    )


QUARRY_SWITCHER: dict[str, Items] = {
    "F0": [{"output": "white", "when": "forward"}, {"output": "yellow", "when": "reverse"}],
    "F2": [],
    "F3": [{"output": ["green", "violet"], "when": ["forward", "F0"]}],
    "F7": [{"output": "brown", "brightness": 0.4}],
}


def standing(*keys: str, forward: bool = True, moving: bool = False) -> State:
    return State(keys, forward, moving)
