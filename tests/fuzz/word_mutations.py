"""Texts in which words stand in each other's places: nearly right, and so they get far."""

from __future__ import annotations

import json
from random import Random

from corpus import corpus, dictionary, words
from fuzzed import Files

from faulty_plans import faulty_plan, slipped_plan, tangled_plan
from test_hostile_texts import HOSTILE

PLAN = "plan.lights.yaml"
# What is judged whole is small, so that many are.
_LARGEST = 1_000


def reworded_files(random: Random) -> Files:
    """A file of the corpus with one to five other words in it."""
    files = random.choice(corpus())
    while len(next(iter(files.values()))) > _LARGEST:
        files = random.choice(corpus())
    return {
        name: reworded(random, data) if number == 0 or random.random() < 0.2 else data
        for number, (name, data) in enumerate(files.items())
    }


def reworded(random: Random, data: bytes) -> bytes:
    """The text with one to five other words in it."""
    pieces = words(data.decode("utf-8", "replace"))
    for _ in range(random.choice([1, 1, 2, 3, 5]) if pieces else 0):
        at, other = random.randrange(len(pieces)), random.randrange(len(pieces))
        match random.randrange(7):
            case 0:
                pieces[at] = pieces[other]
            case 1:
                pieces[at], pieces[other] = pieces[other], pieces[at]
            case 2:
                pieces[at] = ""
            case 3:
                pieces[at] += pieces[other]
            case 4:
                pieces[at] = json.dumps(random.choice(list(HOSTILE.values())), ensure_ascii=random.random() < 0.5)
            case _:
                pieces[at] = random.choice(dictionary())
    return "".join(pieces).encode("utf-8", "replace")


def faulty_files(random: Random) -> Files:
    """A plan that the tests of fixes are made of, sound but for its slips or faults, now and then reworded."""
    number = random.randrange(1 << 30)
    slipped = slipped_plan(number) if random.random() < 0.5 else None
    plan = random.choice([faulty_plan, tangled_plan])(number)
    text = (slipped.typed if slipped else plan.text).encode()
    files = slipped.files if slipped else plan.files
    if random.random() < 0.3:
        text = reworded(random, text)
    return {PLAN: text, **{name: each.encode() for name, each in files}}
