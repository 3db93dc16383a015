"""Findings on their way to the client: asked for by it, or sent unasked, never both. Knows when, not what they say."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import Callable, Coroutine, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from lsprotocol import types

from lampwright_lsp.client import Client
from lampwright_lsp.documents import Documents, Found, Pause
from lampwright_lsp.features.diagnostics import diagnostics
from lampwright_lsp.work import Run, StoppedError, Work

QUIET = 0.2
"""Seconds without a change before other files are looked at that may be concerned."""

Said = tuple[list[types.Diagnostic], str]
"""What is to be said of a file, and a name for it."""


class Teller(Protocol):
    """Tells a client what was found."""

    def begin(self) -> None:
        """The client is ready."""

    def changed(self, uri: str) -> None:
        """A buffer was opened or changed."""

    def closed(self, uri: str) -> None:
        """A buffer was closed."""

    def others_changed(self) -> None:
        """Files have changed that others may read: on the disk, or in the buffer of a sheet."""


def result_id(items: list[types.Diagnostic]) -> str:
    """A name for what is said of a file; the same for the same."""
    written = repr([_all_of(item) for item in items])
    return hashlib.blake2b(written.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


def _all_of(item: types.Diagnostic) -> tuple[object, ...]:
    related = [
        (each.message, each.location.uri, *_ends(each.location.range)) for each in item.related_information or ()
    ]
    page = item.code_description.href if item.code_description is not None else None
    return item.message, *_ends(item.range), item.severity, item.code, page, item.tags, item.data, related


def _ends(place: types.Range) -> tuple[int, ...]:
    return place.start.line, place.start.character, place.end.line, place.end.character


class Later:
    """Calls a function once it was quiet for a while."""

    def __init__(self, function: Callable[[], None]) -> None:
        self._function = function
        self._handle: asyncio.TimerHandle | None = None

    def soon(self) -> None:
        """Something has happened; the function is put off again."""
        if self._handle is not None:
            self._handle.cancel()
        self._handle = asyncio.get_running_loop().call_later(QUIET, self._function)


@dataclass(slots=True, eq=False)
class Asked:
    """Answers a client that asks. `refresh` asks it to ask again."""

    documents: Documents
    work: Work[Said]
    refresh: Callable[[], None]
    _later: Later = field(init=False)
    _news: asyncio.Event = field(default_factory=asyncio.Event)

    def __post_init__(self) -> None:
        self._later = Later(self._others_are_quiet)

    def begin(self) -> None:
        """The client asks when it wants to know."""

    def changed(self, uri: str) -> None:
        """The client asks itself after what it has changed."""

    def closed(self, uri: str) -> None:  # noqa: ARG002  # the shape of a Teller
        """From now on the file is one of those that are not open."""
        self.others_changed()

    def others_changed(self) -> None:
        """The client is asked to ask again."""
        self._later.soon()

    def _others_are_quiet(self) -> None:
        self._news.set()
        self._news = asyncio.Event()
        self.refresh()

    async def document(self, params: types.DocumentDiagnosticParams) -> types.DocumentDiagnosticReport:
        """What was found in one file."""
        uri = params.text_document.uri
        items, name = await self.work.judged(uri)
        if self.documents.takes_fleet_news():
            self.others_changed()
        if name == params.previous_result_id:
            return types.RelatedUnchangedDocumentDiagnosticReport(result_id=name)
        return types.RelatedFullDocumentDiagnosticReport(items=items, result_id=name)

    async def workspace(self, params: types.WorkspaceDiagnosticParams) -> types.WorkspaceDiagnosticReport:
        """What was found in all files that are not open; if the client knows all of it, it waits for news."""
        known = {each.uri: each.value for each in params.previous_result_ids}
        while True:
            news = self._news
            reports = await self._reports(known)
            if self.documents.takes_fleet_news():
                self.others_changed()
            if not known or any(report.kind == "full" for report in reports):
                return types.WorkspaceDiagnosticReport(reports)
            await news.wait()

    async def _reports(self, known: Mapping[str, str]) -> list[types.WorkspaceDocumentDiagnosticReport]:
        run: Run[None] = Run()

        def reports(pause: Pause) -> list[types.WorkspaceDocumentDiagnosticReport]:
            found = everything(self.documents, pause)
            gone = [Found(uri, None, (), {}) for uri in known if uri not in {each.uri for each in found}]
            closed = [each for each in (*found, *gone) if self.documents.desk.text(each.uri) is None]
            return [_report(each, known.get(each.uri), self.documents.client) for each in closed]

        try:
            return await self.work.in_background(reports, run)
        finally:
            # The client may not want it any more.
            run.is_stopped = True


@dataclass(slots=True, eq=False)
class Unasked:
    """Sends to a client that does not ask. `refresh` asks it to ask again for what else it shows."""

    documents: Documents
    work: Work[Said]
    refresh: Callable[[], None]
    publish: Callable[[types.PublishDiagnosticsParams], None]
    _later: Later = field(init=False)
    _tasks: dict[str, asyncio.Task[None]] = field(default_factory=dict)
    _sent: dict[str, tuple[int | None, str]] = field(default_factory=dict)
    _sweep: Run[None] = field(default_factory=Run)

    def __post_init__(self) -> None:
        self._later = Later(self._others_are_quiet)

    def begin(self) -> None:
        """All files are looked at."""
        self._look_at_all()

    def changed(self, uri: str) -> None:
        """The file is checked at once."""
        self._do(uri, self._tell(uri))

    def closed(self, uri: str) -> None:
        """What is on the disk counts from now on, if it is still looked for there."""
        if uri in self._tasks:
            self._tasks.pop(uri).cancel()
        self.others_changed()

    def others_changed(self) -> None:
        """All files are looked at, in the background."""
        self._later.soon()

    def _others_are_quiet(self) -> None:
        self.refresh()
        self._look_at_all()

    def _look_at_all(self) -> None:
        self._sweep.is_stopped = True
        self._sweep = Run()
        self._do("", self._tell_all(self._sweep))

    def _do(self, name: str, work: Coroutine[None, None, None]) -> None:
        """Have `work` done instead of what was to be done under that name."""
        if name in self._tasks:
            self._tasks[name].cancel()
        self._tasks[name] = asyncio.get_running_loop().create_task(work)

    async def _tell(self, uri: str) -> None:
        self._send(uri, await self.work.judged(uri))
        if self.documents.takes_fleet_news():
            self.others_changed()

    async def _tell_all(self, run: Run[None]) -> None:
        for uri in self.documents.desk.open_uris():
            await self._tell(uri)
        try:
            found = await self.work.in_background(lambda pause: everything(self.documents, pause), run)
        except StoppedError:
            return
        if self.documents.takes_fleet_news():
            self.others_changed()
        for uri in {*(each.uri for each in found), *self._sent}:
            if self.documents.desk.text(uri) is None:
                self._send(uri, await self.work.answer(said, self.documents, uri))

    def _send(self, uri: str, said: Said) -> None:
        items, name = said
        text = self.documents.desk.text(uri)
        version = text.version if text is not None else None
        known = self._sent.get(uri)
        # A file that is not open and has nothing wrong need not be mentioned.
        if known == (version, name) or (known is None and not items and text is None):
            return
        self._sent[uri] = version, name
        self.publish(types.PublishDiagnosticsParams(uri, items, version))


def everything(documents: Documents, pause: Pause) -> list[Found]:
    """What is wrong in all files, those included that lie outside the client's folders and are referred to.

    What was known of others is forgotten. Who wants to hear of open files only has none but those.
    """
    uris: dict[str, None] = {}
    if not documents.client.preferences.workspace_diagnostics:
        documents.forget_all_but(())
        return []
    listed = documents.uris(pause)
    documents.forget_all_but(listed)
    for uri in listed:
        pause()
        with documents.holding.job():
            if documents.judged(uri, pause):
                uris.update(dict.fromkeys((uri, *documents.related(uri))))
    return [documents.found(uri) for uri in uris]


def said(documents: Documents, uri: str) -> Said:
    """What is to be said of a file, and its name."""
    is_wanted = documents.desk.text(uri) is not None or documents.client.preferences.workspace_diagnostics
    items = diagnostics(documents.found(uri), documents.client) if is_wanted else []
    return items, result_id(items)


def _report(found: Found, known: str | None, client: Client) -> types.WorkspaceDocumentDiagnosticReport:
    items = diagnostics(found, client)
    name = result_id(items)
    if name == known:
        return types.WorkspaceUnchangedDocumentDiagnosticReport(found.uri, name)
    return types.WorkspaceFullDocumentDiagnosticReport(found.uri, items, result_id=name)
