"""The measurements work, and their tables say what was promised and whether it holds."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from bench.measuring import Counts, Figure, Measured, Turns, figures_table, own_seconds
from recorded import promised, withstood

COMMAND = Path(__file__).parent / "bench" / "figures.py"
# The others start check-jsonschema, which takes four seconds where all that it can use is installed.
PARTS = ("reading", "editing", "electricity", "growth", "fleet")


@pytest.mark.parametrize(
    ("figure", "row"),
    [
        (Figure("a", 120.0, against="b", peer=80.0, most=1.5), ("a", "120 ms", "80 ms, b", "1.5", "≤ 1.5", "yes")),
        (Figure("a", 121.0, against="b", peer=80.0, most=1.5), ("a", "121 ms", "80 ms, b", "1.51", "≤ 1.5", "**NO**")),
        (Figure("a", 0.0123, "s", "b", 1234.5), ("a", "0.0123 s", "1,234 s, b", "9.96e-06", "–", "–")),
        (Figure("a", 10.0, most=10), ("a", "10 ms", "–", "–", "≤ 10 ms", "yes")),
        (Figure("a", 10.1, most=10), ("a", "10.1 ms", "–", "–", "≤ 10 ms", "**NO**")),
        (Figure("a", 10.0, against="b", most=1.0), ("a", "10 ms", "–, b", "–", "≤ 1", "not measured")),
        (Figure("a", 10.0, "MB"), ("a", "10 MB", "–", "–", "–", "–")),
    ],
)
def test_a_row_says_whether_what_is_promised_holds(figure: Figure, row: tuple[str, ...]) -> None:
    assert figure.row == row


def test_only_what_is_promised_goes_into_the_readme() -> None:
    figures = [
        Figure("free", 1.0),
        Figure("held", 1.0, most=1),
        Figure("broken", 2.0, most=1),
        Figure("lost", 1.0, "ms", "b", None, 1),
    ]
    page = "\n".join(
        ["# All", "<!-- figures -->", *figures_table({"part": Measured(figures)}), "<!-- end -->", "| x | y |"]
    )
    assert [line.split(" | ")[0] for line in promised(page)] == ["| what", "| ---", "| held", "| broken", "| lost"]


def test_a_record_is_summed_up_by_its_list_or_its_table() -> None:
    table = "| stage | inputs | seed | broken promises |\n|---|---|---|---|\n| reader | 3,000 | 1 | 0 |\n| rules | 200 | 1 | 2 |\n"
    assert (
        withstood("a.md", f"# Faults\n\n- Plans: 5.\n- Faults: 7.\n\n{table}\n- Not tried\n")
        == "- [Faults](a.md): Plans: 5. Faults: 7."
    )
    assert withstood("a.md", f"# Fuzzed\n\nWords.\n\n{table}\nMore.\n") == (
        "- [Fuzzed](a.md): Reader: 3,000 inputs, 0 broken promises. Rules: 200 inputs, 2 broken promises."
    )
    sums = "| what | figure |\n|---|---|\n| client | 7 |\n| messages | 50,000 |\n| not as it should be | 0 |\n"
    kinds = "| messages | MB |\n|---|---|\n| 10,000 | 50 |\n"
    assert withstood("a.md", f"# Soaked\n\n## A life\n\n{sums}\n{kinds}\n## Another\n\n{sums}") == (
        "- [Soaked](a.md): A life: 50,000 messages, 0 not as it should be. Another: 50,000 messages, 0 not as it should be."
    )
    assert withstood("a.md", "# Nothing yet\n") == "- [Nothing yet](a.md)"


def test_what_warms_up_does_not_count() -> None:
    turns, done = Turns(), []
    turns.take(Counts(warming=2), 3, lambda: turns.time("a", lambda: done.append(1)))
    assert (len(done), len(turns.seconds["a"])) == (5, 3)


def test_short_work_is_timed_many_times() -> None:
    done = []
    seconds = own_seconds(lambda: done.append(sum(range(100))), 2)
    assert len(done) > 100
    assert 0 < seconds < 0.001


def test_the_command_works_in_small() -> None:
    line = [sys.executable, str(COMMAND), "--quick", *(word for part in PARTS for word in ("--only", part))]
    ended = subprocess.run(line, capture_output=True, text=True, check=False, timeout=600)
    assert ended.returncode == 0, ended.stderr
    rows = promised(ended.stdout)
    assert len(rows) > 8
    assert all(f"\n## {part.capitalize()}\n" in ended.stdout for part in PARTS)
