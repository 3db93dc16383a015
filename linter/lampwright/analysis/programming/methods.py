"""Which mapping method a decoder has, and how all outputs of a plan are said in it together.

Outputs that share a condition field, or rows with a key that forbids, are settled together; all others one by one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Protocol

from lampwright.analysis.programming.by_function import ByFunction
from lampwright.analysis.programming.claims import Claim, PageNumber
from lampwright.analysis.programming.fields import FieldIdentity, Option
from lampwright.analysis.programming.matrix import FunctionMatrix
from lampwright.analysis.programming.rcn_pages import ByOutputMatrix, ByOutputNumbers, ByOutputStates
from lampwright.analysis.programming.space import FALSE, Formula, Space
from lampwright.analysis.programming.terms import Task, Term
from lampwright.analysis.programming.wishes import Said
from lampwright.model.decoder import Decoder
from lampwright.model.keys import HIGHEST_KEY
from lampwright.records import dataclass, field


class Method(Protocol):
    """What every method can do."""

    @property
    def is_second_hand(self) -> bool:
        """Whether the standard behind it was not read."""

    @property
    def last_key(self) -> int:
        """The last key that can be named."""

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output that a key can turn on; None for a key that cannot be named."""

    def reaches(self, key: int, output: int) -> bool:
        """Whether it can name that key and output together."""

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output by these keys."""

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, but nothing of those that are `left_open`."""

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs with these values say."""


@dataclass(frozen=True, slots=True)
class Fixed:
    """No mapping at all: by output number, when the decoder lights it."""

    lit: Mapping[int, Formula]

    page: PageNumber | None = None

    @property
    def is_second_hand(self) -> bool:
        """The sheet says all."""
        return False

    @property
    def last_key(self) -> int:
        """It is not a matter of names either."""
        return HIGHEST_KEY

    def window(self, key: int) -> tuple[int, int] | None:  # noqa: ARG002  # there are no bits
        """There are no bits."""
        return None

    def reaches(self, key: int, output: int) -> bool:  # noqa: ARG002  # whatever it does not do is no matter of reach
        """It is not a matter of bits."""
        return True

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:  # noqa: ARG002  # there is no choice
        """Nothing can be said."""
        return []

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """No terms where it does what the plan says anyway."""
        lights = space.both(self.lit.get(task.number, FALSE), task.within)
        return () if lights == task.lit else None

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:  # noqa: ARG002  # the same
        """Nothing is programmed."""
        return []

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:  # noqa: ARG002  # the same
        """Nothing is in a CV."""
        return {}


def method_of(decoder: Decoder, space: Space) -> Method | None:
    """The method of a decoder, None where its sheet does not say, or not readably."""
    mapping = decoder.mapping
    highest = decoder.highest_key.value if decoder.highest_key is not None else None
    numbers = {name: output.number.value for name, output in decoder.outputs.items() if output.number is not None}
    match mapping.method if mapping is not None else None:
        case "function-matrix":
            assert mapping is not None
            return FunctionMatrix(mapping, highest)
        case "by-function":
            return ByFunction(highest, frozenset(numbers.values()))
        case "by-output-matrix":
            return ByOutputMatrix(highest)
        case "by-output-numbers":
            return ByOutputNumbers(highest)
        case "by-output-states":
            return ByOutputStates(highest)
        case "fixed":
            return _fixed(decoder, numbers, space)
    return None


def _fixed(decoder: Decoder, numbers: Mapping[str, int], space: Space) -> Fixed | None:
    assert decoder.mapping is not None
    lit: dict[int, list[Formula]] = {}
    for fact in space.own_facts(decoder.mapping.fixed):
        if fact.formula is None:
            return None
        for output in fact.outputs:
            if output in numbers:
                lit.setdefault(numbers[output], []).append(fact.formula)
    return Fixed({number: space.any_of(formulas) for number, formulas in lit.items()})


@dataclass(frozen=True, slots=True)
class Wanted:
    """When an output is to be lit, what its registers could add, and the keys under which the plan has it.

    `lit` is in one space what is `said` in all. Two outputs of a sheet may have one number, by mistake.
    """

    name: str
    number: int
    lit: Formula
    options: Sequence[Option]
    keys: frozenset[int]
    said: Said


@dataclass(frozen=True, slots=True)
class Way:
    """How an output is said: the terms of the mapping and the codes of its condition fields."""

    terms: tuple[Term, ...]
    option: Option


Group = tuple[Wanted, ...]
"""Outputs that share their condition fields."""


def ways(method: Method, group: Group, space: Space) -> tuple[Way, ...] | None:
    """A way for each output of a group, in which a field that they share has one code; None if there is none."""
    return _Search(method, space).ways(group, {})


Question = tuple[bool, tuple[tuple[str, Said], ...]]
"""A group of outputs by their names in the sheet, and what is said of them, in a vehicle that is reversed or not."""

Known = dict[Question, tuple[tuple[tuple[tuple[Term, ...], int], ...] | None, int]]
"""The ways of groups, by terms and the number of the option, and the steps that it took to find them."""

_MOST_KNOWN = 128


def known_ways(method: Method, group: Group, space: Space, known: Known) -> tuple[Way, ...] | None:
    """`ways`, found once for all plans that say the same of these outputs to one decoder, whose are all `known`.

    What is known takes the steps that it took, so that nothing is decided that was not.
    """
    question = space.is_reversed, tuple([(wanted.name, wanted.said) for wanted in group])
    before = known.get(question)
    if before is not None:
        space.spend(before[1])
        return None if before[0] is None else tuple(map(_way, before[0], group))
    found, steps = space.counted(lambda: ways(method, group, space))
    if len(known) >= _MOST_KNOWN:
        known.clear()
    told = None if found is None else tuple([_told(way, wanted) for way, wanted in zip(found, group, strict=True)])
    known[question] = told, steps
    return found


def _told(way: Way, wanted: Wanted) -> tuple[tuple[Term, ...], int]:
    return way.terms, next(number for number, option in enumerate(wanted.options) if option is way.option)


def _way(told: tuple[tuple[Term, ...], int], wanted: Wanted) -> Way:
    return Way(told[0], wanted.options[told[1]])


@dataclass(slots=True)
class _Search:
    """Goes through the codes of a group's outputs. What the mapping can say within a condition is asked once."""

    method: Method
    space: Space
    known: dict[tuple[int, Formula], tuple[Term, ...] | None] = field(default_factory=dict)

    def ways(self, group: Group, chosen: Mapping[FieldIdentity, int]) -> tuple[Way, ...] | None:
        """Ways for the rest of a group, where some fields have their codes already."""
        if not group:
            return ()
        first, *others = group
        for option in first.options:
            self.space.step()
            codes = {located.identity: code.code.value for located, code in option.codes}
            if any(chosen.get(field, code) != code for field, code in codes.items()):
                continue
            terms = self._terms(first, option)
            rest = self.ways(tuple(others), {**chosen, **codes}) if terms is not None else None
            if terms is not None and rest is not None:
                return (Way(terms, option), *rest)
        return None

    def _terms(self, wanted: Wanted, option: Option) -> tuple[Term, ...] | None:
        place = (wanted.number, option.formula)
        if place not in self.known:
            task = Task(wanted.number, wanted.lit, option.formula, wanted.keys)
            self.known[place] = self.method.express(task, self.space)
        return self.known[place]


