"""The pipeline: a source and what it refers to go in, a `Report` comes out. It opens nothing; `load` does.

Read top to bottom: check, read, judge, excuse, stamp, sort.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

from lampwright.diagnostics import Failure, Finding, Problem, Report, Severity, Undecided
from lampwright.engine.allowances import allowances, excuse, useless
from lampwright.engine.documents import Document, read_document
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.catalogue import Catalogue, merge
from lampwright.model.lowering.decoder import lower_sheet
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.plan import lower_plan
from lampwright.model.settings import Settings
from lampwright.plan.kinds import Kind, kind_of
from lampwright.plan.lighting import LightingPlan as WrittenPlan
from lampwright.plan.sheet import DecoderSheet
from lampwright.plan.words import Word
from lampwright.rule import Context, Rule
from lampwright.rules import LATER, RULES
from lampwright.syntax import path_at
from lampwright.text import Source

MOST_FINDINGS = 100
"""Findings of one rule in one file; after them a last one says how many more there are."""

RULE_NAMES = (*(rule.name for rule in RULES), *LATER)
"""The names that settings and allowances may use."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a file that another one refers to cannot be had: a short code that the rule unreadable-file words."""

    reason: str


Load = Callable[[Source, str], Source | Refusal]
"""Gives the file that a path in a source refers to."""


def check(source: Source, settings: Settings, load: Load, *, raising: bool = False) -> Report:
    """All findings in `source` and in the files that it refers to.

    `raising` lets a rule's own failure out, for tests; without it the failure costs only that rule's findings.
    """
    kind = kind_of(source.name)
    if kind is None:
        raise ValueError(f"{source.name} is no file that Lampwright reads")
    document = read_document(source, kind, RULE_NAMES)
    referred, plan, problems = _assemble(document, settings, load)
    reports = [_judge(document, settings, plan, tuple(problems), raising)]
    reports += [_judge_alone(other, settings, raising) for other in referred]
    return merge_reports(reports)


def settings_of(source: Source) -> Settings:
    """The settings that a `lampwright.yaml` holds; what cannot be read of it is as if it were not written."""
    document = read_document(source, Kind.SETTINGS, RULE_NAMES)
    if isinstance(document.meaning, Settings):
        return document.meaning
    is_readable = not document.problems
    return Settings(supply_is_readable=is_readable, resistors_are_readable=is_readable)


def merge_reports(reports: Iterable[Report]) -> Report:
    """Several reports as one: each thing once, in order of file, line, column and rule."""
    listed = list(reports)
    findings = {_identity(finding): finding for report in listed for finding in report.findings}
    undecided = {(item.rule, *_place(item), item.lacks): item for report in listed for item in report.undecided}
    return Report(
        sources=tuple({source.name: source for report in listed for source in report.sources}.values()),
        findings=tuple(sorted(findings.values(), key=lambda finding: (*_place(finding), finding.rule))),
        undecided=tuple(sorted(undecided.values(), key=lambda item: (*_place(item), item.rule, item.lacks))),
        failures=tuple(dict.fromkeys(failure for report in listed for failure in report.failures)),
        ignored=tuple(sorted({name for report in listed for name in report.ignored})),
    )


# --- Reading ----------------------------------------------------------------------------------------------------------


def _assemble(
    document: Document, settings: Settings, load: Load
) -> tuple[list[Document], LightingPlan | None, list[Problem]]:
    """The files that a plan refers to, the plan lowered with them, and the problems of both steps."""
    if not isinstance(document.shape, WrittenPlan):
        return [], None, []
    notes = Notes()
    shape = document.shape
    sheet = _refer(shape.decoder, document, Kind.DECODER_SHEET, load, notes)
    paths = shape.parts.root if shape.parts is not None else []
    parts = [_refer(path, document, Kind.PARTS_CATALOGUE, load, notes) for path in paths]
    catalogues = [part.meaning if part and isinstance(part.meaning, Catalogue) else None for part in parts]
    if shape.lost("parts"):
        catalogues.append(None)
    if isinstance(shape.decoder, DecoderSheet):
        decoder: Decoder | None = lower_sheet(shape.decoder, notes)
    else:
        decoder = sheet.meaning if sheet is not None and isinstance(sheet.meaning, Decoder) else None
    plan = lower_plan(shape, decoder, merge(catalogues), settings, notes, is_complete=document.tree.complete)
    return [other for other in (sheet, *parts) if other is not None], plan, notes.problems


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
@lru_cache(maxsize=256)
def _judge_alone(document: Document, settings: Settings, raising: bool) -> Report:  # noqa: FBT001  # lru_cache wants it
    return _judge(document, settings, None, (), raising)


