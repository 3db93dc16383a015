"""Data classes that are compiled at the first object are like those of the standard library in all that is used here."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from typing import ClassVar

import pytest

from lampwright.records import dataclass, field


@dataclass(frozen=True, slots=True)
class Late:
    """A class with all that the classes of this program have."""

    kind: ClassVar[str] = "late"
    first: int
    second: str = "b"
    third: tuple[int, ...] = field(default_factory=tuple)

    @property
    def both(self) -> str:
        return f"{self.first}{self.second}"


@dataclasses.dataclass(frozen=True, slots=True)
class Standard:
    """The same."""

    kind: ClassVar[str] = "late"
    first: int
    second: str = "b"
    third: tuple[int, ...] = dataclasses.field(default_factory=tuple)


@dataclass(slots=True)
class Changeable:
    value: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class Identical:
    value: int


@dataclass(frozen=True, slots=True, order=True)
class Ordered:
    value: int


@dataclass(frozen=True)
class Roomy:
    value: int


@dataclass(frozen=True, slots=True)
class Extended(Late):
    fourth: int = 4


@dataclass(frozen=True, slots=True)
class Checked:
    value: int

    def __post_init__(self) -> None:
        if self.value < 0:
            raise ValueError(self.value)


def test_a_class_is_complete_at_its_first_object() -> None:
    one = Late(1)
    assert (one.first, one.second, one.third, one.kind, one.both) == (1, "b", (), "late", "1b")
    assert [field.name for field in dataclasses.fields(one)] == [field.name for field in dataclasses.fields(Standard)]
    assert repr(one) == repr(Standard(1)).replace("Standard", "Late")
    assert one == Late(1) != Late(2)
    assert hash(one) == hash(Late(1)) == hash(Standard(1))
    assert dataclasses.replace(one, second="c") == Late(1, "c")
    assert Late.__match_args__ == Standard.__match_args__


def test_it_is_frozen_and_has_no_room_for_more() -> None:
    one = Late(1)
    assert not hasattr(one, "__dict__")
    for change in (lambda: setattr(one, "first", 2), lambda: delattr(one, "first"), lambda: setattr(one, "fifth", 2)):
        with pytest.raises((dataclasses.FrozenInstanceError, AttributeError, TypeError)):
            change()
    with pytest.raises(TypeError):
        Late()
    with pytest.raises(TypeError):
        Late(1, nobody=2)


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda one: pickle.loads(pickle.dumps(one))])  # noqa: S301
def test_it_can_be_copied_and_sent(again) -> None:
    assert again(Late(1, "c", (2, 3))) == Late(1, "c", (2, 3))


def test_what_else_the_decorator_can_do() -> None:
    changeable = Changeable()
    changeable.value = 2
    assert changeable == Changeable(2)
    assert Identical(1) != Identical(1)
    assert sorted([Ordered(2), Ordered(1)]) == [Ordered(1), Ordered(2)]
    assert Roomy(1) == Roomy(1)
    assert Extended(1, fourth=5).both == "1b"
    assert Checked(1).value == 1
    with pytest.raises(ValueError, match="-1"):
        Checked(-1)


def test_patterns_ask_before_any_object_is_made() -> None:
    @dataclass(frozen=True, slots=True)
    class Unborn:
        value: int

    match Late(1):
        case Unborn(value=_):
            raise AssertionError
        case Late(first=first):
            assert first == 1
