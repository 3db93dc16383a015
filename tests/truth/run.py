"""Counts how often the rules find what is wrong and keep silent of what is right, and writes RESULTS.md.

`python tests/truth/run.py PLANS MUTATIONS SEED`, from the root; without arguments 5000, 20 and 1.
"""

from __future__ import annotations

import platform
import sys
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

HERE = Path(__file__).parent
if str(HERE.parent) not in sys.path:
    sys.path[:0] = [str(HERE), str(HERE.parent)]

import bytes_of_looks  # noqa: E402
import conventions  # noqa: E402
import cv_numbers  # noqa: E402
import effects  # noqa: E402
import fleets  # noqa: E402
import keys_rewritten  # noqa: E402
import mappings  # noqa: E402
import meters  # noqa: E402
import mutations  # noqa: E402
import plugs  # noqa: E402
import regulators  # noqa: E402
import returns  # noqa: E402
import sharing  # noqa: E402
import spellings  # noqa: E402
import texts  # noqa: E402
import wiring  # noqa: E402
from plans import right_plan  # noqa: E402
from trials import Case, Maker, made  # noqa: E402

from lampwright.diagnostics import Report, merge_reports  # noqa: E402
from lampwright.engine import settings_of  # noqa: E402
from lampwright.engine.fleet import with_fleet  # noqa: E402
from lampwright.rules import RULES  # noqa: E402
from lampwright.text import Source  # noqa: E402
from seam import report  # noqa: E402

_MODULES = (
    spellings,
    texts,
    wiring,
    sharing,
    plugs,
    returns,
    mutations,
    regulators,
    meters,
    keys_rewritten,
    conventions,
    effects,
    bytes_of_looks,
    mappings,
    cv_numbers,
    fleets,
)

TRIED: dict[str, tuple[str, Maker]] = {rule: maker for each in _MODULES for rule, maker in each.MAKERS.items()}
"""How the verdict about its mutations comes about, and what makes them, by rule."""

EXCLUDED: dict[str, str] = {}
"""Rules that are not tried here, and why; all of them have tests of their own elsewhere."""


@dataclass(frozen=True)
class Count:
    """Of one rule. `undecided` are near misses of which it said that it cannot tell, so that silence proves nothing."""

    tried: int
    detected: int
    false_alarms: int
    undecided: int
    seconds: float


def said_of(case: Case) -> Report:
    """All that is found in it."""
    settings = settings_of(Source("lampwright.yaml", case.settings)) if case.settings is not None else None
    reports = [
        report(text, f"plan {number}.lights.yaml", case.files, settings) for number, text in enumerate(case.plans)
    ]
    return with_fleet(merge_reports(reports))


def count(rule: str, many: int, seed: int) -> Count:
    """Tries so many mutations for `rule`."""
    begun, tried, detected, alarms, undecided = time.perf_counter(), 0, 0, 0, 0
    for pair in made(TRIED[rule][1], rule, many, seed):
        wrong, near = said_of(pair.wrong), said_of(pair.near)
        tried += 1
        detected += any(found.rule == rule for found in wrong.findings)
        alarms += any(found.rule == rule for found in near.findings)
        undecided += any(item.rule == rule for item in near.undecided)
    return Count(tried, detected, alarms, undecided, time.perf_counter() - begun)


def findings_in_right_plans(many: int, seed: int) -> list[str]:
    """What is said of so many plans that are right: each a false alarm."""
    numbers = range(seed * 1_000_000, seed * 1_000_000 + many)
    return [f"{number}: {each.rule}" for number in numbers for each in report(right_plan(number).text()).findings]


def main() -> None:
    """Counts everything, and writes it down."""
    plans, many, seed = (int(each) for each in (sys.argv[1:] or ["5000", "20", "1"]))
    begun = time.perf_counter()
    alarms = findings_in_right_plans(plans, seed)
    took = time.perf_counter() - begun
    counts = {rule.name: count(rule.name, many, seed) for rule in RULES if rule.name in TRIED}
    (HERE / "RESULTS.md").write_text(_page(plans, many, seed, alarms, took, counts), encoding="utf-8")


def _page(plans: int, many: int, seed: int, alarms: list[str], took: float, counts: dict[str, Count]) -> str:
    whole = list(counts.values())
    tools = ", ".join(f"{name} {version(name)}" for name in ("lampwright", "scipy"))
    rows = [
        f"| {rule} | {TRIED[rule][0]} | {each.tried} | {each.detected} | {each.tried} | {each.false_alarms} |"
        f" {each.undecided} | {each.seconds:.1f} |"
        for rule, each in counts.items()
    ]
    return "\n".join(
        [
            "# Seeded faults",
            "",
            (
                f"Written by `python tests/truth/run.py {plans} {many} {seed}` on {datetime.now(UTC):%Y-%m-%d}, with"
                f" {tools}, Python {platform.python_version()}."
            ),
            "",
            f"- Right plans: {plans}, with {len(alarms)} findings (each a false alarm), in {took:.0f} s."
            + (f" They are: {', '.join(alarms[:20])}." if alarms else ""),
            (
                f"- Mutations: {sum(each.tried for each in whole)} of {len(counts)} rules,"
                f" {sum(each.detected for each in whole)} detected; as many near misses,"
                f" {sum(each.false_alarms for each in whole)} false alarms,"
                f" {sum(each.undecided for each in whole)} undecided;"
                f" in {sum(each.seconds for each in whole):.0f} s."
            ),
            "",
            (
                "What this does not show: the oracle takes laws and constants of lamps from `law.py`, so that it"
                " proves the arithmetic and the verdicts, not that a real LED obeys them. Circuits are resistors in series"
                " with LEDs or a bulb, in up to two branches on an output. Figures lie within 2 % of the point where the"
                " verdict changes. Where the verdict is *by construction*, whoever made the mutation knew the rule: it"
                " shows that the rule speaks, and of what kind of text, and is no independent judgement. A near miss"
                " may have findings of other rules; only the rule itself must be silent."
            ),
            "",
            "| rule | verdict | mutations | detected | near misses | false alarms | undecided | seconds |",
            "|---|---|---|---|---|---|---|---|",
            *rows,
            "",
            "Not tried:",
            "",
            *[f"- `{rule}`: {why}." for rule, why in EXCLUDED.items()],
            "",
        ]
    )


if __name__ == "__main__":
    main()
