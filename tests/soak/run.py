"""Soaks the language server: `python tests/soak/run.py MESSAGES SEED`; the status is 1 if anything was not as it should be."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from soak_session import Outcome, soak


def main(messages: int, seed: int) -> int:
    with tempfile.TemporaryDirectory() as folder:
        outcome = soak(messages, seed, Path(folder), tells=_tell)
    print(outcome.words, outcome.seconds, outcome.elapsed, outcome.growth)
    print(outcome.account.sent.most_common())
    print(outcome.account.answers, outcome.account.logged)
    print(sorted(outcome.account.slowest.items(), key=lambda each: -each[1])[:6])
    for fault in outcome.faults[:40]:
        print(fault)
    return 1 if outcome.faults else 0


def _tell(outcome: Outcome) -> None:
    print(*outcome.memory[-1], outcome.compared[-1], len(outcome.faults), flush=True)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
