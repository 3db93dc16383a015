"""Keeps RESULTS.md: what stands between two marks is written anew by each run, the rest stays."""

from __future__ import annotations

import platform
import re
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from soak_inputs import Passed
from soak_session import Outcome

PAGE = Path(__file__).parent / "RESULTS.md"


def record_life(outcome: Outcome, hours: float) -> None:
    """What a life of the server showed."""
    account = outcome.account
    sums = [
        ("client", outcome.words),
        ("messages", f"{account.messages:,}"),
        ("hours", f"{hours:.2f}, of which the server's processor time {outcome.seconds / 3600:.2f}"),
        ("answers", ", ".join(f"{code} {count:,}" for code, count in account.answers.most_common())),
        ("findings compared", f"{sum(outcome.compared):,} in {len(outcome.compared)} comparisons"),
        ("memory after the first fifth, and growth", f"{_after_first_fifth(outcome):.0f} MB, {outcome.growth:+.0f} MB"),
        ("not as it should be", f"{len(outcome.faults)}"),
        ("when", _when()),
    ]
    slowest = sorted(account.slowest.items(), key=lambda each: -each[1])[:8]
    tables = [
        _table(("what", "figure"), sums),
        _table(("messages", "MB"), ((f"{messages:,}", f"{megabytes:.1f}") for messages, megabytes in outcome.memory)),
        _table(("slowest answers", "seconds on the clock"), ((name, f"{seconds:.2f}") for name, seconds in slowest)),
        _table(("messages by kind", "sent"), ((kind or "(no name)", f"{count:,}") for kind, count in account.sent.most_common())),
    ]  # fmt: skip
    _write(f"life {outcome.seed}", "\n\n".join(tables))


def _after_first_fifth(outcome: Outcome) -> float:
    return outcome.memory[-1][1] - outcome.growth


def record_inputs(seed: int, passed: Passed, hours: float) -> None:
    """What the inputs of the fuzzer showed."""
    seconds, what, number = passed.slowest
    sums = [
        ("inputs", f"{passed.inputs:,}"),
        ("messages", f"{passed.account.messages:,}"),
        ("hours", f"{hours:.2f}, of which the server's processor time {passed.seconds / 3600:.2f}"),
        ("slowest answer, processor time", f"{1e3 * seconds:.0f} ms ({what} {number})"),
        ("slowest answer, on the clock", f"{1e3 * passed.waited:.0f} ms"),
        ("largest memory", f"{passed.megabytes:.0f} MB"),
        ("not as it should be", f"{len(passed.faults)}"),
        ("when", _when()),
    ]
    _write(f"inputs {seed}", _table(("what", "figure"), sums))


def _when() -> str:
    return f"{datetime.now(UTC):%Y-%m-%d}, Python {platform.python_version()}"


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    return "\n".join(f"| {' | '.join(row)} |" for row in (head, ("---", "--:"), *rows))


def _write(name: str, tables: str) -> None:
    """Put the tables of a run in the place of those of its name, or at the end."""
    text = PAGE.read_text("utf-8")
    kind, seed = name.split()
    head = f"## {'A life' if kind == 'life' else 'Inputs of the fuzzer'}, seed {seed}"
    fresh = f"<!-- {name} -->\n\n{head}\n\n{tables}\n\n<!-- end -->"
    place = re.compile(rf"<!-- {name} -->\n.*?<!-- end -->", re.DOTALL)
    text = place.sub(lambda _: fresh, text) if place.search(text) else f"{text.rstrip()}\n\n{fresh}\n"
    PAGE.write_text(text, "utf-8")
