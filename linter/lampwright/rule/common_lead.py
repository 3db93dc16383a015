"""What the elements of the common lead have too much of, by what the keys can turn on together.

All outputs together are the most that can be; where only that is too much, nobody can tell. Knows no words.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

from lampwright.analysis.electrical.facts import CommonFacts, ElementFacts, OutputFacts, Undetermined
from lampwright.analysis.logic import WorstState
from lampwright.analysis.logic.questions import State
from lampwright.diagnostics import Undecided
from lampwright.records import dataclass
from lampwright.rule.context import Context
from lampwright.rule.phrases import listed


@dataclass(frozen=True, slots=True)
class InLead:
    """An element of the common lead with what it carries, in which state if several outputs are on in it."""

    facts: ElementFacts
    state: State | None = None


def too_much_in_lead(
    context: Context, is_too_much: Callable[[ElementFacts], bool], amount: Callable[[ElementFacts], float]
) -> Iterator[InLead | Undecided]:
    """Each element of which `is_too_much` says so with some outputs on together, where it has the largest `amount`."""
    facts = context.electrical.common
    if isinstance(facts, Undetermined):
        yield Undecided(facts.span, facts.lacks)
    elif facts is not None and context.first_cures:
        rules = listed(sorted(set(context.first_cures.values())))
        yield from (Undecided(each.span, f"a cure for the {rules} of its outputs first") for each in facts.elements)
    elif facts is not None:
        for number, most in enumerate(facts.elements):
            if is_too_much(most):
                found = [each for each in _reachable(context, facts, number) if is_too_much(each.facts)]
                lack = Undecided(most.span, "which outputs burn together")
                yield max(found, key=lambda each: amount(each.facts), default=lack)


def _reachable(context: Context, together: CommonFacts, number: int) -> Iterator[InLead]:
    """Element `number` of the common lead with each output alone, and in the state that draws most."""
    plan, outputs = context.plan, context.electrical.outputs
    if not together.is_upper_bound:
        yield InLead(together.elements[number])
        return
    currents = {name: facts.current.highest for name, facts in outputs.items() if isinstance(facts, OutputFacts)}
    worst = context.logic.worst_state(currents)
    # An output is judged as it is while on and alone, by all rules, whatever turns it on.
    groups: list[tuple[Collection[str], State | None]] = [((name,), None) for name in plan.outputs]
    if isinstance(worst, WorstState) and len(worst.outputs) > 1:
        groups.append((worst.outputs, worst.state))
    for names, state in groups:
        facts = context.electrical.shared(names)
        if isinstance(facts, CommonFacts):
            yield InLead(facts.elements[number], state)
