"""What a decoder must be programmed with so that it does what a plan says, and what it cannot be made to do.

A plan with its decoder goes in; the values of CVs in writing order come out, each exactly right or not there at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet

from lampwright.analysis.logic.decision import OutOfStepsError
from lampwright.analysis.programming.claims import Claim, Clash, PageNumber, Setting, settle
from lampwright.analysis.programming.faults import Fault, Unjudged, Unreachable, Unsayable, UnsayableLook
from lampwright.analysis.programming.fields import fields_of
from lampwright.analysis.programming.listing import RESET, in_writing_order
from lampwright.analysis.programming.looks import Looks
from lampwright.analysis.programming.methods import Method, Way, method_of
from lampwright.analysis.programming.refusals import MAPPING_RULES, number_of, span_of
from lampwright.analysis.programming.solution import Solver, condition_claims
from lampwright.analysis.programming.space import FALSE, Space
from lampwright.analysis.programming.terms import Term
from lampwright.analysis.programming.vehicle import HIGHEST_CV, READ_ONLY, vehicle_claims
from lampwright.analysis.programming.wishes import Unclear, Wish, wishes
from lampwright.lazily import cached_property
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass, field, replace

__all__ = [
    "Claim",
    "Clash",
    "Fault",
    "Programming",
    "Setting",
    "Term",
    "Unjudged",
    "Unreachable",
    "Unsayable",
    "UnsayableLook",
    "Way",
    "after_reset",
    "programming_facts",
]

_ALL_RULES = (*MAPPING_RULES, "inexpressible-look")


@dataclass(eq=False)
class Programming:
    """What one plan needs of its decoder.

    `claims` are all that is wanted of single fields, `first` what is written before all else. `faults` cannot be
    programmed, `unjudged` nobody can tell of. `method` is None where the sheet names none.
    """

    decoder: Decoder | None
    claims: Sequence[Claim] = ()
    first: tuple[Setting, ...] = ()
    faults: list[Fault] = field(default_factory=list)
    unjudged: list[Unjudged] = field(default_factory=list)
    ways: Mapping[str, Way] = field(default_factory=dict)
    method: Method | None = None

    @cached_property
    def settings(self) -> tuple[Setting, ...]:
        """All writes in a safe order, those of page registers among them."""
        settled = (self._settled(page, cv)[0] for page, cv in self._by_cv)
        return (*self.first, *in_writing_order(settled))

    @cached_property
    def clashes(self) -> tuple[Clash, ...]:
        """Each two claims that write different values to the same bits."""
        wanted = (place for place, mine in self._by_cv.items() if not self._are_apart(mine, *place))
        return tuple([clash for page, cv in wanted for clash in self._settled(page, cv)[1]])

    def _are_apart(self, claims: Sequence[Claim], page: PageNumber | None, cv: int) -> bool:
        """Whether `claims` on the bits of a CV can all be met, as most can; false also where it has decimal digits."""
        if (page, cv) in fields_of(self.decoder).decimal:
            return False
        taken = 0
        for claim in claims:
            place = claim.place
            most = place.most
            mask = most << place.lowest
            if place.is_decimal or claim.value > most or mask & taken:
                return False
            taken |= mask
        return True

    @cached_property
    def _by_cv(self) -> dict[tuple[PageNumber | None, int], list[Claim]]:
        by_cv: dict[tuple[PageNumber | None, int], list[Claim]] = {}
        for claim in self.claims:
            if _is_writable(claim.cv):
                by_cv.setdefault((claim.page, claim.cv), []).append(claim)
        return by_cv

    def _settled(self, page: PageNumber | None, cv: int) -> tuple[Setting, list[Clash]]:
        return settle(
            self._by_cv[page, cv], [located.field.place for _, located in fields_of(self.decoder).at(page, cv)]
        )


def programming_facts(plan: LightingPlan) -> Programming:
    """What can be told about programming the decoder of `plan`. Without a readable sheet: the vehicle's own CVs."""
    found = Programming(plan.decoder)
    claims = list(vehicle_claims(plan.vehicle))
    if plan.decoder is not None:
        try:
            claims = [*_output_claims(plan, plan.decoder, found), *claims]
        except OutOfStepsError:
            lacks = "an answer within the time for one question"
            entries = [entry for key in plan.keys.values() for entry in key.entries]
            found.unjudged = [Unjudged(_ALL_RULES, entry.span, lacks) for entry in (*entries, *plan.always)]
    found.claims = claims
    return found


