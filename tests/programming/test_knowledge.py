"""Truth that may be unknown, against the three-valued tables of Kleene's strong logic (from memory)."""

from __future__ import annotations

import pytest

from programming.knowledge import InterpreterError, Truth, Unknown, both, either, inverse

PERHAPS = Unknown("the value of CV38")


@pytest.mark.parametrize(
    ("left", "right", "conjunction", "disjunction"),
    [
        (True, True, True, True),
        (True, False, False, True),
        (True, PERHAPS, PERHAPS, True),
        (False, False, False, False),
        (False, PERHAPS, False, PERHAPS),
        (PERHAPS, PERHAPS, PERHAPS, PERHAPS),
    ],
)
def test_both_and_either(left: Truth, right: Truth, conjunction: Truth, disjunction: Truth) -> None:
    for parts in ([left, right], [right, left]):
        assert both(parts) == conjunction
        assert either(parts) == disjunction


def test_nothing_said() -> None:
    assert both([]) is True
    assert either([]) is False


def test_inverse() -> None:
    assert [inverse(True), inverse(False), inverse(PERHAPS)] == [False, True, PERHAPS]


def test_nobody_takes_unknown_for_an_answer() -> None:
    with pytest.raises(InterpreterError, match="not known: the value of CV38"):
        assert not PERHAPS
