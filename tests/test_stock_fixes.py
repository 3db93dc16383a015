"""What a fix offers beside the next preferred value: what lies in stock, and two resistors where one will not do."""

from __future__ import annotations

import pytest

from lampwright.analysis.resistors.pairing import equal_pairs, pairs_of
from lampwright.diagnostics import Finding
from lampwright.text import apply
from rule_cases import ADVICE
from seam import report

FILE = "club.parts.yaml"


def plan(circuit: str, limit: str = "400 mA") -> str:
    return (
        "vehicle: {name: Tipper 9}\nsupply: {track: 13 V to 16 V}\n"
        f"decoder: {{common: {{drop: 1.4 V}}, outputs: {{white: {{number: 1, limit: {limit}, surge: 2 A}}}}}}\n"
        f"parts: [{FILE}]\nlamps:\n"
        "  lamp: {led: {forward-voltage: 3.0 V, current: 10 mA, maximum-current: 20 mA}}\n"
        f"outputs:\n  white: {{circuit: {circuit}}}\nkeys: {{}}\n"
    )


def drawer(**counts: int) -> dict[str, str]:
    """A catalogue; its counts by names such as `r1500_quarter`."""
    ratings = {"eighth": "1/8 W", "quarter": "1/4 W", "half": "1/2 W", "two": "2 W"}
    lines = []
    for name, count in counts.items():
        ohms, rating = name.removeprefix("r").split("_")
        lines.append(f"  - {{value: {ohms} ohm, rating: {ratings[rating]}, stock: {count}}}\n")
    return {FILE: f"parts-catalogue: 1\nresistors:{' []' if not lines else ''}\n{''.join(lines)}"}


def found(rule: str, circuit: str, files: dict[str, str]) -> Finding:
    return next(each for each in report(plan(circuit), files=files).findings if each.rule == rule)


def circuits(rule: str, circuit: str, files: dict[str, str]) -> dict[str, str]:
    """What each fix makes of the circuit, by its title; none may leave a fault of the circuit, or make one."""
    finding = found(rule, circuit, files)
    made = {}
    for fix in finding.fixes:
        text = apply(finding.span.source, fix.edits)
        left = {each.rule for each in report(text, files=files).findings} - ADVICE
        assert left == set(), fix.title
        made[fix.title] = text.partition("circuit: ")[2].partition("}\nkeys")[0]
    return made


# 13.6 V less 3 V over 10 mA are 1.06 kohm, at 13.1 V in the usual corner: 1.2 kohm of E12, in the hot corner 130 mW.
@pytest.mark.parametrize(
    ("files", "others"),
    [
        # What lies in stock with a rating that will do is the one fix.
        (drawer(r1200_quarter=5), {}),
        (drawer(r1200_eighth=5, r1500_quarter=5), {"Use 1.5 kohm 1/4 W, from stock": "[1.5 kohm 1/4 W, lamp]"}),
        (drawer(r1500_quarter=5), {"Use 1.5 kohm 1/4 W, from stock": "[1.5 kohm 1/4 W, lamp]"}),
        # None left.
        (drawer(r1500_quarter=0, r680_eighth=9), {"Use 680 ohm 1/8 W and 680 ohm 1/8 W in series, from stock": "[{series: [680 ohm 1/8 W, 680 ohm 1/8 W]}, lamp]"}),
        (drawer(r2700_eighth=9), {"Use 2.7 kohm 1/8 W and 2.7 kohm 1/8 W side by side, from stock": "[{parallel: [[2.7 kohm 1/8 W], [2.7 kohm 1/8 W]]}, lamp]"}),
        # Too far away, or too weak.
        (drawer(r10000_quarter=9), {}),
        (drawer(r470_eighth=9), {}),
        ({FILE: "parts-catalogue: 1\n"}, {}),
    ],
)  # fmt: skip
def test_what_lies_in_stock(files: dict[str, str], others: dict[str, str]) -> None:
    made = circuits("overdriven-led", "[470 ohm 1 W, lamp]", files)
    first, *rest = made.items()
    assert first[0].startswith("Use 1.2 kohm")
    assert dict(rest) == others


def test_two_share_the_heat_that_one_cannot_stand() -> None:
    files = drawer(r560_quarter=10, r1000_eighth=10)
    made = circuits("overheated-resistor", "[1 kohm 1/8 W, lamp]", files)
    assert made == {
        "Use one rated for 1/2 W": "[1 kohm 1/2 W, lamp]",
        "Use 560 ohm 1/4 W and 560 ohm 1/4 W in series, from stock": "[{series: [560 ohm 1/4 W, 560 ohm 1/4 W]}, lamp]",
    }


def test_no_leaded_resistor_stands_it_but_two_do() -> None:
    # 14.6 V over 22 ohm are 9.7 W, of which each of two has a half: too much for 5 W at half of its rating; over
    # 47 ohm they are 4.5 W.
    text = plan("[47 ohm 5 W]", limit="2 A")
    finding = next(each for each in report(text, files=drawer()).findings if each.rule == "overheated-resistor")
    assert [fix.title for fix in finding.fixes] == ["Use 27 ohm 5 W and 27 ohm 5 W in series"]
    assert "needs more than any leaded resistor stands" in finding.message


def test_an_unprotected_led_gets_what_lies_in_stock() -> None:
    made = circuits("unprotected-led", "[lamp]", drawer(r1500_quarter=5))
    assert made == {
        "Put in 1.2 kohm 1/4 W": "[1.2 kohm 1/4 W, lamp]",
        "Put in 1.5 kohm 1/4 W, from stock": "[1.5 kohm 1/4 W, lamp]",
    }


def test_the_usual_light_stays_where_only_heat_is_cured() -> None:
    # 1.5 kohm would carry its heat, but the lamp would lose a third of its current.
    made = circuits("overheated-resistor", "[1 kohm 1/8 W, lamp]", drawer(r1500_quarter=5))
    assert list(made) == ["Use one rated for 1/2 W"]


# --- Pairs ------------------------------------------------------------------------------------------------------------


def test_pairs_come_close_and_never_below() -> None:
    values = [100.0, 220.0, 470.0, 1000.0, 2200.0]
    for least in (110.0, 300.0, 500.0, 690.0, 1200.0):
        totals = [pair.total for pair in pairs_of(values, least)]
        assert totals == sorted(totals)
        assert all(least * (1 - 1e-9) <= total <= 1.25 * least for total in totals)


def test_pair_of_parallel_resistors_is_their_harmonic_sum() -> None:
    (pair,) = [pair for pair in pairs_of([470.0, 2200.0], 387.0) if not pair.is_series]
    assert pair.total == pytest.approx(1 / (1 / 470 + 1 / 2200))


def test_equal_pairs_are_preferred_values() -> None:
    in_series, side_by_side = equal_pairs("E12", 1000.0)
    assert (in_series.resistances, side_by_side.resistances) == ((560.0, 560.0), (2200.0, 2200.0))
