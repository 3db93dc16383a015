"""Soaks the language server, and writes what came of it into RESULTS.md; the status is 1 if anything was amiss.

`python tests/soak/run.py MESSAGES SEED`: a life of so many messages, held against the command again and again.
`python tests/soak/run.py --inputs COUNT SEED`: so many inputs of the fuzzer, each judged and asked about.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
if str(HERE) not in sys.path or str(HERE.parent) not in sys.path:
    sys.path[:0] = [str(HERE), *(str(HERE.parent / each) for each in ("fuzz", "hostile", "."))]

from soak_inputs import Passed, pass_through  # noqa: E402
from soak_results import record_inputs, record_life  # noqa: E402
from soak_session import Outcome, soak  # noqa: E402


def main() -> int:
    """Does what the arguments say."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int, metavar="MESSAGES")
    parser.add_argument("seed", type=int)
    parser.add_argument("--inputs", action="store_true", help="inputs of the fuzzer instead of messages")
    parser.add_argument("--every", type=int, default=5000, help="messages between two comparisons")
    parser.add_argument(
        "--minutes", type=float, default=1e9, help="after which a life ends, however many messages there were"
    )
    parser.add_argument("--failures", type=Path, default=Path("soak-failures"), help="where texts are laid down")
    parser.add_argument("--unrecorded", action="store_true", help="leave RESULTS.md as it is")
    options = parser.parse_args()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        if options.inputs:
            passed = pass_through(options.count, options.seed, Path(folder).resolve(), _tell_inputs)
            faults = passed.faults
        else:
            manner = {"every": options.every, "failures": options.failures, "tells": _tell, "minutes": options.minutes}
            outcome = soak(options.count, options.seed, Path(folder), **manner)
            faults = outcome.faults
    hours = (time.monotonic() - began) / 3600
    if not options.unrecorded:
        record_inputs(options.seed, passed, hours) if options.inputs else record_life(outcome, hours)
    for fault in faults:
        print(fault)  # noqa: T201
    return bool(faults)


def _tell(outcome: Outcome) -> None:
    messages, megabytes = outcome.memory[-1]
    words = f"{messages:,} messages, {megabytes:.0f} MB, {outcome.compared[-1]} findings compared"
    print(f"{time.strftime('%H:%M:%S')} {words}, {len(outcome.faults)} faults", flush=True)  # noqa: T201


def _tell_inputs(passed: Passed) -> None:
    words = f"{passed.inputs:,} inputs, {passed.megabytes:.0f} MB, the slowest {passed.slowest}"
    print(f"{time.strftime('%H:%M:%S')} {words}, {len(passed.faults)} faults", flush=True)  # noqa: T201


if __name__ == "__main__":
    sys.exit(main())