def _judge(
    document: Document,
    settings: Settings,
    plan: LightingPlan | None,
    problems: tuple[Problem, ...],
    raising: bool,  # noqa: FBT001  # handed through
) -> Report:
    """All verdicts of all rules on one file, excused and stamped."""
    context = Context(document.tree, (*document.problems, *problems), settings, plan)
    asked = [rule for rule in RULES if settings.levels.get(rule.name, rule.level) is not None]
    hearing = _Hearing(document, settings, raising)
    for rule in asked:
        if plan is not None or not rule.needs_plan:
            hearing.ask(rule, context)
    given, misspelt = allowances(document.tree)
    is_whole = document.is_complete and not problems
    heard = {rule.name for rule in asked} - {failure.rule for failure in hearing.failures}
    decided = heard if is_whole else set[str]()
    stale = (*misspelt, *useless(given, hearing.findings, hearing.undecided, RULE_NAMES, decided))
    for rule in asked:
        if stale and rule.name == "useless-allowance":
            hearing.ask(rule, replace(context, problems=stale))
    return Report(
        sources=(document.source,),
        findings=tuple(_fingerprinted(document, excuse(hearing.findings, given))),
        undecided=tuple(hearing.undecided),
        failures=tuple(hearing.failures),
        ignored=tuple(rule.name for rule in RULES if rule not in asked),
    )


@dataclass(slots=True)
class _Hearing:
    """What the rules said of one file so far."""

    document: Document
    settings: Settings
    raising: bool
    findings: list[Finding] = field(default_factory=list)
    undecided: list[Undecided] = field(default_factory=list)
    failures: list[Failure] = field(default_factory=list)

    def ask(self, rule: Rule, context: Context) -> None:
        """Hear `rule`. If it fails, that costs what it would have said and nothing else."""
        try:
            for verdict in _bounded(rule, context):
                if isinstance(verdict, Finding):
                    level = _level(rule, verdict, self.settings)
                    self.findings.append(replace(verdict, rule=rule.name, level=level))
                else:
                    self.undecided.append(replace(verdict, rule=rule.name))
        except Exception as error:
            if self.raising:
                raise
            self.failures.append(Failure(rule.name, self.document.source.name, f"{type(error).__name__}: {error}"))


def _bounded(rule: Rule, context: Context) -> Iterator[Finding | Undecided]:
    """The verdicts of a rule, of more than `MOST_FINDINGS` findings the rest as a number."""
    verdicts = rule.judge(context)
    found = 0
    for verdict in verdicts:
        if isinstance(verdict, Finding):
            found += 1
        if found <= MOST_FINDINGS:
            yield verdict
            continue
        # Problems are counted, not worded: two hundred thousand sentences would take seconds.
        problems = len(context.problems_of(rule.name))
        more = problems - MOST_FINDINGS if problems else 1 + sum(isinstance(item, Finding) for item in verdicts)
        yield Finding(verdict.span, f"and {more} more of {rule.name} in this file", ceiling=verdict_ceiling(verdict))
        return


def verdict_ceiling(verdict: Finding | Undecided) -> Severity | None:
    """How far the facts behind a verdict carry it."""
    return verdict.ceiling if isinstance(verdict, Finding) else None


def _level(rule: Rule, finding: Finding, settings: Settings) -> Severity:
    level = settings.levels.get(rule.name, rule.level)
    assert level is not None
    return level if finding.ceiling is None else min(level, finding.ceiling)


# --- Stamping ---------------------------------------------------------------------------------------------------------


def _fingerprinted(document: Document, findings: list[Finding]) -> Iterator[Finding]:
    """Each finding with a key made of rule, structural path and culprit: unique in its file, stable when lines move."""
    if not findings:
        return
    # A plan without findings does not wait for the cryptography that this loads.
    from hashlib import sha256

    seen: dict[str, int] = {}
    for finding in sorted(findings, key=lambda finding: (finding.span.start, finding.rule)):
        path = "/".join(map(str, path_at(document.tree, finding.span)))
        content = f"{finding.rule}\0{path}\0{finding.span.text}"
        count = seen[content] = seen.get(content, 0) + 1
        key = sha256(f"{content}\0{count}".encode("utf-8", "surrogatepass")).hexdigest()[:16]
        yield replace(finding, fingerprint=key)


def _place(item: Finding | Undecided) -> tuple[str, int, int]:
    return item.span.source.name, item.span.start, item.span.end


def _identity(finding: Finding) -> tuple[object, ...]:
    return (*_place(finding), finding.rule, finding.message)


__all__ = ["MOST_FINDINGS", "RULE_NAMES", "Load", "Refusal", "check", "merge_reports", "settings_of"]
