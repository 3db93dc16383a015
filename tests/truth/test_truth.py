"""That rules find what an oracle calls wrong, and are silent of what it calls right.

LAMPWRIGHT_PLANS=5000 in the environment asks for more plans, and for twenty mutations of each rule instead of three.
"""

from __future__ import annotations

import os

import pytest
from run import EXCLUDED, TRIED, count, findings_in_right_plans

from lampwright.rules import RULES

PLANS = int(os.environ.get("LAMPWRIGHT_PLANS", "150"))
MUTATIONS = 20 if PLANS > 1000 else 3


def test_of_right_plans_nothing_is_said() -> None:
    assert findings_in_right_plans(range(PLANS)) == []


@pytest.mark.parametrize("rule", TRIED)
def test_what_is_wrong_is_found_and_what_nearly_is_wrong_is_not(rule: str) -> None:
    counted = count(rule, MUTATIONS, 0)
    assert (counted.detected, counted.false_alarms) == (MUTATIONS, 0)


def test_every_rule_is_tried_or_excluded_with_a_reason() -> None:
    assert {rule.name for rule in RULES} == {*TRIED, *EXCLUDED}
    assert not TRIED.keys() & EXCLUDED.keys()