def all_ways(
    method: Method, groups: Sequence[Group], space: Space, known: Known
) -> tuple[Method, list[tuple[Way, ...] | None]]:
    """The ways of as many groups as can be had together, the first ones first, and the method as it is settled then."""
    if not isinstance(method, ByFunction):
        return method, [known_ways(method, group, space, known) for group in groups]
    accepted: list[Group] = []
    settled = _settled(method, groups, space)
    if settled is None:
        for group in groups:
            if _settled(method, [*accepted, group], space) is not None:
                accepted.append(group)
        settled = _settled(method, accepted, space)
        assert settled is not None
    return settled, [ways(settled, group, space) for group in groups]


def _settled(method: ByFunction, groups: Sequence[Group], space: Space) -> ByFunction | None:
    def is_feasible(some: ByFunction) -> bool:
        return all(ways(some, group, space) is not None for group in groups)

    return method.opened(_tasks(groups), space).settled(is_feasible)


def _tasks(groups: Iterable[Group]) -> Iterable[Task]:
    for group in groups:
        for wanted in group:
            for option in wanted.options:
                yield Task(wanted.number, wanted.lit, option.formula, wanted.keys)


def alone(method: Method, wanted: Wanted, space: Space) -> tuple[Way, ...] | None:
    """A way for one output as if there were no others."""
    return all_ways(method, [(wanted,)], space, {})[1][0]
