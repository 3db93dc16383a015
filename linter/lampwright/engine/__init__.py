"""The pipeline: a source and what it refers to go in, a `Report` comes out. It opens nothing; `load` does.

Read top to bottom: check, read, judge, merge.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from lampwright.diagnostics import Card, Problem, Refusal, Report, merge_reports
from lampwright.engine.documents import Document, read_document
from lampwright.engine.excuses import Excuses
from lampwright.engine.fingerprints import fingerprinted
from lampwright.engine.fleet import Registry, card_of
from lampwright.engine.hearing import MOST_FINDINGS, Hearing
from lampwright.kinds import Kind, kind_of
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.catalogue import Catalogue, merge
from lampwright.model.lowering.decoder import lower_sheet
from lampwright.model.lowering.memory import Memory
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.plan import lower_plan
from lampwright.model.settings import Settings
from lampwright.plan.lighting import LightingPlan as WrittenPlan
from lampwright.plan.reader import without_echoes
from lampwright.plan.sheet import DecoderSheet
from lampwright.plan.words import Word
from lampwright.records import dataclass, field, replace
from lampwright.rule import Context
from lampwright.rules import RULES
from lampwright.text import Source

RULE_NAMES = tuple(rule.name for rule in RULES)
"""The names that settings and allowances may use."""


Load = Callable[[Source, str], Source | Refusal]
"""Gives the file that a path in a source refers to."""


Govern = Callable[[Source], Settings]
"""Gives the settings that govern a source."""


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """A file, read as far as it goes: with the files that it refers to, the settings of those, and all that rules ask.

    Nothing is judged yet. `is_whole` tells that nothing of the file was dropped. `memory` is for the next text of it.
    """

    document: Document
    referred: tuple[tuple[Document, Settings], ...]
    context: Context
    is_whole: bool
    memory: Memory = field(default_factory=Memory)


def check(
    source: Source, settings: Settings, load: Load, *, govern: Govern | None = None, raising: bool = False
) -> Report:
    """All findings in `source` and in the files that it refers to.

    `settings` govern `source`, and the files that it refers to unless `govern` says otherwise. `raising` lets a rule's
    own failure out, for tests; without it the failure costs only that rule's findings.
    """
    return judge(survey(source, settings, load, govern), raising=raising)


def survey(
    source: Source,
    settings: Settings,
    load: Load,
    govern: Govern | None = None,
    before: Survey | None = None,
) -> Survey:
    """What `source` says, before anything is judged: what is asked of its `context` is computed then, and once.

    `before` is that of an older text of the same file. What has not changed is taken over from it, which spends it: its
    places are those in the new text from then on, and nobody may work with it any more.
    """
    kind = kind_of(source.name)
    if kind is None:
        raise ValueError(f"{source.name} is no file that Lampwright reads")
    document = read_document(source, kind, RULE_NAMES, before.document if before is not None else None)
    memory = Memory(before.memory if before is not None else None)
    referred, plan, problems = _assemble(document, settings, load, memory)
    memory.close()
    context = Context(document.tree, (*document.problems, *problems), settings, plan, _own_decoder(document, plan))
    if before is not None:
        context.take_over(before.context)
    governed = tuple((other, govern(other.source) if govern else settings) for other in referred)
    return Survey(document, governed, context, document.is_complete and not problems, memory)


def judge(surveyed: Survey, *, raising: bool = False, pause: Callable[[], None] | None = None) -> Report:
    """All findings in a file that was surveyed. `pause` is called before each rule; what it raises ends the judging."""
    reports = [_judge(surveyed, raising=raising, pause=pause)]
    reports += [_judge_alone(other, settings, raising) for other, settings in surveyed.referred]
    return merge_reports(reports)


def plan_of(source: Source, settings: Settings, load: Load) -> LightingPlan | None:
    """The plan that `source` holds, with what it refers to, as far as it can be read; None if there is nothing to read.

    What is wrong with it `check` says.
    """
    document = read_document(source, Kind.LIGHTING_PLAN, RULE_NAMES)
    return _assemble(document, settings, load, Memory())[1]


def settings_of(source: Source) -> Settings:
    """The settings that a `lampwright.yaml` holds; what cannot be read of it is as if it were not written."""
    document = read_document(source, Kind.SETTINGS, RULE_NAMES)
    if isinstance(document.meaning, Settings):
        return document.meaning
    is_readable = not document.problems
    return Settings(supply_is_readable=is_readable, resistors_are_readable=is_readable)


# --- Reading ----------------------------------------------------------------------------------------------------------


def _assemble(
    document: Document, settings: Settings, load: Load, memory: Memory
) -> tuple[list[Document], LightingPlan | None, list[Problem]]:
    """The files that a plan refers to, the plan lowered with them, and the problems of both steps."""
    if not isinstance(document.shape, WrittenPlan):
        return [], None, []
    notes = memory.notes
    shape = document.shape
    sheet = _refer(shape.decoder, document, Kind.DECODER_SHEET, load, notes)
    paths = shape.parts.root if shape.parts is not None else []
    # A catalogue that is named twice is one catalogue.
    parts = dict.fromkeys(_refer(path, document, Kind.PARTS_CATALOGUE, load, notes) for path in paths)
    catalogues = [part.meaning if part and isinstance(part.meaning, Catalogue) else None for part in parts]
    if shape.lost("parts"):
        catalogues.append(None)
    if isinstance(shape.decoder, DecoderSheet):
        inside = shape.decoder
        decoder: Decoder | None = memory.recall(("decoder",), (inside,), lambda: lower_sheet(inside, notes))
    else:
        decoder = sheet.meaning if sheet is not None and isinstance(sheet.meaning, Decoder) else None
    catalogue = memory.recall(("catalogue",), tuple(catalogues), lambda: merge(catalogues))
    plan = lower_plan(shape, decoder, catalogue, settings, memory, is_complete=document.tree.complete)
    return (
        [other for other in (sheet, *parts) if other is not None],
        plan,
        without_echoes(document.tree, notes.problems),
    )


def _refer(path: object, document: Document, kind: Kind, load: Load, notes: Notes) -> Document | None:
    if not isinstance(path, Word):
        return None
    loaded = Refusal("kind") if kind_of(path.text) is not kind else load(document.source, path.text)
    if isinstance(loaded, Refusal):
        notes.report("unreadable-file", path.span, what=loaded.reason, written=path.text, suffix=kind.value)
        return None
    return read_document(loaded, kind, RULE_NAMES)


# --- Judging ----------------------------------------------------------------------------------------------------------


# The same sheet is judged for every plan that names it; documents and settings are equal only to themselves.
@lru_cache(maxsize=64)
def _judge_alone(document: Document, settings: Settings, raising: bool) -> Report:  # noqa: FBT001  # lru_cache wants it
    context = Context(document.tree, document.problems, settings, None, _own_decoder(document, None))
    return _judge(Survey(document, (), context, document.is_complete), raising=raising)


def _judge(surveyed: Survey, *, raising: bool, pause: Callable[[], None] | None = None) -> Report:
    """All verdicts of all rules on a file, excused and stamped."""
    document, context, settings = surveyed.document, surveyed.context, surveyed.context.settings
    asked = [rule for rule in RULES if settings.levels.get(rule.name, rule.level) is not None]
    asked_names = {rule.name for rule in asked}
    heard = [
        each for each in asked if each.of_fleet is None and (context.lighting_plan is not None or not each.needs_plan)
    ]
    documents = (document, *(other for other, _ in surveyed.referred))
    excuses = {each.source: Excuses(each.tree) for each in documents}
    hearing = Hearing(document.source, excuses, settings, raising)
    for rule in heard:
        if pause is not None:
            pause()
        hearing.ask(rule, context)
    failed = {failure.rule for failure in hearing.failures}
    decided = {rule.name for rule in heard} - failed if surveyed.is_whole else set()
    stale = tuple(excuses[document.source].useless(RULE_NAMES, decided))
    for rule in heard if stale else ():
        if rule.name == "useless-allowance":
            hearing.ask(rule, replace(context, problems=stale))
    cards = _cards(surveyed, excuses)
    return Report(
        sources=(document.source,),
        deal=lambda: cards,
        findings=tuple(fingerprinted({each.source: each.tree for each in documents}, hearing.findings)),
        undecided=tuple(hearing.undecided),
        failures=tuple(hearing.failures),
        ignored=tuple(rule.name for rule in RULES if rule.name not in asked_names),
    )


def _cards(surveyed: Survey, excuses: Mapping[Source, Excuses]) -> tuple[Card, ...]:
    """What the fleet has to know of a plan."""
    plan, document = surveyed.context.lighting_plan, surveyed.document
    if plan is None:
        return ()
    governed = ((document, surveyed.context.settings), *surveyed.referred)
    files = {each.source: (each.tree, settings) for each, settings in governed}
    return (card_of(plan, document.source, Registry(files, excuses)),)


def _own_decoder(document: Document, plan: LightingPlan | None) -> Decoder | None:
    """The decoder that a file describes: a sheet does, and a plan that has the sheet in it."""
    if isinstance(document.meaning, Decoder):
        return document.meaning
    is_inside = isinstance(document.shape, WrittenPlan) and isinstance(document.shape.decoder, DecoderSheet)
    return plan.decoder if plan is not None and is_inside else None


__all__ = [
    "MOST_FINDINGS",
    "RULE_NAMES",
    "Govern",
    "Load",
    "Refusal",
    "Survey",
    "check",
    "judge",
    "merge_reports",
    "plan_of",
    "settings_of",
    "survey",
]
