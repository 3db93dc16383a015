"""The mapping methods of RCN-227 behind CV96: pages of CV257 to CV512, by function or by output.

Taken from digests of RCN-225 and RCN-227 and a list of draft changes: second-hand. That forward comes before reverse on
the pages by output is an assumption.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import combinations

from lampwright.analysis.programming.claims import Claim, PageNumber
from lampwright.analysis.programming.space import FALSE, Space
from lampwright.analysis.programming.terms import Task, Term, both_ways, cover
from lampwright.records import dataclass

SELECTOR = 96
"""The CV that says which method holds."""

FIRST = 257
UNUSED = 255
OUTPUTS = 32
MOST_PAGED_KEY = 31
MOST_NUMBERED_KEY = 28
"""Function numbers above it are binary states, unless the decoder knows keys above it."""


def _selected(method: int) -> Claim:
    return Claim(SELECTOR, method)


@dataclass(frozen=True, slots=True)
class ByOutputMatrix:
    """CV96 = 3: for each output and direction four CVs, with a bit for each key from F0 to F31."""

    highest_key: int | None

    page: PageNumber = (0, 41)

    @property
    def is_second_hand(self) -> bool:
        """The standard was not read."""
        return True

    @property
    def last_key(self) -> int:
        """The last key that can be named."""
        return _most(self.highest_key, MOST_PAGED_KEY)

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output that have CVs; None for a key that cannot be named there."""
        return (1, OUTPUTS) if key <= self.last_key else None

    def reaches(self, key: int, output: int) -> bool:
        """Whether there is a bit for that key and output."""
        return key <= self.last_key and 1 <= output <= OUTPUTS

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output."""
        return both_ways([key for key in keys if self.reaches(key, output)])

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""
        return cover(task, self.candidates(task.number, space.keys_of(task.lit, task.within)), space)

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, but nothing of those that are `left_open`."""
        rows = [row for number in _with_cvs(terms, left_open) for row in self._rows(number, terms[number])]
        return [_selected(3), *rows]

    def _rows(self, output: int, terms: Sequence[Term]) -> Iterator[Claim]:
        for forward in (True, False):
            keys = {term.key for term in terms if term.forward == forward}
            for byte in range(self.last_key // 8 + 1):
                value = sum(1 << key - 8 * byte for key in keys if key // 8 == byte)
                yield Claim(_first_of_pair(output, forward=forward) + byte, value, page=self.page)

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs of the page with these values say."""
        return {
            output: [
                Term(8 * byte + bit, forward)
                for forward in (True, False)
                for byte in range(4)
                for bit in range(8)
                if values.get(_first_of_pair(output, forward=forward) + byte, 0) >> bit & 1
            ]
            for output in range(1, OUTPUTS + 1)
        }


@dataclass(frozen=True, slots=True)
class ByOutputNumbers:
    """CV96 = 4: for each output and direction three keys that turn it on and one that forbids it, by number."""

    highest_key: int | None

    page: PageNumber = (0, 42)

    @property
    def is_second_hand(self) -> bool:
        """The standard was not read."""
        return True

    @property
    def last_key(self) -> int:
        """The last key that can be named."""
        return _most_number(self.highest_key)

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output that have CVs; None for a key that cannot be named there."""
        return (1, OUTPUTS) if key <= self.last_key else None

    def reaches(self, key: int, output: int) -> bool:
        """Whether the number of that key may stand there."""
        return key <= self.last_key and 1 <= output <= OUTPUTS

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output without forbidding anything."""
        return both_ways([key for key in keys if self.reaches(key, output)])

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""
        ways = [self._one_way(task, space, forward=forward) for forward in (True, False)]
        found = [way for way in ways if way is not None]
        return (*found[0], *found[1]) if len(found) == len(ways) else None

    def _one_way(self, task: Task, space: Space, *, forward: bool) -> tuple[Term, ...] | None:
        part = task.where(space, space.direction(forward=forward))
        keys = [key for key in space.keys_of(task.lit, task.within) if self.reaches(key, task.number)]
        for unless in ((), *((key,) for key in keys)):
            terms = cover(part, [Term(key, forward, unless) for key in keys], space, lambda some: len(some) <= 3, 3)
            if terms is not None:
                return terms
        return None

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, but nothing of those that are `left_open`."""
        rows = [row for number in _with_cvs(terms, left_open) for row in self._rows(number, terms[number])]
        return [_selected(4), *rows]

    def _rows(self, output: int, terms: Sequence[Term]) -> Iterator[Claim]:
        for forward in (True, False):
            mine = [term for term in terms if term.forward == forward]
            unless = next((term.unless[0] for term in mine if term.unless), UNUSED)
            keys = [*sorted(term.key for term in mine), UNUSED, UNUSED, UNUSED][:3]
            for byte, value in enumerate((*keys, unless)):
                yield Claim(_first_of_pair(output, forward=forward) + byte, value, page=self.page)

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs of the page with these values say; binary states say none."""
        return {
            output: [term for forward in (True, False) for term in self._terms(output, values, forward=forward)]
            for output in range(1, OUTPUTS + 1)
        }

    def _terms(self, output: int, values: Mapping[int, int], *, forward: bool) -> list[Term]:
        first = _first_of_pair(output, forward=forward)
        *keys, unless = (values.get(first + byte, UNUSED) for byte in range(4))
        most = self.last_key
        return [Term(key, forward, (unless,) if unless <= most else ()) for key in keys if key <= most]


@dataclass(frozen=True, slots=True)
class ByOutputStates:
    """CV96 = 5: for each output four bytes and two words, each a key that turns it on or forbids it.

    A byte can say a direction, a word cannot.
    """

    highest_key: int | None

    page: PageNumber = (0, 43)

    @property
    def is_second_hand(self) -> bool:
        """The standard was not read."""
        return True

    @property
    def last_key(self) -> int:
        """The last key that can be named."""
        return _most_number(self.highest_key)

    def window(self, key: int) -> tuple[int, int] | None:
        """The first and the last output that have CVs; None for a key that cannot be named there."""
        return (1, OUTPUTS) if key <= self.last_key else None

    def reaches(self, key: int, output: int) -> bool:
        """Whether the number of that key may stand there."""
        return key <= self.last_key and 1 <= output <= OUTPUTS

    def candidates(self, output: int, keys: Sequence[int]) -> list[Term]:
        """What it can say of an output without forbidding anything."""
        reached = [key for key in keys if self.reaches(key, output)]
        return [Term(key) for key in reached] + both_ways([key for key in reached if key < 64])

    def express(self, task: Task, space: Space) -> tuple[Term, ...] | None:
        """The terms that say what the plan says, None if there are none."""
        keys = [key for key in space.keys_of(task.lit, task.within) if self.reaches(key, task.number)]
        # A key that forbids an output forbids it altogether, so it must be one with which the plan never lights it.
        free = [key for key in keys if space.both(task.lit, space.key(key)) == FALSE]
        plain = self.candidates(task.number, keys)
        for size in range(7):
            for unless in combinations(free, size):
                space.step()
                candidates = [Term(term.key, term.forward, unless) for term in plain]
                terms = cover(task, candidates, space, _fit, 6)
                if terms is not None:
                    return terms
        return None

    def claims(self, terms: Mapping[int, Sequence[Term]], left_open: Collection[int] = ()) -> list[Claim]:
        """The CVs that say `terms` of outputs by their numbers, but nothing of those that are `left_open`."""
        rows = [row for number in _with_cvs(terms, left_open) for row in self._rows(number, terms[number])]
        return [_selected(5), *rows]

    def _rows(self, output: int, terms: Sequence[Term]) -> Iterator[Claim]:
        placed = _placed(terms)
        assert placed is not None
        for offset, value in enumerate((*placed[0], *(byte for word in placed[1] for byte in word))):
            yield Claim(FIRST + 8 * (output - 1) + offset, value, page=self.page)

    def read(self, values: Mapping[int, int]) -> dict[int, list[Term]]:
        """By output number, the terms that CVs of the page with these values say; binary states say none."""
        return {output: self._terms(output, values) for output in range(1, OUTPUTS + 1)}

    def _terms(self, output: int, values: Mapping[int, int]) -> list[Term]:
        first = FIRST + 8 * (output - 1)
        bytes_ = [values.get(first + offset, UNUSED) for offset in range(8)]
        said = [(byte & 63, byte >> 6) for byte in bytes_[:4] if byte != UNUSED]
        for high, low in (bytes_[4:6], bytes_[6:8]):
            number = (high & 127) << 8 | low
            if (high, low) != (UNUSED, UNUSED) and number <= self.last_key:
                said.append((number, 3 if high & 128 else 0))
        unless = tuple(sorted(key for key, how in said if how == 3))
        return [Term(key, (None, True, False)[how], unless) for key, how in said if how != 3]


_ON, _FORWARD_ONLY, _REVERSE_ONLY, _FORBIDS = 0, 64, 128, 192


def _fit(terms: Sequence[Term]) -> bool:
    return _placed(terms) is not None


def _placed(terms: Sequence[Term]) -> tuple[list[int], list[tuple[int, int]]] | None:
    """The four bytes and two words that say `terms`, None if there is no room for them."""
    unless = terms[0].unless if terms else ()
    directed = [term for term in terms if term.forward is not None]
    plain = [(term.key, False) for term in terms if term.forward is None] + [(key, True) for key in unless]
    bytes_ = [term.key + (_FORWARD_ONLY if term.forward else _REVERSE_ONLY) for term in directed]
    # A byte has six bits for a key, and F63 that forbids would read as an unused one.
    for_words = [(key, forbids) for key, forbids in plain if key > 63 or (key == 63 and forbids)]
    for key, forbids in plain:
        if (key, forbids) not in for_words and len(bytes_) < 4:
            bytes_.append(key + (_FORBIDS if forbids else _ON))
        elif (key, forbids) not in for_words:
            for_words.append((key, forbids))
    if len(bytes_) > 4 or len(for_words) > 2:
        return None
    words = [(128 if forbids else 0, key) for key, forbids in for_words]
    return [*bytes_, *[UNUSED] * 4][:4], [*words, (UNUSED, UNUSED), (UNUSED, UNUSED)][:2]


def _with_cvs(outputs: Iterable[int], left_open: Collection[int]) -> list[int]:
    """The outputs of which something is said, and for which there are CVs, in order."""
    return sorted(number for number in outputs if 1 <= number <= OUTPUTS and number not in left_open)


def _first_of_pair(number: int, *, forward: bool) -> int:
    """The first of the four CVs of an output and a direction."""
    return FIRST + 8 * (number - 1) + (0 if forward else 4)


def _most(highest_key: int | None, most: int) -> int:
    return most if highest_key is None else min(highest_key, most)


def _most_number(highest_key: int | None) -> int:
    return MOST_NUMBERED_KEY if highest_key is None else highest_key