def after_reset(programming: Programming) -> Programming:
    """The same, with a reset of the decoder before all else."""
    return replace(programming, first=(RESET,))


def _output_claims(plan: LightingPlan, decoder: Decoder, found: Programming) -> list[Claim]:
    space = Space(reversed_=plan.vehicle.reversed)
    every = list(wishes(plan, space))
    wanted = {wish.name: wish for wish in _clear(every, decoder, found)}
    lit = {name: wish for name, wish in wanted.items() if wish.lit != FALSE and wish.known is not None}
    fixed = space.own_facts(decoder.mapping.fixed) if decoder.mapping is not None else ()
    claims: list[Claim] = []
    fields = fields_of(decoder)
    for outcome in Looks(decoder, fields, lit, fixed, space).outcomes():
        if isinstance(outcome, Claim):
            claims.append(outcome)
        elif isinstance(outcome, UnsayableLook):
            found.faults.append(outcome)
        else:
            found.unjudged.append(outcome)
    solver = Solver(decoder, fields, space, plan.keys_are_complete)
    unclear = {wish.name for wish in every if wish.name not in wanted}
    return [*_mapping_claims(solver, wanted, unclear, found), *claims]


def _mapping_claims(
    solver: Solver, wanted: Mapping[str, Wish], unclear: AbstractSet[str], found: Programming
) -> Iterator[Claim]:
    decoder, space = solver.decoder, solver.space
    found.method = method_of(decoder, space)
    if found.method is None:
        found.unjudged += _of_all(wanted.values(), "mapping under keys on the decoder sheet")
        return
    numbered = {name: wish for name, wish in wanted.items() if wish.known is not None and wish.known.number is not None}
    nameless = [wish for name, wish in wanted.items() if name not in numbered and wish.known is not None]
    found.unjudged += _of_all(nameless, "the output's number on the decoder sheet")
    solution = solver.solve(found.method, numbered)
    found.method, found.ways = solution.method, solution.ways
    found.faults += solution.faults
    found.unjudged += solution.unjudged
    terms: dict[int, tuple[Term, ...]] = {}
    for name, wish in numbered.items():
        number = number_of(wish)
        terms[number] = (*terms.get(number, ()), *(solution.ways[name].terms if name in solution.ways else ()))
    unsaid = {name for name, wish in numbered.items() if name not in solution.ways and wish.lit != FALSE}
    known = ((name, output.number) for name, output in decoder.outputs.items() if name in unsaid or name in unclear)
    yield from found.method.claims(terms, {number.value for _, number in known if number is not None})
    yield from condition_claims(solution.ways, numbered)


def _clear(all_wishes: Iterable[Wish | Unclear], decoder: Decoder, found: Programming) -> Iterator[Wish]:
    """The wishes that can be judged; why not, for the others."""
    for wish in all_wishes:
        if isinstance(wish, Unclear):
            # What is unreadable has its finding already.
            hard = [fact for fact in wish.facts if fact.formula is None and fact.is_readable]
            lacks = "an answer within the time for one question"
            found.unjudged += (Unjudged(_ALL_RULES, span_of(fact), lacks) for fact in hard)
        elif decoder.highest_key is not None and any(key > decoder.highest_key.value for key in wish.keys):
            found.unjudged += _of_all([wish], "a cure for its key-out-of-reach first")
        else:
            yield wish


def _of_all(some: Iterable[Wish], lacks: str) -> list[Unjudged]:
    return [Unjudged(MAPPING_RULES, span_of(fact), lacks) for wish in some for fact in wish.facts]


def _is_writable(cv: int) -> bool:
    """Whether a CV can hold a setting. A sheet that names another one has its finding; 8 in CV8 would be a reset."""
    return 1 <= cv <= HIGHEST_CV and cv not in READ_ONLY
