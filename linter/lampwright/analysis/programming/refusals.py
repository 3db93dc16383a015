"""Why the outputs that cannot be said to a decoder cannot, entry by entry, and what could be said instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.programming.by_function import ByFunction
from lampwright.analysis.programming.faults import Fault, Unjudged, Unreachable, Unsayable
from lampwright.analysis.programming.fields import Fields, Option
from lampwright.analysis.programming.methods import Method, Wanted, alone
from lampwright.analysis.programming.rcn_pages import ByOutputNumbers, ByOutputStates
from lampwright.analysis.programming.space import FALSE, Formula, Space, turned_round
from lampwright.analysis.programming.terms import Term, formula_of
from lampwright.analysis.programming.wishes import Wish, lit_by, said_of
from lampwright.model.decoder import Decoder
from lampwright.model.keys import AllOf, Condition, Literal
from lampwright.model.registers import ConditionField
from lampwright.records import dataclass, field
from lampwright.text import Span

MAPPING_RULES = ("unreachable-output", "inexpressible-condition")
CONDITION_RULE = MAPPING_RULES[1:]
_MOST_ALTERNATIVES = 6


@dataclass(slots=True)
class Refusals:
    """Looks for the reasons in one decoder. `options` are what the registers of each output could add."""

    decoder: Decoder
    fields: Fields
    space: Space
    method: Method
    options: Mapping[str, Sequence[Option]]
    _reached: dict[int, tuple[str, ...]] = field(default_factory=dict)

    def reasons(self, wish: Wish, wishes: Mapping[str, Wish]) -> Iterator[Fault | Unjudged]:
        """Why an output has no way; `wishes` are all outputs of the plan."""
        number = number_of(wish)
        reached: list[EntryFact] = []
        unreached: list[EntryFact] = []
        for fact in wish.facts:
            is_reached = fact.key is None or self.method.reaches(fact.key.number, number)
            (reached if is_reached else unreached).append(fact)
        yield from (self._unreachable(fact, wish.name) for fact in unreached)
        if unreached and (not reached or self._is_sayable(wish, reached)):
            return
        lacks = self._lack(wish)
        if lacks is not None:
            yield from (Unjudged(CONDITION_RULE, span_of(fact), lacks) for fact in reached)
        else:
            yield from self._unsayable(wish, reached, wishes)

    def _lack(self, wish: Wish) -> str | None:
        """What must be known of the registers before anything is said of conditions; None if all is."""
        if self.decoder.registers is None or "registers" in self.decoder.unreadable:
            return "registers on the decoder sheet"
        fields = [located.field for located in self.fields.of(wish.name)]
        codes = [(each, field) for field in fields if isinstance(field, ConditionField) for each in field.codes]
        is_sound = all(each.code.value <= field.place.most for each, field in codes)
        return None if is_sound else "a cure for the sheet's cv-out-of-range first"

    def _unreachable(self, fact: EntryFact, output: str) -> Unreachable:
        key, number = fact.key, self.decoder.outputs[output].number
        assert key is not None
        assert number is not None
        written = next(name for name in fact.entry.outputs if name.text == output)
        if key.number not in self._reached:
            self._reached[key.number] = tuple(islice(self._outputs_of(key.number), _MOST_ALTERNATIVES))
        return Unreachable(
            written,
            number,
            key,
            self.method.window(key.number),
            self.method.last_key,
            self._reached[key.number],
            self.method.is_second_hand,
        )

    def _outputs_of(self, key: int) -> Iterator[str]:
        for name, output in self.decoder.outputs.items():
            if output.number is not None and self.method.reaches(key, output.number.value):
                yield name

    def _unsayable(self, wish: Wish, facts: Sequence[EntryFact], wishes: Mapping[str, Wish]) -> Iterator[Unsayable]:
        if not facts:
            yield Unsayable(
                wish.name, wish.span, None, (), (), may_forbid=False, is_second_hand=self.method.is_second_hand
            )
        elif self._is_sayable(wish, facts):
            # It could be said if other outputs did not need another setting of the same row.
            others = tuple(name for name, other in wishes.items() if other.keys & wish.keys and name != wish.name)
            yield self._fault(wish, facts[-1], (), others)
        else:
            for fact, earlier in self._culprits(wish, facts):
                yield self._fault(wish, fact, earlier, ())

    def _culprits(self, wish: Wish, facts: Sequence[EntryFact]) -> list[tuple[EntryFact, tuple[EntryFact, ...]]]:
        """The entries that are in the way: the one without which all others can be said, those that never can be."""
        if len(facts) > 1:
            for fact in reversed(facts):
                if self._is_sayable(wish, [other for other in facts if other is not fact]):
                    is_alone = not self._is_sayable(wish, [fact])
                    return [(fact, () if is_alone else tuple(other for other in facts if other is not fact))]
        never = [fact for fact in facts if not self._is_sayable(wish, [fact])]
        if never:
            return [(fact, ()) for fact in never]
        # Each can be said and all of them cannot: the first one that does not go with those before it.
        index = next(i for i in range(1, len(facts) + 1) if not self._is_sayable(wish, facts[:i])) - 1
        return [(facts[index], tuple(facts[:index]))]

    def _is_sayable(self, wish: Wish, facts: Sequence[EntryFact]) -> bool:
        lit = lit_by(facts, self.space)
        wanted = Wanted(wish.name, number_of(wish), lit, self.options[wish.name], wish.keys, said_of(facts))
        return alone(self.method, wanted, self.space) is not None

    def _fault(self, wish: Wish, fact: EntryFact, earlier: tuple[EntryFact, ...], shared: tuple[str, ...]) -> Unsayable:
        could = tuple(self._alternatives(wish, fact))
        may_forbid = isinstance(self.method, ByFunction | ByOutputNumbers | ByOutputStates)
        return Unsayable(wish.name, span_of(fact), fact, earlier, could, may_forbid, self.method.is_second_hand, shared)

    def _alternatives(self, wish: Wish, fact: EntryFact) -> list[Condition]:
        """The conditions under which the entry's key could turn the output on; those that share states first."""
        if fact.key is None or fact.formula is None:
            return []
        number = number_of(wish)
        found: dict[Formula, tuple[bool, Condition]] = {}
        for option in self.options[wish.name]:
            self.space.step()
            for term in dict.fromkeys(_without_forbidding(self.method.candidates(number, [fact.key.number]))):
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
