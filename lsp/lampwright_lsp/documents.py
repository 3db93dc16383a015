"""A URI becomes a `Snapshot`: what its text says, what was found in it, and what the findings came from. Blocks.

A snapshot is kept as long as nothing has changed of all that was looked at for it.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from threading import Lock

from lampwright.comparing import judged
from lampwright.diagnostics import Card, Finding, Report
from lampwright.engine import Survey, judge, merge_reports, survey
from lampwright.engine.documents import Document
from lampwright.engine.fixing import Judge
from lampwright.files import Files, find
from lampwright.fleet import Fleet
from lampwright.kinds import Kind, kind_of
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.rule import Context
from lampwright.settings import Governance
from lampwright.syntax import Tree
from lampwright.text import Source, Span
from lampwright_lsp.addresses import path_of
from lampwright_lsp.client import Client
from lampwright_lsp.convert import Positions
from lampwright_lsp.desk import Desk, Trace
from lampwright_lsp.holding import Holding
from lampwright_lsp.texts import Text

_LOGGER = logging.getLogger(__name__)

Pause = Callable[[], None]
"""Asked in between; raises if nobody wants the answer any more."""

_MOST_CLOSED = 64
"""Files that no buffer holds and that are kept read all the same. A plan of 50 lines takes 300 kB."""

_LOCKS = 64
"""Locks that all files share: one for each would stay for ever, whatever name a client made up."""

_MOST_PAST = 4
"""Snapshots that are out of date and have not been taken apart yet."""


def no_pause() -> None:
    """Go on."""


class Verdict:
    """The report of a survey, made when it is first asked for, and once for all who ask."""

    def __init__(self, surveyed: Survey) -> None:
        self._surveyed = surveyed
        self._lock = Lock()
        self._report: Report | None = None
        # As long as those who are here now; a list grows and shrinks in one step, whatever thread asks.
        self._askers: list[None] = []

    def report(self, pause: Pause = no_pause) -> Report:
        """All that was found."""
        self._askers.append(None)
        try:
            with self._lock:
                self._pause(pause)
                if self._report is None:
                    self._report = judge(self._surveyed, pause=lambda: self._pause(pause))
                    for failure in self._report.failures:
                        _LOGGER.error("%s: the rule %s failed: %s", failure.file, failure.rule, failure.text)
                return self._report
        finally:
            self._askers.pop()

    def _pause(self, pause: Pause) -> None:
        """Whoever steps aside for others must not keep waiting just those that wait for this."""
        if len(self._askers) == 1:
            pause()


@dataclass(frozen=True, slots=True, eq=False)
class Snapshot:
    """One version of one of our files, with all that is known of it. `version` is None if no buffer holds it.

    `uris` has the URI of each source that was read for it. `last_good` is the latest snapshot of the same file whose
    YAML could be read to its end.
    """

    uri: str
    version: int | None
    survey: Survey
    verdict: Verdict
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
        return tuple(other for other, _ in self.survey.referred)

    @property
    def report(self) -> Report:
        """All that was found, in the files that it refers to as well. Judges if nobody has asked before."""
        return self.verdict.report()

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


@dataclass(frozen=True, slots=True)
class _Told:
    """What is left of a file that was judged: enough to say what was found, and whether it has to be judged again."""

    text: Text | None
    trace: Trace
    source: Source
    report: Report
    uris: Mapping[Source, str]


@dataclass(slots=True)
class Documents:
    """All files of ours that the client has open, and those in its folders."""

    desk: Desk
    client: Client = field(default_factory=Client)
    _kept: dict[str, _Kept] = field(default_factory=dict)
    _told: dict[str, _Told] = field(default_factory=dict)
    _readers: dict[str, set[str]] = field(default_factory=dict)
    holding: Holding = field(default_factory=Holding)
    _locks: tuple[Lock, ...] = field(default_factory=lambda: tuple([Lock() for _ in range(_LOCKS)]))
    _reader_lock: Lock = field(default_factory=Lock)
    _past: list[_Kept] = field(default_factory=list)
    _fleets: dict[Path, Fleet] = field(default_factory=dict)
    _fleet_lock: Lock = field(default_factory=Lock)
    _has_fleet_news: bool = False

    def snapshot(self, uri: str) -> Snapshot | None:
        """The file of `uri` as it is now; None if it is none of ours or cannot be read."""
        kept = self._read(uri)
        return None if kept is None else _for(self.client, kept.snapshot)

    def judge(self, uri: str) -> Judge:
        """What would be found in another text of the file of `uri`, with all other files as they are now."""
        surveyed = self.surveyor(uri)
        return lambda source: judge(surveyed(source))

    def surveyor(self, uri: str) -> Callable[[Source], Survey]:
        """What another text of the file of `uri` would say, with all other files as they are now."""
        path = path_of(uri)
        assert path is not None
        files = Files(self.desk.folder_of(path), self.desk)
        governance = Governance(files)

        def govern(source: Source) -> Settings:
            return governance.settings(files.path(source))

        def surveyed(source: Source) -> Survey:
            # What is asked about may have been closed or deleted in this moment.
            imagined = files.placed(source, path)
            return survey(imagined, govern(imagined), files.load, govern)

        return surveyed

    def version(self, uri: str, source: Source) -> int | None:
        """The version of the buffer that holds `source`; None if no buffer holds that file.

        Raises ValueError if `source` is not what the file of `uri` holds now.
        """
        text = self.desk.text(uri)
        if text is None:
            return None
        if text.source(source.name) is not source:
            raise ValueError(f"{uri} has changed meanwhile")
        return text.version

    def snapshots(self, pause: Pause = no_pause) -> Iterator[Snapshot]:
        """All files that are open or in the client's folders, in the order of their URIs."""
        for uri in self.uris(pause):
            pause()
            snapshot = self.snapshot(uri)
            if snapshot is not None:
                yield snapshot

    def uris(self, pause: Pause = no_pause) -> list[str]:
        """The URIs of all files that are open or in the client's folders, with the settings that govern them."""
        found = {self.desk.uri(self.desk.really(path)) for path in (*self._listed(pause), *self._governing())}
        return sorted(found | set(self.desk.open_uris()))

    def judged(self, uri: str, pause: Pause = no_pause) -> bool:
        """Judge the file of `uri`, so that `found` tells of it as it is now; false if there is no such file."""
        with self._lock(uri):
            told = self._told.get(uri)
            if told is not None and told.text is self.desk.text(uri) and told.trace.still_holds():
                self.holding.hold(uri)
                return True
        kept = self._read(uri)
        if kept is None:
            self._drop(uri)
            return False
        snapshot = kept.snapshot
        report = snapshot.verdict.report(pause)
        pause()
        self._tell(uri, _Told(kept.text, kept.trace, snapshot.source, report, snapshot.uris))
        return True

    def found(self, uri: str) -> Found:
        """What is wrong in the file of `uri` as it was judged last, also in the eyes of the files that refer to it."""
        own = self._told.get(uri)
        reports: list[Report] = []
        uris: dict[Source, str] = {}
        for reader in list(self._readers.get(uri, ())):
            told = self._told.get(reader)
            # Who has read an older text speaks of places that may be elsewhere now.
            if told is not None and (own is None or own.source in told.uris):
                # Another thread may read a newer text of that file in this moment, and its places move there.
                here = (each for each in told.report.findings if told.uris.get(each.span.source) == uri)
                reports.append(Report(findings=tuple(here)))
                uris.update(told.uris)
        if own is not None:
            in_fleet = self._found_in_fleet(uri, own)
            reports.append(Report(findings=tuple(in_fleet)))
            for each in in_fleet:
                uris.update((span.source, self._uri_in(uri, span.source)) for span in (each.span, *_noted(each)))
        version = own.text.version if own is not None and own.text is not None else None
        return Found(uri, version, merge_reports(reports).findings, uris)

    def takes_fleet_news(self) -> bool:
        """Whether what a plan has in common with others has changed since this was asked last."""
        has_news, self._has_fleet_news = self._has_fleet_news, False
        return has_news

    def concerned(self, uri: str) -> list[str]:
        """The files that were judged with what `uri` says, itself left out: plans that name it, or that it governs."""
        return sorted(self._readers.get(uri, set()) - {uri})

    def related(self, uri: str) -> list[str]:
        """The files that were read when `uri` was judged, itself left out."""
        told = self._told.get(uri)
        return sorted(set(told.uris.values()) - {uri}) if told is not None else []

    def closed(self, uri: str) -> None:
        """No buffer holds that file any more; if it has no place in the client's folders, nothing is known of it."""
        self._kept.pop(uri, None)
        path = path_of(uri)
        if path is None or self.is_apart(uri) or not self.desk.is_file(path):
            self._drop(uri)

    def is_apart(self, uri: str) -> bool:
        """Whether that file is in none of the client's folders."""
        path = path_of(uri)
        return path is None or self.desk.folder_of(path) not in self.desk.folders

    def begin_anew(self) -> None:
        """The client has other folders: files have other names, and other plans are a fleet."""
        with self._fleet_lock:
            self._told.clear()
            self._readers.clear()
            self._fleets.clear()

    def forget_all_but(self, uris: Iterable[str]) -> None:
        """Only files that are open or among `uris` are still there, and looked for: what others said is taken back."""
        wanted = {*uris, *self.desk.open_uris()}
        for uri in [uri for uri in list(self._told) if uri not in wanted]:
            # It may have been opened in this moment.
            if self.desk.text(uri) is None:
                self._drop(uri)

    def tidy(self) -> None:
        """Take apart what is out of date, which takes as long as half of the rules: not while somebody waits."""
        # The last two are still known to the engine, which would take them apart with the next key.
        del self._past[:-2]

    # --- Reading ------------------------------------------------------------------------------------------------------

    def _read(self, uri: str) -> _Kept | None:
        path = path_of(uri)
        if path is None or kind_of(path.name) is None:
            return None
        with self._lock(uri):
            text = self.desk.text(uri)
            kept = self._kept.get(uri)
            if kept is None or kept.text is not text or not kept.trace.still_holds():
                kept = self._surveyed(uri, path, text, kept.snapshot if kept else None)
                self._keep(uri, kept)
            self.holding.hold(uri)
            return kept

    def _lock(self, uri: str) -> Lock:
        # Who holds one asks for no other, so that two files may well have the same.
        return self._locks[hash(uri) % _LOCKS]

    def _keep(self, uri: str, kept: _Kept | None) -> None:
        old = self._kept.pop(uri, None)
        if kept is not None:
            self._kept[uri] = kept
            if old is not None:
                self._past.append(old)
                del self._past[:-_MOST_PAST]
        closed = [uri for uri, each in list(self._kept.items()) if each.text is None]
        for too_many in closed[:-_MOST_CLOSED]:
            self._kept.pop(too_many, None)

    def _surveyed(self, uri: str, path: Path, text: Text | None, old: Snapshot | None) -> _Kept | None:
        trace = Trace(self.desk)
        files = Files(self.desk.folder_of(path), trace)
        source = files.source(path)
        if not isinstance(source, Source):
            return None
        governance = Governance(files)

        def govern(source: Source) -> Settings:
            return governance.settings(files.path(source))

        # What is known of an older text moves into the new one, unless somebody still has it in hand.
        is_free = old is not None and text is not None and not self.holding.is_held(uri)
        before = old.good.survey if old is not None and is_free else None
        surveyed = survey(source, govern(source), files.load, govern, before)
        read = {each: self.desk.uri(place[0]) for place, each in trace.sources.items() if isinstance(each, Source)}
        version = text.version if text is not None else None
        uris = {**read, source: uri}
        return _Kept(
            text, trace, Snapshot(uri, version, surveyed, Verdict(surveyed), uris, self.client, _last_good(old))
        )

    def _listed(self, pause: Pause) -> Iterator[Path]:
        for folder in self.desk.folders:
            governance = Governance(Files(folder, self.desk))

            def is_hidden(path: Path, is_folder: bool, governance: Governance = governance) -> bool:  # noqa: FBT001
                pause()
                return governance.is_excluded(path, is_folder)

            for path in find(folder, is_hidden, lambda _path, _why: None):
                yield path
                settings = governance.file(path)
                if settings is not None:
                    yield settings

    def _governing(self) -> Iterator[Path]:
        """The settings that govern open files, which may lie outside the client's folders."""
        for path in filter(None, map(path_of, self.desk.open_uris())):
            settings = Governance(Files(self.desk.folder_of(path), self.desk)).file(path)
            if settings is not None:
                yield settings

    # --- The fleet ----------------------------------------------------------------------------------------------------

    def _fleet_of(self, uri: str) -> Fleet:
        """The plans in one of the client's folders are a fleet, as they are for a command that is run there."""
        path = path_of(uri)
        assert path is not None
        return self._fleets.setdefault(self.desk.folder_of(path), Fleet())

    def _found_in_fleet(self, uri: str, own: _Told) -> list[Finding]:
        """What is found in the file of `uri` because of other plans."""
        # Other threads put in cards of other plans meanwhile: what is judged is a fleet that stays as it is.
        with self._fleet_lock:
            live = self._fleet_of(uri)
            involved = {other.plan: other for card in own.report.cards for other in live.involved(card)}
            fleet = Fleet(involved.values() if own.report.cards else live.cards)
        if fleet.is_in_order:
            return []
        return [finding for finding in judged(fleet) if finding.span.source is own.source]

    def _uri_in(self, uri: str, source: Source) -> str:
        """The URI of a file that is called like `source` from the folder that `uri` is in."""
        path = path_of(uri)
        assert path is not None
        return self.desk.uri(self.desk.really(self.desk.folder_of(path) / source.name))

    def _enter(self, uri: str, before: tuple[Card, ...], now: tuple[Card, ...]) -> None:
        """Put the cards of a file in the place of those that it had."""
        if not before and not now:
            return
        is_news = [card.says for card in before] != [card.says for card in now]
        with self._fleet_lock:
            fleet = self._fleet_of(uri)
            touched = is_news and any(map(fleet.touches, before))
            for card in before:
                fleet.drop(card.plan.name)
            for card in now:
                fleet.take(card)
            if touched or (is_news and any(map(fleet.touches, now))):
                self._has_fleet_news = True

    # --- What was told ------------------------------------------------------------------------------------------------

    def _tell(self, uri: str, told: _Told) -> None:
        before = self._told.get(uri)
        self._forget(uri)
        self._told[uri] = told
        self._enter(uri, before.report.cards if before is not None else (), told.report.cards)
        with self._reader_lock:
            for read in told.uris.values():
                self._readers.setdefault(read, set()).add(uri)

    def _drop(self, uri: str) -> None:
        """That file is gone, and its plan with it, unless it is known by another URI as well."""
        told = self._told.get(uri)
        self._forget(uri)
        if told is not None and told.report.cards:
            plans = {card.plan.name for card in told.report.cards}
            same = (card for other in list(self._told.values()) for card in other.report.cards)
            self._enter(uri, told.report.cards, tuple(card for card in same if card.plan.name in plans))

    def _forget(self, uri: str) -> None:
        told = self._told.pop(uri, None)
        with self._reader_lock:
            for read in told.uris.values() if told is not None else ():
                readers = self._readers.get(read, set())
                readers.discard(uri)
                if not readers:
                    self._readers.pop(read, None)


def is_ours(uri: str) -> bool:
    """Whether `uri` is that of one of our kinds of file."""
    path = path_of(uri)
    return path is not None and kind_of(path.name) is not None


def concerns_others(uri: str) -> bool:
    """Whether other files may be read with that one: all but plans are made for that."""
    path = path_of(uri)
    return path is not None and kind_of(path.name) not in (None, Kind.LIGHTING_PLAN)


def _noted(finding: Finding) -> Iterator[Span]:
    return (note.span for note in finding.notes)


def _last_good(old: Snapshot | None) -> Snapshot | None:
    good = old.good if old is not None else None
    # One is enough: it need not remember the one before it.
    return replace(good, last_good=None) if good is not None and not good.tree.broken else None


def _for(client: Client, snapshot: Snapshot) -> Snapshot:
    return snapshot if snapshot.client is client else replace(snapshot, client=client)
