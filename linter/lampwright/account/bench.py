"""What a plan's bench sheet says: what is wrong, what to measure when, what to program, how much current to allow.

Gathers the facts of all analyses of one plan. Knows no form of the sheet, and no order of work.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, isfinite

from lampwright.account.bench_meter import MeterTable, meter_tables
from lampwright.account.cv_cautions import cautions
from lampwright.account.sayings import meaning_of
from lampwright.account.single_states import StateLine, state_lines
from lampwright.account.states import PlanStates, plan_states
from lampwright.account.words import opened
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import Undetermined
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.needs import PlanNeeds, plan_needs
from lampwright.analysis.programming import Programming, Setting
from lampwright.analysis.together import Together, worst_together
from lampwright.diagnostics import Finding, Report, Severity
from lampwright.model.lighting import LightingPlan
from lampwright.records import dataclass
from lampwright.rule.cv_meanings import Words, words_of

MARGIN = 1.25
"""Of the worst current together: what a supply may give at the first power-up."""

LEAST_MARGIN = 0.025
"""Amperes by which it is more at least, for the decoder's own needs (common practice)."""

STEP = 0.005
"""Amperes; a limit is rounded up to a multiple of them, as a supply can be set."""


@dataclass(frozen=True, slots=True)
class FirstPower:
    """The amperes that a current-limited supply is set to at first; None where `lacks` or `unlimited` says why not.

    `worst` is what all lamps draw at most; `capped` is set where a limit of the decoder is less than the margin asks.
    `left_out` are the outputs of which nothing is known.
    """

    limit: float | None
    worst: Together | None = None
    lacks: str | None = None
    capped: bool = False
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A key as it goes on the throttle: its number, what it is called, the lamps that it can turn on."""

    number: int
    label: str | None
    momentary: bool
    lamps: tuple[str, ...]

    @property
    def name(self) -> str:
        """As users write it: F0, F1, ..."""
        return f"F{self.number}"


@dataclass(frozen=True, slots=True)
class CvLine:
    """One write, or a run of writes of one value to one CV after the other, with what they mean."""

    settings: tuple[Setting, ...]
    meaning: str

    @property
    def numbers(self) -> str:
        """`257`, or `259 to 264`."""
        first, last = self.settings[0].cv, self.settings[-1].cv
        return f"{first}" if first == last else f"{first} to {last}"

    @property
    def value(self) -> int:
        """The value of each."""
        return self.settings[0].value


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """All that the sheet of the plan in file `name` says.

    `lines` are single states, `needs` the parts. `errors` are the findings of that level, `open_findings` how many
    others there are; `inexpressible` what cannot be programmed, and `unmeasured` each output of which no reading can be
    told, with what it lacks. `phases` are the
    outputs with the effects in which they burn while their partner is dark.
    """

    name: str
    plan: LightingPlan
    errors: tuple[Finding, ...]
    open_findings: int
    inexpressible: tuple[Finding, ...]
    undecided: int
    states: PlanStates
    lines: tuple[StateLine, ...]
    needs: PlanNeeds
    meters: tuple[MeterTable, ...]
    unmeasured: Mapping[str, str]
    power: FirstPower
    programming: Programming
    words: Words
    cvs: tuple[CvLine, ...]
    cautions: tuple[str, ...]
    keys: tuple[KeyLine, ...]
    phases: frozenset[tuple[str, str]]

    @property
    def title(self) -> str:
        """What the vehicle is called, else its file."""
        return self.plan.vehicle.name.text if self.plan.vehicle.name is not None else self.name


def bench_sheet(
    name: str, plan: LightingPlan, programming: Programming, report: Report, inexpressible: Sequence[Finding] = ()
) -> BenchSheet:
    """The sheet of `plan` in file `name`, with what was found in it, and what of that cannot be programmed."""
    electrical, logic = electrical_facts(plan), logic_facts(plan)
    states, words = plan_states(plan, logic), words_of(plan, programming)
    meters, unmeasured = meter_tables(plan, electrical, logic)
    errors = opened(report, Severity.ERROR)
    return BenchSheet(
        name=name,
        plan=plan,
        errors=tuple(errors),
        open_findings=len(opened(report)) - len(errors),
        inexpressible=tuple(inexpressible),
        undecided=len(report.undecided),
        states=states,
        lines=tuple(state_lines(plan, states, electrical)),
        needs=plan_needs(plan),
        meters=meters,
        unmeasured=unmeasured,
        power=_first_power(plan, worst_together(electrical, logic)),
        programming=programming,
        words=words,
        cvs=tuple(_cv_lines(programming.settings, words)),
        cautions=tuple(cautions(plan, programming)),
        keys=tuple(_key_lines(plan, states)),
        phases=frozenset(_second_of_pairs(plan, states)),
    )


# --- First power ------------------------------------------------------------------------------------------------------


def _first_power(plan: LightingPlan, together: Together | Undetermined) -> FirstPower:
    if isinstance(together, Undetermined):
        return FirstPower(None, lacks=together.lacks)
    left_out = tuple(each.output.name for each in together.without if each.output is not None)
    if not isfinite(together.at_most):
        return FirstPower(None, together, left_out=left_out)
    wanted = max(together.at_most * MARGIN, together.at_most + LEAST_MARGIN)
    # What floats leave behind the last digit is no reason for the next step.
    limit = ceil(wanted / STEP - 1e-6) * STEP
    most = _most_of(plan)
    return FirstPower(min(limit, most), together, capped=most < limit, left_out=left_out)


def _most_of(plan: LightingPlan) -> float:
    decoder = plan.decoder
    limits = [decoder.outputs_together, decoder.whole_decoder] if decoder is not None else []
    return min((each.lowest for each in limits if each is not None), default=float("inf"))


# --- CVs --------------------------------------------------------------------------------------------------------------


def _cv_lines(settings: Sequence[Setting], words: Words) -> Iterator[CvLine]:
    run: list[Setting] = []
    for setting in settings:
        if run and not _goes_on(run, setting, words):
            yield CvLine(tuple(run), _meaning(run[0], words))
            run = []
        run.append(setting)
    if run:
        yield CvLine(tuple(run), _meaning(run[0], words))


def _goes_on(run: Sequence[Setting], setting: Setting, words: Words) -> bool:
    last = run[-1]
    is_next = setting.cv == last.cv + 1 and (setting.page, setting.value) == (last.page, last.value)
    return is_next and not setting.must_be_read_first and _meaning(last, words) == _meaning(setting, words)


def _meaning(setting: Setting, words: Words) -> str:
    """Without the page, which the writes of CV31 and CV32 before it name; and whichever byte it is that is unused."""
    said = meaning_of(setting, words)
    if setting.page is not None:
        said = said.removesuffix(f" (page {setting.page[0]}/{setting.page[1]})")
    owner, _, what = said.partition(": ")
    return f"{owner}: unused" if what.endswith(", unused") else said


# --- Keys -------------------------------------------------------------------------------------------------------------


def _key_lines(plan: LightingPlan, states: PlanStates) -> Iterator[KeyLine]:
    """The keys of the plan, and those that only conditions name."""
    turned_on: dict[str, dict[str, None]] = {}
    for output, account in states.outputs.items():
        for product in (product for lit in account.lit for product in lit.products):
            for literal in product:
                if literal.variable.startswith("F"):
                    lamps = turned_on.setdefault(literal.variable, {})
                    lamps.update(dict.fromkeys((account.lamps or (output,)) if literal.positive else ()))
    numbers = {*plan.keys, *(int(name[1:]) for name in turned_on)}
    for number in sorted(numbers):
        key = plan.keys.get(number)
        label = key.label.text if key is not None and key.label is not None else None
        momentary = key is not None and key.momentary
        yield KeyLine(number, label, momentary, tuple(turned_on.get(f"F{number}", ())))


def _second_of_pairs(plan: LightingPlan, states: PlanStates) -> Iterator[tuple[str, str]]:
    """Outputs with effects whose second half they are: of each pair that the sheet names, or every other one.

    Where the sheet has an effect for pairs but names none, the outputs that have it come in the order of the plan.
    """
    effects = (plan.decoder.effects or {}) if plan.decoder is not None else {}
    for name, effect in effects.items():
        users = [output for output, each in states.outputs.items() if any(name in lit.look.effects for lit in each.lit)]
        second = [pair[1].text for pair in effect.pairs] if effect.pairs is not None else users[1::2]
        if effect.is_for_pairs:
            yield from ((output, name) for output in users if output in second)
