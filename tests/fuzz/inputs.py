"""All kinds of inputs, and in which mixture each stage gets them."""

from __future__ import annotations

from random import Random

from byte_mutations import mutated_files
from fuzzed import Fuzzed, Make
from grammar import grammatical_files
from word_mutations import faulty_files, reworded_files

KINDS: dict[str, Make] = {
    "bytes": mutated_files,
    "words": reworded_files,
    "grammar": grammatical_files,
    "faulty": faulty_files,
}
# Of a hundred inputs so many are of each kind.
MIXTURES: dict[str, dict[str, int]] = {
    "reader": {"bytes": 70, "words": 22, "grammar": 6, "faulty": 2},
    "rules": {"grammar": 70, "words": 13, "faulty": 2, "bytes": 15},
    "fixes": {"grammar": 40, "faulty": 40, "words": 20},
}


def made(kind: str, seed: int, number: int) -> Fuzzed:
    """The input of that kind, seed and number."""
    return Fuzzed(kind, seed, number, KINDS[kind](Random(f"{kind} {seed} {number}")))


def kind_for(stage: str, number: int) -> str:
    """Of which kind the input of that number is."""
    # Kinds follow each other, so that a short run has all of them.
    place = number * 37 % 100
    for kind, share in MIXTURES[stage].items():
        if place < share:
            return kind
        place -= share
    raise AssertionError(f"the shares of {stage} come to less than 100")
