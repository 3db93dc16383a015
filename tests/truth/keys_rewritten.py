"""Right plans whose keys and conditions are rewritten at random, which every state of them judges."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from random import Random

from oracle import of_keys
from plans import right_plan
from specimens import Branch, Entry, Led, Plan
from trials import Case, Maker, searched

WORDS = ("forward", "reverse", "moving", "stopped", "F1", "not F1", "F2", "not F2")


def _rewritten(rule: str) -> Maker:
    """Rewrites at random, the same way again and again, until the oracle has called one wrong and another one right."""

    def variants(random: Random) -> Iterator[tuple[Case, bool]]:
        plan = right_plan(random.randrange(10**9))
        while True:
            rewritten = REWRITES[rule](plan, random)
            yield Case((rewritten.text(),)), rule in of_keys(rewritten)

    return searched(variants)


def _when(random: Random) -> tuple[str, ...]:
    return tuple(random.sample(WORDS, random.randint(0, 2)))


def _other_key(plan: Plan, random: Random) -> int:
    return random.choice([key for key in range(3, 28) if key not in plan.keys])


def _condition(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    own = (f"not F{key}",) if random.random() < 0.1 else ()
    entries = tuple(
        replace(each, when=tuple(random.sample(WORDS, random.randint(1, 3))) + own) for each in plan.keys[key]
    )
    return replace(plan, keys={**plan.keys, key: entries})


def _two_looks(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    entries = (Entry(name, _when(random), 100), Entry(name, _when(random), random.choice([40, 100])))
    return replace(plan, keys={**plan.keys, key: entries})


def _two_keys(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    one, other = (Entry(name, _when(random), brightness) for brightness in (100, random.choice([40, 100])))
    return replace(plan, keys={**plan.keys, key: (one,), _other_key(plan, random): (other,)})


def _always(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    word, other = random.choice([("forward", "reverse"), ("moving", "stopped"), ("F1", "not F1"), ("F1", "F2")])
    whens = random.choice([((),), ((word,),), ((word,), (other,)), ((word,), (word,))])
    return replace(
        plan,
        keys={**plan.keys, key: (Entry(name),)},
        always=tuple(Entry(name, when) for when in whens),
    )


def _unnamed(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    entry = plan.keys[key][0]
    others = {other: entries for other, entries in plan.keys.items() if other != key}
    places: list[Plan] = [
        replace(plan, keys={**others, key: (), 28: (Entry(random.choice(sorted(plan.outputs))),)}),
        replace(plan, keys={**others, 28: (entry,)}),
        replace(plan, keys=others, always=(Entry(entry.output, ("forward",)),)),
    ]
    return random.choice(places)


def _momentary(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    always = random.choice([(), (Entry(name),), (Entry(name, _when(random)),)])
    keys = {**plan.keys, key: (Entry(name, _when(random)),)}
    return replace(plan, keys=keys, always=always, momentary=frozenset({key}))


def _alike(plan: Plan, random: Random) -> Plan:
    """Two entries of one output and a third, under one key or two, with or without a brightness."""
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    one, other = (tuple(random.sample(WORDS, random.randint(1, 2))) for _ in range(2))
    more = (one[0], other[0]) if random.random() < 0.5 else other
    first, second = Entry(name, one, random.choice([None, 40])), Entry(name, more, random.choice([None, None, 40]))
    if random.random() < 0.3:
        return replace(plan, keys={**plan.keys, key: (first,)}, always=(second,))
    return replace(plan, keys={**plan.keys, key: (first, second)})


def _facing(plan: Plan, random: Random) -> Plan:
    key = random.choice(sorted(plan.keys))
    name = plan.keys[key][0].output
    lamp = Branch((f"{random.choice(['front', 'rear'])} headlamp",), (Led((3.0, 3.0)),), 3300.0)
    entries = tuple(Entry(name, _when(random)) for _ in range(random.randint(1, 2)))
    return replace(
        plan,
        outputs={**plan.outputs, name: replace(plan.outputs[name], branches=(lamp,))},
        keys={**plan.keys, key: entries},
    )


REWRITES: dict[str, Callable[[Plan, Random], Plan]] = {
    "impossible-condition": _condition,
    "conflicting-conditions": _two_looks,
    "conflicting-effects": _two_keys,
    "always-lit": _always,
    "dark-output": _unnamed,
    "momentary-light": _momentary,
    "covered-entry": _alike,
    "wrong-way-headlamp": _facing,
}


MAKERS: dict[str, tuple[str, Maker]] = {rule: ("keys, by all states", _rewritten(rule)) for rule in REWRITES}
