"""A lamp, a part, an output or an effect gets another name, wherever it is meant, and nothing else changes."""

from __future__ import annotations

from collections.abc import Iterable

from lsprotocol import types

from lampwright.model.keys import STEADY
from lampwright.plan.names import fault_of_name, starts_with_letter
from lampwright.text import Span
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import Feature, RefusedError, WorkspaceFeature
from lampwright_lsp.homes import Place, asked_for, definitions, uses
from lampwright_lsp.names import Named, What, names_in

_RENAMED = {What.LAMP, What.PART, What.OUTPUT, What.EFFECT}
_FAULTS = {
    "condition": "it is a word of the conditions",
    "quantity": "it reads as a quantity",
    "no-letter": "it has neither a letter nor a digit",
}


def prepare_rename(snapshot: Snapshot, params: types.PrepareRenameParams) -> types.PrepareRenamePlaceholder:
    """What would be renamed at the position. Raises RefusedError, in words, where that is nothing."""
    named = _asked(snapshot, params.position)
    return types.PrepareRenamePlaceholder(snapshot.positions.range(_written(named)), named.text)


def rename(documents: Documents, params: types.RenameParams) -> types.WorkspaceEdit | None:
    """The edits in all files. Raises RefusedError, in words, where the new name cannot be had."""
    snapshot = documents.snapshot(params.text_document.uri)
    if snapshot is None:
        return None
    named, name = _asked(snapshot, params.position), " ".join(params.new_name.split())
    if name == named.text:
        return types.WorkspaceEdit(changes={})
    if why := _fault(name, named.what):
        raise RefusedError(f'"{name}" can be no name of {_of_what(named)}: {why}')
    places = list(uses(documents, snapshot, named))
    if taken := _taken(places, named.what, name):
        raise RefusedError(f'there is {_of_what(named)} called "{name}" already, in {taken}')
    return _edit(snapshot, places, name)


FEATURE = WorkspaceFeature(types.TEXT_DOCUMENT_RENAME, rename, types.RenameOptions(prepare_provider=True))
PREPARE = Feature(types.TEXT_DOCUMENT_PREPARE_RENAME, prepare_rename)


def _asked(snapshot: Snapshot, position: types.Position) -> Named:
    named = asked_for(snapshot, snapshot.positions.offset(snapshot.source, position))
    if named is None or named.what not in _RENAMED:
        raise RefusedError("only lamps, parts, outputs and effects can be renamed")
    if named.what is What.EFFECT and named.text == STEADY:
        raise RefusedError(f'"{STEADY}" is what every decoder calls it')
    if not definitions(snapshot, named):
        raise RefusedError(f'"{named.text}" is nowhere defined')
    if snapshot.tree.broken:
        raise RefusedError("the file has a syntax error, behind which there may be more of that name")
    if named.node.style == "block":
        raise RefusedError("it is written over several lines")
    return named


def _written(named: Named) -> Span:
    """The place of the name without the quotes around it."""
    return named.span.part(1, named.span.end - named.span.start - 1) if named.node.style == "quoted" else named.span


def _of_what(named: Named) -> str:
    return f"an {named.what.value}" if named.what in (What.OUTPUT, What.EFFECT) else f"a {named.what.value}"


def _fault(name: str, what: What) -> str:
    if not name:
        return "it is empty"
    fault = fault_of_name(name)
    if fault is not None:
        return _FAULTS.get(fault, f'"{fault.removeprefix("character ")}" may not stand in it')
    if not name[0].isalnum() or (what is What.LAMP and not starts_with_letter(name)):
        return "it must start with a letter" if what is What.LAMP else "it must start with a letter or a digit"
    return ""


def _taken(places: Iterable[Place], what: What, name: str) -> str:
    """The file that has another thing of that kind and name, among those that would be changed; empty if none has."""
    for place in places:
        snapshot = place.snapshot
        for document in (snapshot.document, *snapshot.referred):
            for each in names_in(document.tree, document.kind):
                if each.what is what and each.text == name:
                    return document.source.name
    return ""


def _edit(snapshot: Snapshot, places: list[Place], name: str) -> types.WorkspaceEdit:
    edits: dict[str, list[types.TextEdit]] = {}
    versions: dict[str, int | None] = {}
    for place in places:
        # Nothing in a name needs quotes, so those that are there may stay.
        edit = types.TextEdit(snapshot.positions.range(_written(place.named)), name)
        edits.setdefault(place.uri, []).append(edit)
        if place.uri == place.snapshot.uri:
            versions[place.uri] = place.snapshot.version
    if not snapshot.client.can("workspace.workspace_edit.document_changes"):
        return types.WorkspaceEdit(changes=edits)
    return types.WorkspaceEdit(
        document_changes=[
            types.TextDocumentEdit(types.OptionalVersionedTextDocumentIdentifier(uri, versions.get(uri)), own)
            for uri, own in edits.items()
        ]
    )
