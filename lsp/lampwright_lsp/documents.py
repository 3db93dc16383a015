"""A URI becomes a `Snapshot`: what its text says, what was found in it, and what the findings came from. Blocks.

A snapshot is kept as long as nothing has changed of all that was looked at for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from lampwright.diagnostics import Finding, Report
from lampwright.engine import Survey, merge_reports, survey
from lampwright.engine.documents import Document
from lampwright.files import Files, find
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.plan.kinds import Kind, kind_of
from lampwright.rule import Context
from lampwright.settings import Governance
from lampwright.syntax import Tree
from lampwright.text import Source, Span
from lampwright_lsp.addresses import path_of
from lampwright_lsp.client import Client
from lampwright_lsp.convert import Positions
from lampwright_lsp.desk import Desk, Trace
from lampwright_lsp.texts import Text

Pause = Callable[[], None]
"""Asked in between; raises if nobody wants the answer any more."""


@dataclass(frozen=True, slots=True, eq=False)
class Snapshot:
    """One version of one of our files, with all that is known of it. `version` is None if no buffer holds it.

    `uris` has the URI of each source that was read for it. `last_good` is the latest snapshot of the same file whose
    YAML could be read to its end.
    """

    uri: str
    version: int | None
    survey: Survey
    uris: Mapping[Source, str]
    client: Client
    last_good: Snapshot | None = None

    @property
    def source(self) -> Source:
        """The text."""
        return self.survey.document.source

    @property
    def kind(self) -> Kind:
        """Which of the four kinds of file it is."""
        return self.survey.document.kind

    @property
    def document(self) -> Document:
        """What the file says on its own: tree, shape, problems, meaning."""
        return self.survey.document

    @property
    def tree(self) -> Tree:
        """The YAML with its places; ends where a syntax error is."""
        return self.survey.document.tree

    @property
    def referred(self) -> tuple[Document, ...]:
        """The decoder sheet and the catalogues that a plan names."""
        return self.survey.referred

    @property
    def report(self) -> Report:
        """All that was found, in the files that it refers to as well."""
        return self.survey.report

    @property
    def context(self) -> Context:
        """The facts: `electrical`, `logic`, `programming` and more; ask for them only where there is a `plan`."""
        return self.survey.context

    @property
    def plan(self) -> LightingPlan | None:
        """The plan with its sheet and parts; None for other kinds of file, and where nothing can be read."""
        return self.survey.context.lighting_plan

    @property
    def settings(self) -> Settings:
        """The settings that govern the file."""
        return self.survey.context.settings

    @property
    def positions(self) -> Positions:
        """How the client counts."""
        return self.client.positions

    @property
    def good(self) -> Snapshot:
        """The snapshot itself, or the latest one whose YAML could be read to its end; if there was none, itself."""
        return self if not self.tree.broken or self.last_good is None else self.last_good

    def uri_of(self, span: Span) -> str:
        """The URI of the file that `span` is in, which may be the sheet, a catalogue or the settings."""
        return self.uris[span.source]


@dataclass(frozen=True, slots=True)
class Found:
    """All that is wrong in the file of `uri`. `uris` has the URI of each source that a finding or a note is in."""

    uri: str
    version: int | None
    findings: tuple[Finding, ...]
    uris: Mapping[Source, str]


@dataclass(frozen=True, slots=True)
class _Kept:
    text: Text | None
    trace: Trace
    snapshot: Snapshot


class Documents:
    """All files of ours that the client has open, and those in its folders."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.client = Client()
        self.folders: tuple[Path, ...] = ()
        self._kept: dict[str, _Kept] = {}

    def snapshot(self, uri: str, pause: Pause = lambda: None) -> Snapshot | None:
        """The file of `uri` as it is now; None if it is none of ours or cannot be read."""
        text = self.desk.text(uri)
        path = path_of(uri)
        if path is None or kind_of(path.name) is None:
            return None
        kept = self._kept.get(uri)
        if kept is None or kept.text is not text or not kept.trace.still_holds():
            kept = self._surveyed(uri, path, text, kept.snapshot if kept else None, pause)
            if kept is None:
                self._kept.pop(uri, None)
                return None
            self._kept[uri] = kept
        return _for(self.client, kept.snapshot)

    def snapshots(self, pause: Pause = lambda: None) -> Iterator[Snapshot]:
        """All files that are open or in the client's folders, in the order of their URIs."""
        for uri in self.uris():
            pause()
            snapshot = self.snapshot(uri, pause)
            if snapshot is not None:
                yield snapshot

    def uris(self) -> list[str]:
        """The URIs of all files that are open or in the client's folders, with the settings that govern them."""
        found = {self.desk.uri(self.desk.really(path)) for path in self._listed()}
        return sorted(found | {uri for uri in self.desk.open_uris() if is_ours(uri)})

    def found(self, uri: str) -> Found:
        """What is wrong in the file of `uri`, as it was read last, and as the files saw it that refer to it."""
        reports: list[Report] = []
        uris: dict[Source, str] = {}
        own = self._kept.get(uri)
        for kept in list(self._kept.values()):
            if kept is own or (uri in kept.snapshot.uris.values() and kept.trace.still_holds()):
                here = (each for each in kept.snapshot.report.findings if kept.snapshot.uri_of(each.span) == uri)
                reports.append(Report(findings=tuple(here)))
                uris.update(kept.snapshot.uris)
        return Found(uri, own.snapshot.version if own else None, merge_reports(reports).findings, uris)

    def dependents(self, uri: str) -> list[str]:
        """The files that were read before with what `uri` says: plans that name it, or that it governs."""
        kept = list(self._kept.values())
        return [each.snapshot.uri for each in kept if each.snapshot.uri != uri and uri in each.snapshot.uris.values()]

    def forget(self, uri: str) -> None:
        """Nobody asks for that file any more."""
        self._kept.pop(uri, None)

    def _listed(self) -> Iterator[Path]:
        for folder in self.folders:
            files = Files(folder, self.desk)
            governance = Governance(files)
            for path in find(folder, governance.is_excluded, lambda _path, _why: None):
                yield path
                settings = governance.file(path)
                if settings is not None:
                    yield settings

    def _surveyed(self, uri: str, path: Path, text: Text | None, old: Snapshot | None, pause: Pause) -> _Kept | None:
        trace = Trace(self.desk)
        files = Files(self._folder(path), trace)
        source = files.source(path)
        if not isinstance(source, Source):
            return None
        governance = Governance(files)

        def govern(source: Source) -> Settings:
            return governance.settings(files.path(source))

        surveyed = survey(source, govern(source), files.load, govern=govern, pause=pause)
        read = {each: self.desk.uri(place[0]) for place, each in trace.sources.items() if isinstance(each, Source)}
        version = text.version if text is not None else None
        last_good = old.good if old is not None and not old.good.tree.broken else None
        if last_good is not None:
            last_good = replace(last_good, last_good=None)
        snapshot = Snapshot(uri, version, surveyed, {**read, source: uri}, self.client, last_good)
        return _Kept(text, trace, snapshot)

    def _folder(self, path: Path) -> Path:
        """The folder that names are relative to: the innermost of the client's that holds `path`, or its own."""
        holding = [folder for folder in self.folders if path.is_relative_to(folder)]
        return max(holding, key=lambda folder: len(folder.parts), default=path.parent)


def is_ours(uri: str) -> bool:
    """Whether `uri` is that of one of our kinds of file."""
    path = path_of(uri)
    return path is not None and kind_of(path.name) is not None


def _for(client: Client, snapshot: Snapshot) -> Snapshot:
    return snapshot if snapshot.client is client else replace(snapshot, client=client)
