"""Texts without measure: whatever they hold, there is a short report within seconds."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from command import BURNING, PLAN, Command, lay
from report_format import hold

# Of this machine alone, however busy it is; the longest takes five. What grows with the square takes minutes.
SECONDS_OF_WORK = 20


def named(index: int) -> str:
    """A short name that starts with a letter: 200,000 of them have to fit in 2 MB."""
    digits = "0123456789abcdefghijklmnopqrstuvwxyz"
    return f"k{digits[index // 46656]}{digits[index // 1296 % 36]}{digits[index // 36 % 36]}{digits[index % 36]}"


def many(template: str, number: int) -> str:
    return "".join(template.replace("@", named(index)) for index in range(number))


def with_lamps(lamps: str) -> str:
    return PLAN.replace("lamps:\n", f"lamps:\n{lamps}")


def with_circuit(*elements: str) -> str:
    return BURNING.replace("circuit: [front headlamp]", f"circuit: [{', '.join(elements)}]")


BULB = "  @: {bulb: {voltage: 12 V, current: 40 mA}}\n"
ALLOWED = "  # lampwright: allow duplicate-key, unwired-lamp -- x\n"
BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{here}: &{here} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, here in zip("abcdefghijk", "bcdefghijkl", strict=True)
)

# What is written, and the rules that speak.
CASES: dict[str, tuple[Callable[[], str], set[str]]] = {
    "30 MB": (lambda: "a: b\n" * 6_000_000, {"unreadable-file"}),
    "an alias of what is around it": (lambda: f"{PLAN}always: &a [*a]\n", {"unsupported-yaml"}),
    "an alias bomb": (lambda: BOMB, {"unsupported-yaml", "unknown-key", "missing-key"}),
    "20,000 open brackets": (lambda: f"{PLAN}always: {'[' * 20_000}", {"unreadable-file"}),
    "20,000 pairs of brackets": (lambda: f"{PLAN}always: {'[' * 20_000}{']' * 20_000}\n", {"unreadable-file"}),
    "20,000 braces": (lambda: f"{PLAN}always: {'{a: ' * 20_000}", {"unreadable-file"}),
    "1,900 levels of blocks": (
        lambda: PLAN + "".join(f"{' ' * level}a:\n" for level in range(1_900)),
        {"unreadable-file"},
    ),
    "20,000 dashes": (lambda: f"{PLAN}always:\n  {'- ' * 20_000}", {"unreadable-file"}),
    "200,000 keys": (lambda: PLAN + many("@: 1\n", 200_000), {"unknown-key"}),
    "10,000 equal keys": (lambda: PLAN + "inside: 1\n" * 10_000, {"duplicate-key", "unknown-key"}),
    "200,000 items": (lambda: f"{PLAN}parts:\n" + "- x\n" * 200_000, {"unreadable-file"}),
    "10,000 resistors": (lambda: with_circuit(*["0 ohm"] * 10_000, "front headlamp"), {"unprotected-led"}),
    "10,000 times one lamp": (lambda: with_circuit("1 kohm", *["front headlamp"] * 10_000), {"twice-wired-lamp"}),
    "2,000 parallels": (
        lambda: with_circuit(*["{parallel: [[front headlamp], [1 kohm]]}"] * 2_000),
        {"twice-wired-lamp", "unprotected-led"},
    ),
    "2,000 unknown lamps among 2,000": (
        lambda: with_lamps(many(BULB, 2_000)).replace("[1.5 kohm 1/4 W, front", f"[{many('x@, ', 2_000)}front"),
        {"unknown-name"},
    ),
    "5,000 lamps, each excused": (
        lambda: with_lamps(many(ALLOWED + BULB, 5_000)),
        {"useless-allowance", "unwired-lamp"},
    ),
    "20,000 excuses for one lamp": (lambda: with_lamps(ALLOWED * 20_000), {"useless-allowance"}),
    "a key of 100,000 characters": (lambda: f"{PLAN}{'x' * 100_000}: 1\n", {"syntax-error"}),
    "a quoted key of 100,000 characters": (lambda: f"{PLAN}? '{'x' * 100_000}'\n: 1\n", {"unknown-key"}),
    "an unknown name of 100,000 characters": (lambda: with_circuit("x" * 100_000), {"unknown-name"}),
    "a number of 100,000 digits": (
        lambda: with_circuit("1" * 100_000 + " ohm", "front headlamp"),
        {"unreadable-quantity"},
    ),
    "a line of 100,000 characters": (
        lambda: PLAN.replace("14.5 V}", "14.5 V" + " " * 100_000 + ", x: 1}"),
        {"unknown-key"},
    ),
    "100,000 spaces at the end": (lambda: PLAN + " " * 100_000, set()),
    "100,000 empty lines and comments": (lambda: PLAN + "\n#\n" * 100_000, set()),
}


@pytest.mark.parametrize("case", CASES)
def test_a_text_without_measure_comes_to_an_end(command: Command, case: str) -> None:
    make, rules = CASES[case]
    lay({"a.lights.yaml": make()})
    start = time.process_time()
    outcome = command.json("a.lights.yaml")
    assert time.process_time() - start < SECONDS_OF_WORK
    hold(outcome.json, Path())
    findings = outcome.json["findings"]
    assert {finding["rule"] for finding in findings} == rules
    assert outcome.status == (1 if rules - {"useless-allowance", "unwired-lamp"} else 0)
    assert len(findings) <= 2 * 101 * max(1, len(rules))
    assert max((len(finding["message"]) for finding in findings), default=0) < 1_000


def test_the_text_of_such_a_report_is_short_too(command: Command) -> None:
    lay({"a.lights.yaml": with_circuit("x" * 100_000, "front headlamp") + many("@: 1\n", 2_000)})
    outcome = command("check")
    assert len(outcome.out) < 50_000
    assert max(map(len, outcome.out.splitlines())) < 300
