"""That rules find what an oracle calls wrong, and are silent of what it calls right.

LAMPWRIGHT_PLANS=5000 in the environment asks for more plans, and for twenty mutations of each rule instead of three.
"""

from __future__ import annotations

import os

import pytest
from mutations import KNOBS, REWRITES
from oracle import JUDGED
from run import EXCLUDED, count, findings_in_right_plans
from texts import SPOILED

from lampwright.rules import RULES

PLANS = int(os.environ.get("LAMPWRIGHT_PLANS", "150"))
MUTATIONS = 20 if PLANS > 1000 else 3


def test_of_right_plans_nothing_is_said() -> None:
    assert findings_in_right_plans(PLANS, 0) == []


@pytest.mark.parametrize("rule", [rule.name for rule in RULES if rule.name not in EXCLUDED])
def test_what_is_wrong_is_found_and_what_nearly_is_wrong_is_not(rule: str) -> None:
    counted = count(rule, MUTATIONS, 0)
    assert (counted.detected, counted.false_alarms) == (MUTATIONS, 0)


def test_every_rule_is_tried_or_excluded_with_a_reason() -> None:
    names = {rule.name for rule in RULES}
    assert names == {*JUDGED, *SPOILED, *EXCLUDED}
    assert not EXCLUDED.keys() & {*JUDGED, *SPOILED}
    assert set(JUDGED) == {*KNOBS, *REWRITES, "no-preferred-value"}
