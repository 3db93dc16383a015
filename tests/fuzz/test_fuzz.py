"""A short run of each stage of the fuzzer, always with the same inputs.

LAMPWRIGHT_INPUTS=10 in the environment asks for ten times as many; `run.py` is for more.
"""

from __future__ import annotations

import os

import pytest

pytest.importorskip("resource")

from byte_mutations import MUTATIONS
from corpus import corpus, words
from inputs import KINDS, MIXTURES, kind_for, made
from measuring import MOST_SECONDS, Failure, tally
from stages import STAGES

TIMES = int(os.environ.get("LAMPWRIGHT_INPUTS", "1"))
SLOWNESS = float(os.environ.get("LAMPWRIGHT_SLOWNESS", "3" if "CI" in os.environ else "1"))
COUNTS = {"reader": 2_000, "rules": 250, "fixes": 150}
# Which share gets as far as rules, at least; of the fixes, which share has something that is fixed.
REACHING = {"reader": 0.5, "rules": 0.8, "fixes": 0.2}
SEED = 7


@pytest.mark.parametrize("stage", STAGES)
def test_whatever_is_read_keeps_the_promises(stage: str) -> None:
    done = tally(stage, SEED, range(COUNTS[stage] * TIMES))
    assert [each for each in done.failures if counts(each)] == []
    assert done.reached >= REACHING[stage] * done.inputs


def counts(failure: Failure) -> bool:
    """Whether it is one on this machine: a slow one is given its time."""
    is_slow = (
        failure.where == "time" and float(failure.what.removesuffix(" s")) <= MOST_SECONDS[failure.stage] * SLOWNESS
    )
    # The process has run other tests before, and keeps what they took.
    return not is_slow and failure.where != "memory"


@pytest.mark.parametrize("kind", KINDS)
def test_an_input_is_the_same_whenever_it_is_made(kind: str) -> None:
    assert [made(kind, 3, number) for number in range(50)] == [made(kind, 3, number) for number in range(50)]
    assert len({tuple(made(kind, 3, number).files.values()) for number in range(50)}) > 45


def test_kinds_are_mixed_as_said() -> None:
    for stage, shares in MIXTURES.items():
        kinds = [kind_for(stage, number) for number in range(100)]
        assert {kind: kinds.count(kind) for kind in shares} == shares


def test_a_broken_promise_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(STAGES, "reader", lambda fuzzed: 1 // len(fuzzed.kind.removeprefix("bytes")) > 0)
    done = tally("reader", SEED, range(20))
    told = [failure for failure in done.failures if counts(failure)]
    assert {failure.what for failure in told} == {"ZeroDivisionError: integer division or modulo by zero"}
    assert {failure.kind for failure in told} == {"bytes"}


def test_all_four_kinds_of_file_are_mutated() -> None:
    first = {next(iter(files)).rpartition("/")[2].partition(".")[2] for files in corpus()}
    assert {"lights.yaml", "decoder.yaml", "parts.yaml", "yaml"} <= first
    assert len(set(MUTATIONS)) >= 12


def test_words_are_the_text() -> None:
    for files in corpus():
        text = next(iter(files.values())).decode("utf-8", "replace")
        assert "".join(words(text)) == text
