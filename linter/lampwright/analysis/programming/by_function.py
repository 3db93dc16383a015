"""The mapping method by function of RCN-227 (CV96 = 2): for each key and direction 24 outputs and one key that forbids.

That key forbids the whole row, all its outputs at once, so outputs cannot be settled one by one. Taken second-hand.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence

from lampwright.analysis.programming.claims import Claim, PageNumber, bits_of
from lampwright.analysis.programming.rcn_pages import FIRST, MOST_PAGED_KEY, SELECTOR, UNUSED
from lampwright.analysis.programming.space import FALSE, Space
from lampwright.analysis.programming.terms import Task, Term, cover, formula_of
from lampwright.records import dataclass, field, replace

OUTPUTS = 24

Row = tuple[int, bool]
"""A key and a direction: four CVs."""


@dataclass(frozen=True, slots=True)
class ByFunction:
    """The method for a decoder with outputs of these numbers.

    `forbidding` says of rows which key forbids them. Rows that are not in it have none; those in `open_rows` may still
    have any of theirs, all at the same time even: what cannot be said so cannot be said at all. `keys` are all that
    matter to any output: where a row is forbidden for another one's sake, the row of the forbidding key may make up.
    """

    highest_key: int | None
    outputs: frozenset[int]
    forbidding: Mapping[Row, int | None] = field(default_factory=dict)
    open_rows: Mapping[Row, Sequence[int]] = field(default_factory=dict)
    keys: frozenset[int] = frozenset()

    page: PageNumber = (0, 40)

    @property
    def is_second_hand(self) -> bool:
        """The standard was not read."""
        return True

    @property
    def last_key(self) -> int:
        """The highest key that has rows."""
        return MOST_PAGED_KEY if self.highest_key is None else min(self.highest_key, MOST_PAGED_KEY)

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output for which a key's rows have a bit; None if it has no row."""
        return (1, OUTPUTS) if key <= self.last_key else None

    def reaches(self, key: int, output: int) -> bool:
        """Whether there is a bit for that key and output."""
        return key <= self.last_key and 1 <= output <= OUTPUTS

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output."""
        rows = [(key, forward) for key in keys for forward in (True, False) if self.reaches(key, output)]
        return [Term(*row, unless) for row in rows for unless in self._choices(row)]

    def _choices(self, row: Row) -> list[tuple[int, ...]]:
        forbidding = self.forbidding.get(row)
        if row not in self.forbidding and row in self.open_rows:
            return [(), *((key,) for key in self.open_rows[row])]
        return [() if forbidding is None else (forbidding,)]

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""
        return cover(task, self.candidates(task.number, sorted(self.keys)), space)

    def opened(self, tasks: Iterable[Task], space: Space) -> ByFunction:
        """The same with those rows open for which one of `tasks` would like a key that forbids."""
        open_rows: dict[Row, list[int]] = {}
        keys: set[int] = set()
        for task in tasks:
            keys.update(space.keys_of(task.lit, task.within))
            for row, key in self._wishes(task, space):
                known = open_rows.setdefault(row, [])
                known += [key] if key not in known else []
        choices = {row: sorted(forbidding) for row, forbidding in open_rows.items()}
        return replace(self, open_rows=choices, keys=frozenset(keys))

    def _wishes(self, task: Task, space: Space) -> Iterator[tuple[Row, int]]:
        keys = space.keys_of(task.lit, task.within)
        for key in (key for key in keys if self.reaches(key, task.number)):
            for forward in (True, False):
                row = space.both(formula_of(Term(key, forward), space), task.within)
                if row == FALSE or space.implies(row, task.lit):
                    continue
                for other in keys:
                    rest = space.both(row, space.opposite(space.key(other)))
                    if other != key and rest != FALSE and space.implies(rest, task.lit):
                        yield (key, forward), other

    def settled(self, is_feasible: Callable[[ByFunction], bool]) -> ByFunction | None:
        """The same with each open row decided so that `is_feasible` still holds, None if that cannot be."""
        if not is_feasible(self):
            return None
        undecided = next((row for row in self.open_rows if row not in self.forbidding), None)
        if undecided is None:
            return self
        for choice in (None, *self.open_rows[undecided]):
            found = replace(self, forbidding={**self.forbidding, undecided: choice}).settled(is_feasible)
            if found is not None:
                return found
        return None

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, and of the others that no key turns them on.

        Nothing is said of the outputs that are `left_open`.
        """
        rows = [(key, forward) for key in range(self.last_key + 1) for forward in (True, False)]
        return [Claim(SELECTOR, 2), *(claim for row in rows for claim in self._row(row, terms, left_open))]

    def _row(self, row: Row, terms: Mapping[int, Sequence[Term]], left_open: Collection[int]) -> Iterator[Claim]:
        mine = {number: term for number in terms for term in terms[number] if (term.key, term.forward) == row}
        first = FIRST + 8 * row[0] + (0 if row[1] else 4)
        # CVs of outputs that the decoder does not have are not touched.
        for byte in sorted({(number - 1) // 8 for number in self.outputs if 1 <= number <= OUTPUTS}):
            value = sum(1 << (number - 1) % 8 for number in mine if (number - 1) // 8 == byte)
            unsaid = sum(1 << (number - 1) % 8 for number in left_open if (number - 1) // 8 == byte)
            yield from bits_of(first + byte, value, unsaid, self.page, None)
        if mine:
            unless = next((term.unless[0] for term in mine.values() if term.unless), UNUSED)
            yield Claim(first + 3, unless, page=self.page)

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs of the page with these values say."""
        terms: dict[int, list[Term]] = {}
        for key in range(self.last_key + 1):
            for forward in (True, False):
                first = FIRST + 8 * key + (0 if forward else 4)
                unless = values.get(first + 3, UNUSED)
                for number in range(1, OUTPUTS + 1):
                    if values.get(first + (number - 1) // 8, 0) >> (number - 1) % 8 & 1:
                        # As a number of no key it forbids nothing.
                        forbids = (unless,) if unless <= self.last_key else ()
                        terms.setdefault(number, []).append(Term(key, forward, forbids))
        return terms
