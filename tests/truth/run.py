"""Counts how often the rules find what is wrong and keep silent of what is right, and writes RESULTS.md.

`python tests/truth/run.py PLANS MUTATIONS SEED`, from the root; without arguments 5000, 20 and 1.
"""

from __future__ import annotations

import platform
import sys
import time
from concurrent.futures import ProcessPoolExecutor
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

from lampwright.comparing import with_fleet  # noqa: E402
from lampwright.diagnostics import Report, merge_reports  # noqa: E402
from lampwright.engine import settings_of  # noqa: E402
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
    """Of one rule. `undecided` are near misses of which it said that it cannot tell, so that silence proves nothing.

    `seconds` are those of a processor, the making of the texts included.
    """

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
    begun, tried, detected, alarms, undecided = time.process_time(), 0, 0, 0, 0
    for pair in made(TRIED[rule][1], rule, many, seed):
        wrong, near = said_of(pair.wrong), said_of(pair.near)
        tried += 1
        detected += any(found.rule == rule for found in wrong.findings)
        alarms += any(found.rule == rule for found in near.findings)
        undecided += any(item.rule == rule for item in near.undecided)
    return Count(tried, detected, alarms, undecided, time.process_time() - begun)


def findings_in_right_plans(numbers: range) -> list[str]:
    """What is said of the plans of these numbers, which are right: each a false alarm."""
    return [f"{number}: {each.rule}" for number in numbers for each in report(right_plan(number).text()).findings]


_AT_ONCE = 250
"""Plans in one go of a process."""


def main() -> None:
    """Counts everything, and writes it down."""
    plans, many, seed = (int(each) for each in (sys.argv[1:] or ["5000", "20", "1"]))
    starts = range(0, plans, _AT_ONCE)
    with ProcessPoolExecutor(2) as pool:
        right = [pool.submit(_right_plans, start, min(start + _AT_ONCE, plans), seed) for start in starts]
        pending = {rule.name: pool.submit(count, rule.name, many, seed) for rule in RULES if rule.name in TRIED}
        alarms = [each for found, _ in (part.result() for part in right) for each in found]
        took = sum(seconds for _, seconds in (part.result() for part in right))
        counts = {name: each.result() for name, each in pending.items()}
    (HERE / "RESULTS.md").write_text(_page(plans, many, seed, alarms, took, counts), encoding="utf-8")


def _right_plans(first: int, end: int, seed: int) -> tuple[list[str], float]:
    begun = time.process_time()
    found = findings_in_right_plans(range(seed * 1_000_000 + first, seed * 1_000_000 + end))
    return found, time.process_time() - begun


def _page(plans: int, many: int, seed: int, alarms: list[str], took: float, counts: dict[str, Count]) -> str:
    whole = list(counts.values())
    tools = ", ".join(f"{name} {version(name)}" for name in ("lampwright", "scipy", "pyyaml", "pint"))
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
            _of_right_plans(plans, alarms, took),
            (
                f"- Mutations: {sum(each.tried for each in whole)} of {len(counts)} rules,"
                f" {sum(each.detected for each in whole)} detected; as many near misses,"
                f" {sum(each.false_alarms for each in whole)} false alarms,"
                f" {sum(each.undecided for each in whole)} undecided;"
                f" in {sum(each.seconds for each in whole):.0f} s of a processor."
            ),
            "",
            (
                "Where a publisher has a figure or a table (the bulb's exponents, the highest track voltage, what an LED"
                " bears, preferred values, plugs and their contacts, wire colours, addresses, CVs, the function matrix,"
                " rates of strobes), the oracle has its own copy in `published.py` with the source;"
                " `test_constants.py` shows that another figure in the analysis would be seen."
            ),
            "",
            (
                "What this does not show. From memory on both sides, and so no proof that real parts obey: 52 mV for"
                " each factor e of an LED's current, ten ohms inside it, its test current of 10 mA, and among 8 to 15"
                " a filament ten times as cold; that a bulb at a rail settles at the effective voltage. From the"
                " language's page, which is ours: margins, the meter's 2 %, what is required and what is one look."
                " Circuits are resistors in series with LEDs or a bulb, in up to three branches on an output. Figures"
                " lie within 2 % of the point where the verdict changes, those of readings and of reverse voltages"
                " within 4 %. Where the verdict is *by construction*, or by how something was drawn or listed, whoever"
                " made the mutation knew the rule, and there is no judge outside: sizes that are implausible, shapes,"
                " and spellings are what the language says they are. An LED beside a branch that has a resistor,"
                " behind one that both share, is not tried: the rule lets it be. A near miss may have findings of"
                " other rules; only the rule itself must be silent."
            ),
            "",
            "| rule | verdict | mutations | detected | near misses | false alarms | undecided | seconds |",
            "|---|---|---|---|---|---|---|---|",
            *rows,
            "",
            "Not tried: "
            + ("; ".join(f"`{rule}`, {why}" for rule, why in EXCLUDED.items()) or "none of the rules")
            + ".",
            "",
        ]
    )


def _of_right_plans(plans: int, alarms: list[str], took: float) -> str:
    if not plans:
        return "- Right plans: not counted in this run."
    they = f" They are: {', '.join(alarms[:20])}." if alarms else ""
    return f"- Right plans: {plans}, with {len(alarms)} findings (each a false alarm), in {took:.0f} s of a processor.{they}"


if __name__ == "__main__":
    main()
