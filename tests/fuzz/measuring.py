"""Runs inputs through a stage, measures each, and tells which promises were broken."""

from __future__ import annotations

import resource
import signal
import time
import traceback
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import FrameType

from fuzzed import Fuzzed
from inputs import KINDS, kind_for, made
from stages import STAGES

from lampwright.units.foreign import name_of

# Where fixes are tried, an input is judged a dozen times.
MOST_SECONDS = {"reader": 1.0, "rules": 1.0, "fixes": 3.0}
TRIES = 3
MOST_MEGABYTES = 300
# What runs on and on is ended after so many seconds of work, told, and the next input is taken.
ENDED_AFTER = 20.0


@dataclass(frozen=True)
class Failure:
    """A promise that an input broke; with kind, seed and number it is made again."""

    stage: str
    kind: str
    seed: int
    number: int
    what: str
    where: str


@dataclass
class Tally:
    """What became of many inputs. `slowest` is in seconds of processor time, and by which number."""

    inputs: int = 0
    reached: int = 0
    seconds: float = 0.0
    slowest: tuple[float, str, int] = (0.0, "", 0)
    megabytes: float = 0.0
    failures: list[Failure] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Those of `other` as well."""
        self.inputs += other.inputs
        self.reached += other.reached
        self.seconds += other.seconds
        self.slowest = max(self.slowest, other.slowest)
        self.megabytes = max(self.megabytes, other.megabytes)
        self.failures += other.failures


class _EndedError(Exception):
    pass


def warm_up() -> None:
    """Does what a process does once, so that it is not counted for the input that happens to be the first.

    The library of units is loaded for the first foreign unit, which takes half a second.
    """
    name_of("hp")


def tally(stage: str, seed: int, numbers: Iterable[int]) -> Tally:
    """Puts the inputs of these numbers through `stage`."""
    warm_up()
    done = Tally()
    for number in numbers:
        done.add(_tried(stage, kind_for(stage, number), seed, number, done.megabytes))
    return done


def again(stage: str, kind: str, seed: int, number: int) -> Tally:
    """The same for one input, of a kind that may be another than its number would have."""
    assert kind in KINDS
    warm_up()
    return _tried(stage, kind, seed, number, 0.0)


def _tried(stage: str, kind: str, seed: int, number: int, before: float) -> Tally:
    begun = time.process_time()
    seconds, reached, failures = 0.0, False, list[Failure]()
    try:
        with _ended_in_time():
            fuzzed = made(kind, seed, number)
            seconds, reached = _measured(stage, fuzzed)
    except (Exception, RecursionError) as error:  # noqa: BLE001  # whatever it is, it is what is looked for
        failures.append(Failure(stage, kind, seed, number, f"{type(error).__name__}: {error}"[:300], _where(error)))
    megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    if seconds > MOST_SECONDS[stage]:
        failures.append(Failure(stage, kind, seed, number, f"{seconds:.2f} s", "time"))
    if megabytes > MOST_MEGABYTES >= before:
        failures.append(Failure(stage, kind, seed, number, f"{megabytes:.0f} MB", "memory"))
    return Tally(1, reached, time.process_time() - begun, (seconds, kind, number), megabytes, failures)


def _measured(stage: str, fuzzed: Fuzzed) -> tuple[float, bool]:
    """The processor time that the input takes, and what the stage says of it.

    What takes too long is done again, and the least counts: on a busy machine the same work may take ten times as long.
    """
    seconds = []
    while not seconds or (min(seconds) > MOST_SECONDS[stage] and len(seconds) < TRIES):
        begun = time.process_time()
        reached = STAGES[stage](fuzzed)
        seconds.append(time.process_time() - begun)
    return min(seconds), reached


def _where(error: BaseException) -> str:
    """The last lines that were run, as they stand in a traceback."""
    frames = traceback.extract_tb(error.__traceback__)[-4:]
    return "\n".join(f"{frame.filename}:{frame.lineno} {frame.name}: {frame.line}" for frame in frames)


@contextmanager
def _ended_in_time() -> Iterator[None]:
    def end(_: int, __: FrameType | None) -> None:
        raise _EndedError(f"ended after {ENDED_AFTER:g} s of work")

    before = signal.signal(signal.SIGPROF, end)
    signal.setitimer(signal.ITIMER_PROF, ENDED_AFTER)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
