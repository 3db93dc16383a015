"""The function matrix of S-9.2.2: CV33 to CV46, each with a bit for eight outputs; only F0 knows directions.

The table is that of S-9.2.2 (2012), table 2, read; the default values are derived from its default outputs.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from lampwright.analysis.programming.claims import Claim, bits_of
from lampwright.analysis.programming.space import Space
from lampwright.analysis.programming.terms import Task, Term, cover
from lampwright.model.mapping import KeyMapping
from lampwright.records import dataclass

WIDTH = 8


@dataclass(frozen=True, slots=True)
class Row:
    """One CV of the matrix: whose it is, the output of its bit 0, and its value on delivery by the standard."""

    cv: int
    term: Term
    first_output: int
    default: int


ROWS: tuple[Row, ...] = (
    Row(33, Term(0, forward=True), 1, 1),
    Row(34, Term(0, forward=False), 1, 2),
    *(Row(34 + key, Term(key), 1, 2 << key) for key in (1, 2, 3)),
    *(Row(34 + key, Term(key), 4, 1 << (key - 2)) for key in (4, 5, 6, 7, 8)),
    *(Row(34 + key, Term(key), 7, 1 << (key - 5)) for key in (9, 10, 11, 12)),
)


@dataclass(frozen=True, slots=True)
class FunctionMatrix:
    """The matrix of one decoder, whose windows may differ from the standard's, up to its highest key."""

    mapping: KeyMapping
    highest_key: int | None

    @property
    def is_second_hand(self) -> bool:
        """The standard was read."""
        return False

    @property
    def rows(self) -> tuple[Row, ...]:
        """The CVs that this decoder has."""
        return tuple(row for row in ROWS if self.highest_key is None or row.term.key <= self.highest_key)

    def first_output(self, row: Row) -> int:
        """The output of bit 0."""
        for window in self.mapping.windows:
            if window.lowest <= row.term.key <= window.highest:
                return window.first_output.value
        return row.first_output

    @property
    def last_key(self) -> int:
        """The last key that has a CV."""
        return self.rows[-1].term.key

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output for which a key's CV has a bit; None if it has no CV."""
        first = next((self.first_output(row) for row in self.rows if row.term.key == key), None)
        return None if first is None else (first, first + WIDTH - 1)

    def reaches(self, key: int, output: int) -> bool:
        """Whether a key's CV has a bit for that output."""
        return any(row.term.key == key and 0 <= output - self.first_output(row) < WIDTH for row in self.rows)

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output."""
        wanted = set(keys)
        rows = [row for row in self.rows if row.term.key in wanted]
        return [row.term for row in rows if 0 <= output - self.first_output(row) < WIDTH]

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""
        return cover(task, self.candidates(task.number, space.keys_of(task.lit, task.within)), space)

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, and of all others that no key turns them on.

        Nothing is said of the outputs that are `left_open`.
        """
        return [claim for row in self.rows for claim in self._claims(row, terms, left_open)]

    def _claims(self, row: Row, terms: Mapping[int, Sequence[Term]], left_open: Collection[int]) -> Iterator[Claim]:
        first = self.first_output(row)
        value = sum(1 << (number - first) for number in terms if row.term in terms[number])
        unsaid = sum(1 << (number - first) for number in left_open if 0 <= number - first < WIDTH)
        yield from bits_of(row.cv, value, unsaid, None, row.default if first == row.first_output else None)

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs with these values say."""
        terms: dict[int, list[Term]] = {}
        for row in self.rows:
            for bit in range(WIDTH):
                if values.get(row.cv, 0) >> bit & 1:
                    terms.setdefault(self.first_output(row) + bit, []).append(row.term)
        return terms
