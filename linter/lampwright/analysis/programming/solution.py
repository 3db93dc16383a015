"""How the outputs of one plan are said to one decoder, and which entries cannot be said, with what could be instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from lampwright.analysis.entries import EntryFact
from lampwright.analysis.programming.by_function import ByFunction
from lampwright.analysis.programming.claims import Claim
from lampwright.analysis.programming.faults import Fault, Unjudged, Unreachable, Unsayable
from lampwright.analysis.programming.fields import FieldIdentity, Fields, Option, options
from lampwright.analysis.programming.methods import Fixed, Method, Wanted, Way, all_ways, alone
from lampwright.analysis.programming.rcn_pages import ByOutputNumbers, ByOutputStates
from lampwright.analysis.programming.space import FALSE, Formula, Space, turned_round
from lampwright.analysis.programming.terms import Term, formula_of
from lampwright.analysis.programming.wishes import Wish, lit_by
from lampwright.model.decoder import Decoder
from lampwright.model.keys import AllOf, Condition, Literal
from lampwright.model.registers import ConditionField
from lampwright.model.values import Name
from lampwright.text import Span

MAPPING_RULES = ("unreachable-output", "inexpressible-condition")
CONDITION_RULE = MAPPING_RULES[1:]
_MOST_ALTERNATIVES = 6


@dataclass(slots=True)
class Solution:
    """What was found of all outputs: ways by name, the method as it is settled, faults and what is not judged."""

    method: Method
    ways: dict[str, Way] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    unjudged: list[Unjudged] = field(default_factory=list)


@dataclass(slots=True)
class Solver:
    """Says the outputs of a plan to a decoder."""

    decoder: Decoder
    fields: Fields
    space: Space
    keys_are_complete: bool
    options: dict[str, list[Option]] = field(default_factory=dict)

    def solve(self, method: Method, wishes: Mapping[str, Wish]) -> Solution:
        """`wishes` are all outputs whose number is known, dark ones included."""
        solution = Solution(method)
        # Only fixed keys can light what the plan leaves dark, and where keys are unreadable nobody knows what that is.
        dark = isinstance(method, Fixed) and self.keys_are_complete
        asked = {name: wish for name, wish in wishes.items() if wish.lit != FALSE or dark}
        for name in asked:
            self.options[name] = options(self.fields, name, self.space)
        groups = self._groups(asked)
        solution.method, found = self._ways(method, groups)
        if any(ways is None and len(group) > 1 for group, ways in zip(groups, found, strict=True)):
            # Where outputs cannot share their codes each takes its own, and the codes will clash.
            groups = [part for group, ways in zip(groups, found, strict=True) for part in _parted(group, ways)]
            solution.method, found = self._ways(method, groups)
        failed = [wish for group, ways in zip(groups, found, strict=True) if ways is None for wish in group]
        for group, ways in zip(groups, found, strict=True):
            solution.ways.update(zip((wish.name for wish in group), ways or (), strict=False))
        for wish in failed:
            self._tell(solution, method, wish, wishes)
        return solution

    def _groups(self, wishes: Mapping[str, Wish]) -> list[tuple[Wish, ...]]:
        """Outputs that share a condition field stand together, and so do those that share one with either."""
        groups: dict[int, list[Wish]] = {}
        owners: dict[FieldIdentity, int] = {}
        for index, wish in enumerate(wishes.values()):
            fields = {located.identity for option in self.options[wish.name] for located, _ in option.codes}
            joined = {owners[field] for field in fields if field in owners}
            groups[index] = [*(each for other in sorted(joined) for each in groups.pop(other)), wish]
            owners = (
                {field: index if owner in joined else owner for field, owner in owners.items()} if joined else owners
            )
            owners.update(dict.fromkeys(fields, index))
        return [tuple(group) for group in groups.values()]

    def _ways(self, method: Method, groups: Sequence[tuple[Wish, ...]]) -> tuple[Method, list[tuple[Way, ...] | None]]:
        wanted = [tuple(self._of(wish, wish.lit) for wish in group) for group in groups]
        return all_ways(method, wanted, self.space)

    def _of(self, wish: Wish, lit: Formula) -> Wanted:
        return Wanted(number_of(wish), lit, self.options[wish.name], wish.keys)

    # --- What cannot be said ------------------------------------------------------------------------------------------

    def _tell(self, solution: Solution, method: Method, wish: Wish, wishes: Mapping[str, Wish]) -> None:
        """Why an output has no way."""
        number = number_of(wish)
        unreachable = [
            fact for fact in wish.facts if fact.key is not None and not method.reaches(fact.key.number, number)
        ]
        solution.faults += (
            self._unreachable(method, fact, output)
            for fact in unreachable
            for output in fact.entry.outputs
            if output.text == wish.name
        )
        rest = [fact for fact in wish.facts if fact not in unreachable]
        if unreachable and (not rest or self._is_sayable(method, wish, rest)):
            return
        lacks = self._lack(wish)
        if lacks is not None:
            solution.unjudged += (Unjudged(CONDITION_RULE, span_of(fact), lacks) for fact in rest)
            return
        solution.faults += self._unsayable(method, wish, rest, wishes)

    def _lack(self, wish: Wish) -> str | None:
        """What must be known of the registers before anything is said of conditions; None if all is."""
        if self.decoder.registers is None or "registers" in self.decoder.unreadable:
            return "registers on the decoder sheet"
        fields = [located.field for located in self.fields.of(wish.name)]
        codes = [(each, field) for field in fields if isinstance(field, ConditionField) for each in field.codes]
        is_sound = all(each.code.value <= field.place.most for each, field in codes)
        return None if is_sound else "a cure for the sheet's cv-out-of-range first"

    def _unreachable(self, method: Method, fact: EntryFact, output: Name) -> Unreachable:
        assert fact.key is not None
        known = self.decoder.outputs.items()
        numbers = {name: other.number.value for name, other in known if other.number is not None}
        reached = tuple(name for name, other in numbers.items() if method.reaches(fact.key.number, other))
        key, known_output = fact.key, self.decoder.outputs[output.text].number
        assert known_output is not None
        return Unreachable(
            output, known_output, key, method.window(key.number), method.last_key, reached, method.is_second_hand
        )

    def _unsayable(
        self, method: Method, wish: Wish, facts: Sequence[EntryFact], wishes: Mapping[str, Wish]
    ) -> Iterator[Unsayable]:
        if not facts:
            yield Unsayable(wish.name, wish.span, None, (), (), may_forbid=False, is_second_hand=method.is_second_hand)
        elif self._is_sayable(method, wish, facts):
            # It could be said if other outputs did not need another setting of the same row.
            others = tuple(name for name, other in wishes.items() if other.keys & wish.keys and name != wish.name)
            yield self._fault(method, wish, facts[-1], (), others)
        else:
            for fact, earlier in self._culprits(method, wish, facts):
                yield self._fault(method, wish, fact, earlier, ())

    def _culprits(
        self, method: Method, wish: Wish, facts: Sequence[EntryFact]
    ) -> list[tuple[EntryFact, tuple[EntryFact, ...]]]:
        """The entries that are in the way: the one without which all others can be said, those that never can be."""
        if len(facts) > 1:
            for fact in reversed(facts):
                if self._is_sayable(method, wish, [other for other in facts if other is not fact]):
                    is_alone = not self._is_sayable(method, wish, [fact])
                    return [(fact, () if is_alone else tuple(other for other in facts if other is not fact))]
        never = [fact for fact in facts if not self._is_sayable(method, wish, [fact])]
        if never:
            return [(fact, ()) for fact in never]
        # Each can be said and all of them cannot: the first one that does not go with those before it.
        index = next(i for i in range(1, len(facts) + 1) if not self._is_sayable(method, wish, facts[:i])) - 1
        return [(facts[index], tuple(facts[:index]))]

    def _is_sayable(self, method: Method, wish: Wish, facts: Sequence[EntryFact]) -> bool:
        return alone(method, self._of(wish, lit_by(facts, self.space)), self.space) is not None

    def _fault(
        self, method: Method, wish: Wish, fact: EntryFact, earlier: tuple[EntryFact, ...], shared: tuple[str, ...]
    ) -> Unsayable:
        could = tuple(self._alternatives(method, wish, fact))
        may_forbid = isinstance(method, ByFunction | ByOutputNumbers | ByOutputStates)
        return Unsayable(wish.name, span_of(fact), fact, earlier, could, may_forbid, method.is_second_hand, shared)

    def _alternatives(self, method: Method, wish: Wish, fact: EntryFact) -> list[Condition]:
        """The conditions under which the entry's key could turn the output on; those that share states first."""
        if fact.key is None or fact.formula is None:
            return []
        number = number_of(wish)
        found: dict[Formula, tuple[bool, Condition]] = {}
        for option in self.options[wish.name]:
            for term in dict.fromkeys(_without_forbidding(method.candidates(number, [fact.key.number]))):
                lights = self.space.both(formula_of(term, self.space), option.formula)
                if lights != FALSE:
                    is_far = self.space.both(lights, fact.formula) == FALSE
                    found.setdefault(lights, (is_far, self._condition(term, option)))
        return [condition for _, condition in sorted(found.values(), key=lambda pair: pair[0])][:_MOST_ALTERNATIVES]

    def _condition(self, term: Term, option: Option) -> Condition:
        parts: list[Condition] = [code.condition for _, code in option.codes if code.condition != AllOf(())]
        if term.forward is not None:
            parts.insert(0, Literal("forward", term.forward))
        condition = parts[0] if len(parts) == 1 else AllOf(tuple(parts))
        return turned_round(condition) if self.space.is_reversed else condition


def _parted(group: tuple[Wish, ...], ways: tuple[Way, ...] | None) -> list[tuple[Wish, ...]]:
    return [group] if ways is not None else [(wish,) for wish in group]


def condition_claims(ways: Mapping[str, Way], wishes: Mapping[str, Wish]) -> Iterator[Claim]:
    """The codes of conditions that the ways need."""
    for name, way in ways.items():
        facts = wishes[name].facts
        span = facts[0].entry.span if facts else wishes[name].span
        yield from (located.claim(code.code.value, name, span) for located, code in way.option.codes)


def number_of(wish: Wish) -> int:
    """The number of an output whose number is known."""
    assert wish.known is not None
    assert wish.known.number is not None
    return wish.known.number.value


def span_of(fact: EntryFact) -> Span:
    """The smallest text of an entry that says when."""
    return fact.entry.condition_span or fact.entry.span


def _without_forbidding(terms: Sequence[Term]) -> list[Term]:
    return [Term(term.key, term.forward) for term in terms]
