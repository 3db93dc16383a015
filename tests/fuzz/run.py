"""Puts many inputs through a stage, tells what broke, and writes a row of RESULTS.md.

`python tests/fuzz/run.py STAGE COUNT SEED`, from the root; STAGE is reader, rules or fixes. An input that broke a promise
lies in the folder of `--failures`, and `--again KIND NUMBER` puts that one through alone.
"""

from __future__ import annotations

import argparse
import gc
import json
import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import asdict
from itertools import islice
from math import inf
from multiprocessing import get_context
from pathlib import Path

HERE = Path(__file__).parent
if str(HERE.parent) not in sys.path:
    sys.path[:0] = [str(HERE), str(HERE.parent / "hostile"), str(HERE.parent)]

from inputs import made  # noqa: E402
from measuring import Failure, Tally, again, tally  # noqa: E402
from results import record  # noqa: E402
from stages import STAGES  # noqa: E402

BATCH = 200
# A process that begins anew shows what one input takes, not what thousands leave behind.
BATCHES_OF_A_PROCESS = 40
SECONDS_BETWEEN_WORDS = 120


def main() -> int:
    """Does what the arguments say."""
    options = _options()
    if options.again is not None:
        kind, number = options.again
        done = again(options.stage, kind, options.seed, int(number))
        for failure in done.failures:
            print(failure.what, failure.where, sep="\n")  # noqa: T201
        _lay(options.failures, done.failures or [Failure(options.stage, kind, options.seed, int(number), "", "")])
        print(f"{1e3 * done.slowest[0]:.0f} ms, {done.megabytes:.0f} MB, {len(done.failures)} failures")  # noqa: T201
        return bool(done.failures)
    done = run(options)
    if not options.unrecorded:
        record(options.stage, options.seed, done)
    return bool(done.failures)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("stage", choices=STAGES)
    parser.add_argument("count", type=int)
    parser.add_argument("seed", type=int)
    parser.add_argument("--minutes", type=float, default=inf, help="begin no more inputs after so many")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--failures", type=Path, default=Path("fuzz-failures"), help="where they are laid down")
    parser.add_argument("--again", nargs=2, metavar=("KIND", "NUMBER"), help="one input alone; COUNT does not matter")
    parser.add_argument("--unrecorded", action="store_true", help="leave RESULTS.md as it is")
    return parser.parse_args()


def run(options: argparse.Namespace) -> Tally:
    """All inputs, so many processes at a time."""
    done, spoken = Tally(), time.monotonic()
    context = get_context("spawn")
    with ProcessPoolExecutor(options.processes, context, _begin, max_tasks_per_child=BATCHES_OF_A_PROCESS) as pool:
        batches = _batches(options.count, spoken + 60 * options.minutes)
        waiting: set[Future[Tally]] = set()
        while True:
            # Few wait at a time, so that the first are not behind a thousand.
            for numbers in islice(batches, 2 * options.processes - len(waiting)):
                waiting.add(pool.submit(tally, options.stage, options.seed, numbers))
            if not waiting:
                break
            finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            for each in finished:
                batch = each.result()
                done.add(batch)
                _lay(options.failures, batch.failures)
            if time.monotonic() - spoken > SECONDS_BETWEEN_WORDS or not waiting:
                spoken = time.monotonic()
                _say(options.stage, done)
    _say(options.stage, done)
    return done


def _begin() -> None:
    # What an input leaves behind is a few megabytes; looking for it all the time takes a tenth of the work.
    gc.set_threshold(50_000, 20, 20)


def _batches(count: int, end: float) -> Iterator[range]:
    for start in range(0, count, BATCH):
        if time.monotonic() > end:
            return
        yield range(start, min(start + BATCH, count))


def _say(stage: str, done: Tally) -> None:
    kinds = Counter(failure.what.partition(":")[0] for failure in done.failures)
    print(  # noqa: T201
        f"{time.strftime('%H:%M:%S')} {stage}: {done.inputs} inputs, {done.seconds:.0f} s of work,"
        f" {1e3 * done.seconds / max(done.inputs, 1):.2f} ms each, the slowest {1e3 * done.slowest[0]:.0f} ms,"
        f" {done.megabytes:.0f} MB, {done.reached} as far as rules, {len(done.failures)} failures {dict(kinds) or ''}",
        flush=True,
    )


def _lay(folder: Path, failures: list[Failure]) -> None:
    """Each failure with its files, to be looked at and put through again."""
    for failure in failures:
        place = folder / f"{failure.stage}-{failure.kind}-{failure.seed}-{failure.number}"
        place.mkdir(parents=True, exist_ok=True)
        (place / "failure.json").write_text(json.dumps(asdict(failure), indent=1), "utf-8")
        for name, data in made(failure.kind, failure.seed, failure.number).files.items():
            (place / name).write_bytes(data)


if __name__ == "__main__":
    sys.exit(main())
