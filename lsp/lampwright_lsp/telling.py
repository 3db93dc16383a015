"""Findings on their way to the client: asked for by it, or sent unasked, never both. Knows when, not what they say."""

from __future__ import annotations

import asyncio
import hashlib
import json
from collections.abc import Callable
from typing import Protocol

from lsprotocol import converters, types

from lampwright_lsp.documents import Documents, Found, Pause, is_ours
from lampwright_lsp.features.diagnostics import diagnostics
from lampwright_lsp.work import Run, StoppedError, Work

QUIET = 0.2
"""Seconds without a change before other files are looked at that may be concerned."""

_CONVERTER = converters.get_converter()


class Teller(Protocol):
    """Tells a client what was found."""

    def changed(self, uri: str) -> None:
        """A buffer was opened or changed."""

    def closed(self, uri: str) -> None:
        """A buffer was closed."""

    def others_changed(self) -> None:
        """Files have changed that others may read: on the disk, or in the buffer of a sheet."""


def result_id(items: list[types.Diagnostic]) -> str:
    """A name for what is said of a file; the same for the same."""
    written = json.dumps(_CONVERTER.unstructure(items, list[types.Diagnostic]), sort_keys=True)
    return hashlib.blake2b(written.encode(), digest_size=12).hexdigest()


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


class Asked:
    """Answers a client that asks."""

    def __init__(self, documents: Documents, work: Work, refresh: Callable[[], None]) -> None:
        self.documents = documents
        self.work = work
        self._refresh = refresh
        self._later = Later(self._others_are_quiet)
        self._news = asyncio.Event()

    def changed(self, uri: str) -> None:
        """The client asks itself after what it has changed."""

    def closed(self, uri: str) -> None:
        """From now on the file is one of those that are not open."""
        if is_ours(uri):
            self.others_changed()

    def others_changed(self) -> None:
        """The client is asked to ask again."""
        self._later.soon()

    def _others_are_quiet(self) -> None:
        self._news.set()
        self._news = asyncio.Event()
        self._refresh()

    async def document(self, params: types.DocumentDiagnosticParams) -> types.DocumentDiagnosticReport:
        """What was found in one file."""
        uri = params.text_document.uri
        snapshot = await self.work.snapshot(uri)
        if snapshot is None:
            return types.RelatedFullDocumentDiagnosticReport(items=[])
        items = await self.work.answer(self._items, uri)
        name = result_id(items)
        if name == params.previous_result_id:
            return types.RelatedUnchangedDocumentDiagnosticReport(result_id=name)
        return types.RelatedFullDocumentDiagnosticReport(items=items, result_id=name)

    async def workspace(self, params: types.WorkspaceDiagnosticParams) -> types.WorkspaceDiagnosticReport:
        """What was found in all files that are not open; if that is what the client knows, it waits for news."""
        known = {each.uri: each.value for each in params.previous_result_ids}
        while True:
            news = self._news
            reports = await self._reports(known)
            is_new = any(report.kind == "full" for report in reports)
            if is_new or not known:
                return types.WorkspaceDiagnosticReport(reports)
            await news.wait()

    async def _reports(self, known: dict[str, str]) -> list[types.WorkspaceDocumentDiagnosticReport]:
        if not self.documents.client.preferences.workspace_diagnostics:
            found: list[Found] = []
        else:
            run = Run()
            try:
                found = await self.work.in_background(lambda pause: everything(self.documents, pause), run)
            except asyncio.CancelledError:
                run.is_stopped = True
                raise
        closed = [each for each in found if self.documents.desk.text(each.uri) is None]
        gone = [Found(uri, None, (), {}) for uri in known if uri not in {each.uri for each in closed}]
        return [self._report(each, known.get(each.uri)) for each in (*closed, *gone)]

    def _report(self, found: Found, known: str | None) -> types.WorkspaceDocumentDiagnosticReport:
        items = diagnostics(found, self.documents.client)
        name = result_id(items)
        if name == known:
            return types.WorkspaceUnchangedDocumentDiagnosticReport(found.uri, name)
        return types.WorkspaceFullDocumentDiagnosticReport(found.uri, items, result_id=name)

    def _items(self, uri: str) -> list[types.Diagnostic]:
        return diagnostics(self.documents.found(uri), self.documents.client)


class Unasked:
    """Sends to a client that does not ask."""

    def __init__(
        self, documents: Documents, work: Work, publish: Callable[[types.PublishDiagnosticsParams], None]
    ) -> None:
        self.documents = documents
        self.work = work
        self._publish = publish
        self._later = Later(self._others_are_quiet)
        self._tasks: dict[str, asyncio.Task[None]] = {}
        self._sent: dict[str, tuple[int | None, str]] = {}
        self._sweep = Run()

    def changed(self, uri: str) -> None:
        """The file is checked at once."""
        self._begin(uri, self._tell(uri))

    def closed(self, uri: str) -> None:
        """What is on the disk counts from now on."""
        self._sent.pop(uri, None)
        if is_ours(uri):
            self._begin(uri, self._tell_closed(uri))
            self.others_changed()

    def others_changed(self) -> None:
        """All files are looked at, in the background."""
        self._later.soon()

    def _others_are_quiet(self) -> None:
        self._sweep.is_stopped = True
        self._sweep = Run()
        self._begin("", self._tell_all(self._sweep))

    def _begin(self, name: str, doing: object) -> None:
        old = self._tasks.get(name)
        if old is not None:
            old.cancel()
        self._tasks[name] = asyncio.get_running_loop().create_task(doing)  # type: ignore[arg-type]

    async def _tell(self, uri: str) -> None:
        if await self.work.snapshot(uri) is not None:
            found = await self.work.answer(self.documents.found, uri)
            self._send(found)

    async def _tell_closed(self, uri: str) -> None:
        if await self.work.snapshot(uri) is None:
            self._send(Found(uri, None, (), {}))

    async def _tell_all(self, run: Run) -> None:
        try:
            every = await self.work.in_background(lambda pause: everything(self.documents, pause), run)
        except StoppedError:
            return
        is_wanted = self.documents.client.preferences.workspace_diagnostics
        for found in every:
            text = self.documents.desk.text(found.uri)
            if (text.version if text else None) == found.version and (is_wanted or text):
                self._send(found)
        gone = set(self._sent) - {each.uri for each in every}
        for uri in gone:
            self._send(Found(uri, None, (), {}))

    def _send(self, found: Found) -> None:
        items = diagnostics(found, self.documents.client)
        name = found.version, result_id(items)
        known = self._sent.get(found.uri)
        # A file with nothing to say of it need not be mentioned.
        if known == name or (known is None and not items and found.version is None):
            return
        self._sent[found.uri] = name
        self._publish(types.PublishDiagnosticsParams(found.uri, items, found.version))


def everything(documents: Documents, pause: Pause) -> list[Found]:
    """What is wrong in all files, those included that lie outside the client's folders and are referred to."""
    uris: dict[str, None] = {}
    for snapshot in documents.snapshots(pause):
        uris.setdefault(snapshot.uri)
        uris.update(dict.fromkeys(snapshot.uris[each] for each in snapshot.report.sources))
    return [documents.found(uri) for uri in uris]


__all__ = ["Asked", "Teller", "Unasked"]
