"""What a rule may ask: the facts of one file, computed when they are first asked for. Knows no rule."""

from __future__ import annotations

from _thread import RLock
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager
from typing import TypeVar

from lampwright.analysis.electrical import ElectricalFacts, electrical_facts
from lampwright.analysis.electrical.facts import OutputFacts, Undetermined
from lampwright.analysis.logic import LogicFacts, logic_facts
from lampwright.analysis.precedence import first_cures, own_cure
from lampwright.analysis.programming import Programming, programming_facts
from lampwright.analysis.protection import LedProtection, led_protections
from lampwright.analysis.sameness import same_keys, same_outputs
from lampwright.analysis.together import Together, worst_together
from lampwright.diagnostics import Problem, Undecided
from lampwright.lazily import shared_property
from lampwright.model.circuit import lamp_kind, placed_lamps
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.settings import Settings
from lampwright.records import dataclass, field
from lampwright.rule.making import Verdict
from lampwright.rule.remembering import Remembered
from lampwright.syntax import Tree
from lampwright.text import Span

Judged = TypeVar("Judged")

_OF_CURRENTS = frozenset({"overloaded-output", "overloaded-contact", "overheated-resistor", "starved-regulator"})
"""Rules that judge nothing by the data of a lamp."""

_OF_EACH_LAMP = frozenset({"overdriven-led", "dim-led", "wrong-lamp-voltage", "dim-bulb"})
"""Rules that judge each lamp by itself, whatever is known of those beside it."""


