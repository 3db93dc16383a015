"""Code actions: the fixes of findings, all sure fixes at once, an allowance, and entries that a plan lacks.

What they do is made in `lampwright`; here it is chosen what is offered where, and when it is worked out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import islice
from typing import Any

from lsprotocol import converters, types

from lampwright.diagnostics import Finding
from lampwright.engine.composing import edits_of
from lampwright.engine.entering import Entering, definition, labels, part_of
from lampwright.engine.excusing import to_be_excused
from lampwright.engine.fixing import mend
from lampwright.kinds import Kind
from lampwright.syntax import Tree
from lampwright.text import Span
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.edits import workspace_edit
from lampwright_lsp.feature import Command, RefusedError, WorkspaceFeature

FIX_ALL = "source.fixAll.lampwright"
_APPLY = "lampwright.apply"
_converter = cache(converters.get_converter)
_NEVER = "that is none of the actions that were offered"
_QUICK = types.CodeActionKind.QuickFix
_EXTRACT = types.CodeActionKind.RefactorExtract
_REWRITE = types.CodeActionKind.RefactorRewrite

# Nobody looks through more; and where an allowance could stand takes several judgements to find out.
_MOST, _MOST_TRIED = 100, 5


def code_actions(documents: Documents, params: types.CodeActionParams) -> list[types.CodeAction | types.Command] | None:
    """What can be done about the range that the client asks for.

    A client that is older than actions with edits gets commands, if it lets us change its texts when it runs one.
    """
    snapshot = documents.snapshot(params.text_document.uri)
    is_old = not documents.client.can("text_document.code_action.code_action_literal_support")
    if snapshot is None or (is_old and not documents.client.can("workspace.apply_edit")):
        return None
    place = snapshot.positions.span(snapshot.source, params.range)
    wanted = list(_actions(_Asked(documents, snapshot, place, params.context)))
    if is_old:
        return [_as_command(documents, action) for action in wanted]
    preferred = next((each for each in wanted if each.is_preferred), None)
    for each in wanted:
        each.is_preferred = True if each is preferred else None
    return list(wanted)


def resolved(documents: Documents, action: types.CodeAction) -> types.CodeAction:
    """An action with its edit, unless its text has changed meanwhile: then it stays without."""
    data = action.data if isinstance(action.data, Mapping) else {}
    snapshot = documents.snapshot(str(data.get("uri")))
    if snapshot is not None and snapshot.version == data.get("version"):
        finding = _found(snapshot, data.get("finding"))
        if finding is not None:
            action.edit = _allowing(documents, snapshot, finding)
        elif "finding" not in data:
            action.edit = _fixing_all(documents, snapshot)
    return action


class _Asked:
    """What a client asks for: about which place, and which kinds."""

    def __init__(self, documents: Documents, snapshot: Snapshot, place: Span, context: types.CodeActionContext) -> None:
        self.documents, self.snapshot, self.place = documents, snapshot, place
        self.shown = list(context.diagnostics)
        self._only = [str(getattr(kind, "value", kind)) for kind in context.only] if context.only is not None else None
        self.is_automatic = context.trigger_kind is types.CodeActionTriggerKind.Automatic
        self.resolves = _resolves(documents)

    def wants(self, kind: str) -> bool:
        """Whether actions of that kind are of use; who asks by himself, as for the bulb in the margin, wants fixes."""
        if self._only is None:
            return kind == _QUICK or not self.is_automatic
        return any(not only or kind == only or kind.startswith(f"{only}.") for only in self._only)

    def touches(self, span: Span) -> bool:
        """Whether a place of this text meets the one that is asked about; ends count."""
        return span.source is self.snapshot.source and span.start <= self.place.end and self.place.start <= span.end

    def shown_as(self, finding: Finding) -> list[types.Diagnostic]:
        """What the client shows of a finding. Not all clients give back the data of a diagnostic."""
        by_data = [each for each in self.shown if each.data == finding.fingerprint]
        place = self.snapshot.positions.range(finding.span)
        return by_data or [each for each in self.shown if each.code == finding.rule and each.range == place]


def _actions(asked: _Asked) -> Iterator[types.CodeAction]:
    if asked.wants(_QUICK):
        yield from islice(_cures(asked), _MOST)
    yield from _refactorings(asked)
    if asked.wants(FIX_ALL):
        yield from _fix_all(asked)


def _cures(asked: _Asked) -> Iterator[types.CodeAction]:
    """What cures the findings, and after that what excuses them."""
    findings = list(_findings(asked))
    for reader, finding in findings:
        yield from _fixes(asked, reader, finding)
        yield from _definitions(asked, reader, finding)
    own = [finding for reader, finding in findings if reader is asked.snapshot]
    for finding in own if asked.resolves else own[:_MOST_TRIED]:
        yield from _allowance(asked, finding)


def _findings(asked: _Asked) -> Iterator[tuple[Snapshot, Finding]]:
    """The open findings that touch the place, each with the file that was judged: this one or one that refers to it."""
    documents, own = asked.documents, asked.snapshot
    others = (documents.snapshot(uri) for uri in documents.concerned(own.uri))
    seen: set[tuple[str, int]] = set()
    for reader in (own, *(other for other in others if other is not None)):
        for finding in reader.report.findings:
            about = finding.fingerprint, finding.span.start
            if finding.allowed is None and about not in seen and asked.touches(finding.span):
                seen.add(about)
                yield reader, finding


# --- Fixes ------------------------------------------------------------------------------------------------------------


def _fixes(asked: _Asked, reader: Snapshot, finding: Finding) -> Iterator[types.CodeAction]:
    for fix in finding.fixes:
        edit = workspace_edit(asked.documents, reader.uris, fix.edits, None if fix.sure else fix.title)
        if edit is not None:
            yield types.CodeAction(
                fix.title, _QUICK, asked.shown_as(finding) or None, is_preferred=fix.sure or None, edit=edit
            )


def _fix_all(asked: _Asked) -> Iterator[types.CodeAction]:
    snapshot = asked.snapshot
    sure = (
        all(edit.span.source is snapshot.source for edit in fix.edits)
        for finding in snapshot.report.findings
        for fix in finding.fixes
        if fix.sure and finding.allowed is None
    )
    if any(sure):
        action = types.CodeAction("Make all sure fixes", FIX_ALL, data=_data(snapshot))
        if not asked.resolves:
            action.edit = _fixing_all(asked.documents, snapshot)
        yield from [action] if asked.resolves or action.edit is not None else []


def _fixing_all(documents: Documents, snapshot: Snapshot) -> types.WorkspaceEdit | None:
    edits = edits_of(snapshot.source, mend(snapshot.source, documents.judge(snapshot.uri)))
    return workspace_edit(documents, snapshot.uris, edits) if edits else None


# --- Allowances -------------------------------------------------------------------------------------------------------


def _allowance(asked: _Asked, finding: Finding) -> Iterator[types.CodeAction]:
    # An allowance that is useless is not cured by another one; and who is not asked need not try where it could stand.
    if finding.rule == "useless-allowance" or (asked.is_automatic and not asked.resolves):
        return
    snapshot = asked.snapshot
    place = [finding.fingerprint, finding.span.start]
    action = types.CodeAction(
        f"Allow {finding.rule} here, for a reason to be written",
        _QUICK,
        asked.shown_as(finding) or None,
        data={**_data(snapshot), "finding": place},
    )
    if not asked.resolves:
        action.edit = _allowing(asked.documents, snapshot, finding)
    yield from [action] if asked.resolves or action.edit is not None else []


def _allowing(documents: Documents, snapshot: Snapshot, finding: Finding) -> types.WorkspaceEdit | None:
    edit = to_be_excused(snapshot.source, finding, documents.judge(snapshot.uri))
    return workspace_edit(documents, snapshot.uris, [edit], types_on=True) if edit is not None else None


# --- Entries that are lacking -----------------------------------------------------------------------------------------


def _definitions(asked: _Asked, reader: Snapshot, finding: Finding) -> Iterator[types.CodeAction]:
    """Of a name that is near no other; else it is a slip."""
    if finding.rule != "unknown-name" or finding.fixes:
        return
    for problem in reader.context.problems_of("unknown-name"):
        if problem.span == finding.span:
            sheet = next(iter(_trees(reader, Kind.DECODER_SHEET)), None)
            entering = definition(reader.tree, sheet, _trees(reader, Kind.PARTS_CATALOGUE), problem)
            yield from _entered(asked, reader, entering, _QUICK, finding)


def _refactorings(asked: _Asked) -> Iterator[types.CodeAction]:
    snapshot, plan = asked.snapshot, asked.snapshot.plan
    if plan is None or snapshot.tree.broken:
        return
    if asked.wants(_EXTRACT):
        part = part_of(snapshot.tree, _trees(snapshot, Kind.PARTS_CATALOGUE), asked.place)
        yield from _entered(asked, snapshot, part, _EXTRACT)
    if asked.wants(_REWRITE):
        for span, entering in labels(snapshot.tree, plan, snapshot.settings):
            if asked.touches(span):
                yield from _entered(asked, snapshot, entering, _REWRITE)


def _entered(
    asked: _Asked,
    reader: Snapshot,
    entering: Entering | None,
    kind: types.CodeActionKind,
    finding: Finding | None = None,
) -> Iterator[types.CodeAction]:
    if entering is None:
        return
    shown = asked.shown_as(finding) if finding is not None else []
    # What defines a name leaves its data to be filled in.
    question = entering.title if finding is not None else None
    edit = workspace_edit(asked.documents, reader.uris, entering.edits, question)
    if edit is not None:
        yield types.CodeAction(entering.title, kind, shown or None, edit=edit)


# --- What the client is told ------------------------------------------------------------------------------------------


def _trees(snapshot: Snapshot, kind: Kind) -> list[Tree]:
    return [other.tree for other in snapshot.referred if other.kind is kind]


def _data(snapshot: Snapshot) -> dict[str, Any]:
    return {"uri": snapshot.uri, "version": snapshot.version}


def _found(snapshot: Snapshot, place: object) -> Finding | None:
    """The finding of that fingerprint and start."""
    return next(
        (
            each
            for each in snapshot.report.findings
            if [each.fingerprint, each.span.start] == place and not each.allowed
        ),
        None,
    )


def _resolves(documents: Documents) -> bool:
    """Whether the client asks for the edit when an action is chosen, and gives back the data for that."""
    texts = documents.client.capabilities.text_document
    can = texts.code_action if texts is not None else None
    support = can.resolve_support if can is not None else None
    if can is None or can.code_action_literal_support is None or support is None:
        return False
    return bool(can.data_support and "edit" in support.properties)


# --- Clients that know commands only ----------------------------------------------------------------------------------


def _as_command(documents: Documents, action: types.CodeAction) -> types.Command:
    """What such a client can be given has no data to find an edit by: the edit goes with it, and comes back."""
    assert action.edit is not None
    versions = {uri: text.version for uri in _touched(action.edit) if (text := documents.desk.text(uri)) is not None}
    edit = _converter().unstructure(action.edit)
    return types.Command(action.title, _APPLY, arguments=[action.title, versions, edit])


def _applied(documents: Documents, arguments: list[Any]) -> types.ApplyWorkspaceEditParams:
    """The edit of an action that was chosen, if the texts are still those that it is for."""
    try:
        title, versions, written = arguments
        edit = _converter().structure(written, types.WorkspaceEdit)
        touched, expected = _touched(edit), dict(versions)
    except Exception as error:
        raise RefusedError(_NEVER) from error
    if not touched:
        raise RefusedError(_NEVER)
    for uri in touched:
        text = documents.desk.text(uri)
        if (text.version if text is not None else None) != expected.get(uri):
            raise RefusedError("the text has changed since that was offered")
    return types.ApplyWorkspaceEditParams(edit, label=str(title))


def _touched(edit: types.WorkspaceEdit) -> list[str]:
    several = [each for each in edit.document_changes or () if isinstance(each, types.TextDocumentEdit)]
    return [*(edit.changes or {}), *(each.text_document.uri for each in several)]


FEATURE = WorkspaceFeature(
    types.TEXT_DOCUMENT_CODE_ACTION,
    code_actions,
    types.CodeActionOptions(code_action_kinds=[_QUICK, _EXTRACT, _REWRITE, FIX_ALL], resolve_provider=True),
)
RESOLVE = WorkspaceFeature(types.CODE_ACTION_RESOLVE, resolved)
APPLY = Command(_APPLY, _applied)
