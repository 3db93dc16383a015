"""All places that name the same thing, in this file and in every other one that means it."""

from __future__ import annotations

from lsprotocol import types

from lampwright_lsp.documents import Documents
from lampwright_lsp.feature import WorkspaceFeature
from lampwright_lsp.homes import asked_for, uses


def references(documents: Documents, params: types.ReferenceParams) -> list[types.Location] | None:
    """The places, those of definitions only if they are asked for."""
    snapshot = documents.snapshot(params.text_document.uri)
    if snapshot is None:
        return None
    named = asked_for(snapshot, snapshot.positions.offset(snapshot.source, params.position))
    if named is None:
        return None
    found = [
        types.Location(place.uri, snapshot.positions.range(place.named.span))
        for place in uses(documents, snapshot, named)
        if params.context.include_declaration or not place.named.is_definition
    ]
    return sorted(found, key=lambda location: (location.uri, location.range.start.line, location.range.start.character))


FEATURE = WorkspaceFeature(types.TEXT_DOCUMENT_REFERENCES, references)