@dataclass(frozen=True, eq=False)
class Context:
    """What a rule may ask about one file. Facts are computed when first asked for, and once.

    `problems` are those of this file. `lighting_plan` is None for other kinds of file and for a plan with nothing
    to go on. `decoder` is what this file itself says of one, as a sheet or with a sheet inside; None if nothing.
    `remembered` has by name what is known of the outputs of the plan. `lock` is for who computes a fact.
    """

    tree: Tree
    problems: tuple[Problem, ...]
    settings: Settings
    lighting_plan: LightingPlan | None = None
    decoder: Decoder | None = None
    remembered: dict[str, Remembered] = field(default_factory=dict)
    lock: AbstractContextManager[object] = field(default_factory=RLock)

    def take_over(self, before: Context) -> None:
        """What is known by the context of an older text, and holds for this one as well, is known here."""
        plan, older = self.lighting_plan, before.lighting_plan
        if plan is None or older is None:
            return
        same = same_outputs(plan, older)
        self.remembered.update((name, before.remembered[name]) for name in same if name in before.remembered)
        known = before.__dict__
        if "electrical" in known:
            self.__dict__["electrical"] = electrical_facts(plan, before.electrical.known_of(same))
        if same_keys(plan, older):
            if "logic" in known:
                self.__dict__["logic"] = before.logic.of_newer(plan)
            if "programming" in known:
                self.__dict__["programming"] = before.programming

    @property
    def plan(self) -> LightingPlan:
        """The plan; only rules that need one may ask."""
        assert self.lighting_plan is not None
        return self.lighting_plan

    @shared_property
    def electrical(self) -> ElectricalFacts:
        """What flows where."""
        return electrical_facts(self.plan)

    @shared_property
    def protections(self) -> tuple[LedProtection, ...]:
        """Whether anything limits the current of each LED."""
        return tuple(led_protections(self.plan, lambda output, make: self.of(output).once("protections", make)))

    @shared_property
    def first_cures(self) -> Mapping[str, str]:
        """By output, the rule whose fault is to be cured before any other electrical verdict."""

        def own_cure_of(output: Output) -> str | None:
            return self.of(output).once("cure", lambda: own_cure(output, self.electrical.of(output)))

        return first_cures(self.plan, self.electrical, self.protections, own_cure_of)

    @shared_property
    def slipped(self) -> frozenset[Span]:
        """The readings in which only a decimal point may have slipped."""
        if self.lighting_plan is None:
            return frozenset()
        cures, slips = self.first_cures, self.electrical.slips
        found = [slips[name] for name, cure in cures.items() if cure == "measured-otherwise"]
        if set(cures.values()) <= {"measured-otherwise"} and self.electrical.slip_in_lead is not None:
            found.append(self.electrical.slip_in_lead)
        return frozenset(slip.edit.span for slip in found)

    def judged_outputs(self, rule: str) -> Iterator[OutputFacts | Undecided]:
        """The facts of each output that the electrical rule `rule` can judge; why not, for the others.

        Readings may tell what flows through a lamp of which nothing else is known. That does not judge the lamp: rules
        of lamps are told so behind the facts, or in their place.
        """
        return (judged for _, judged in self._judged_outputs(rule))

    def doubtful_outputs(self, rule: str) -> Iterator[OutputFacts | Undecided]:
        """The same without those of which `rule`, which judges each output by itself, is known to have nothing to say.

        What it says before it asks for the next one, it says of that one.
        """
        return (judged for _, judged in self.not_quiet(rule, self._judged_outputs(rule)))

    def not_quiet(
        self, rule: str, judged: Iterable[tuple[Output | None, Judged]]
    ) -> Iterable[tuple[Output | None, Judged]]:
        """Each of `judged` but those of which `rule` said nothing before, and would say nothing now.

        It must judge each by itself, and by nothing but what is about the output: see `same_outputs`.
        """
        return self._not_quiet(rule, judged) if self._is_followed else judged

    def _not_quiet(
        self, rule: str, judged: Iterable[tuple[Output | None, Judged]]
    ) -> Iterator[tuple[Output | None, Judged]]:
        for output, each in judged:
            if output is None or isinstance(each, Undecided):
                yield output, each
                continue
            quiet = self.of(output).quiet
            if rule in quiet:
                continue
            said = self._said
            count = len(said) if said is not None else 0
            yield output, each
            # Where nobody counts, nothing is known.
            if said is not None and len(said) == count:
                quiet.add(rule)

    def hear(self, judge: Callable[[Context], Iterable[Verdict]]) -> list[Verdict]:
        """All that a rule says, one after the other, so that it is known of what it said nothing."""
        if not self._is_followed:
            return list(judge(self))
        said: list[Verdict] = []
        self.__dict__["_said"] = said
        try:
            for verdict in judge(self):
                said.append(verdict)  # noqa: PERF402  # it is looked at in between
        finally:
            self.__dict__["_said"] = None
        return said

    @property
    def _is_followed(self) -> bool:
        """Whether the next text may have anything of this one, so that it is worth remembering."""
        return self.tree.ground is not None

    @property
    def _said(self) -> list[Verdict] | None:
        said: list[Verdict] | None = self.__dict__.get("_said")
        return said

    def of(self, output: Output) -> Remembered:
        """What is known of an output of the plan."""
        known = self.remembered.get(output.name)
        if known is None:
            known = self.remembered[output.name] = Remembered()
        return known

    def _judged_outputs(self, rule: str) -> Iterator[tuple[Output, OutputFacts | Undecided]]:
        judges_lamps, judges_each_lamp = rule not in _OF_CURRENTS, rule in _OF_EACH_LAMP
        for output, (facts, cure, uncured, unknown) in zip(self.plan.outputs.values(), self._judgeable, strict=True):
            if uncured is not None and cure != rule:
                yield output, uncured
            elif unknown is None or not judges_lamps:
                yield output, facts
            else:
                if judges_each_lamp:
                    yield output, facts
                yield output, unknown

    @shared_property
    def _judgeable(self) -> tuple[tuple[OutputFacts | Undecided, str | None, Undecided | None, Undecided | None], ...]:
        """Of each output its facts or why there are none, its first cure, what the rules of others have to say, and its
        first lamp of which only readings tell what it carries.
        """
        cures = self.first_cures
        return tuple([self._judgeable_output(output, cures.get(name)) for name, output in self.plan.outputs.items()])

    def _judgeable_output(
        self, output: Output, cure: str | None
    ) -> tuple[OutputFacts | Undecided, str | None, Undecided | None, Undecided | None]:
        facts = self.electrical.of(output)
        uncured = Undecided(output.span, f"a cure for its {cure} first") if cure is not None else None
        if isinstance(facts, Undetermined):
            return Undecided(facts.span, facts.lacks), cure, uncured, None
        return facts, cure, uncured, self._unknown_lamp(facts)

    def _unknown_lamp(self, facts: OutputFacts) -> Undecided | None:
        """The first lamp of which only readings tell what it carries."""
        circuit, is_measured = facts.output.circuit, self.plan.common_measured is not None
        if circuit is None or (facts.output.measured is None and not is_measured):
            return None
        unknown = (lamp for lamp in placed_lamps(circuit) if lamp_kind(lamp) is None)
        return next((Undecided(lamp.span, "readable data of this lamp") for lamp in unknown), None)

    @shared_property
    def logic(self) -> LogicFacts:
        """What is on when."""
        return logic_facts(self.plan)

    @shared_property
    def together(self) -> Together | Undetermined:
        """What all outputs carry in the worst state that the keys can reach."""
        return worst_together(self.electrical, self.logic)

    @shared_property
    def programming(self) -> Programming:
        """What the decoder must be programmed with, and what it cannot be made to do."""
        return programming_facts(self.plan)

    def problems_of(self, kind: str) -> list[Problem]:
        """The problems that the rule named `kind` words, in the order of the file."""
        return self._problems_by_kind.get(kind, [])

    @shared_property
    def _problems_by_kind(self) -> dict[str, list[Problem]]:
        grouped: dict[str, list[Problem]] = {}
        for problem in sorted(self.problems, key=lambda problem: problem.span.start):
            grouped.setdefault(problem.kind, []).append(problem)
        return grouped
