"""All places in this file that name the same thing as the position: definitions as written, uses as read."""

from __future__ import annotations

from lsprotocol import types

from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.homes import asked_for
from lampwright_lsp.names import names_in


def highlights(snapshot: Snapshot, params: types.DocumentHighlightParams) -> list[types.DocumentHighlight] | None:
    """The places in the order of the text."""
    named = asked_for(snapshot, snapshot.positions.offset(snapshot.source, params.position))
    if named is None:
        return None
    return [
        types.DocumentHighlight(
            snapshot.positions.range(each.span),
            types.DocumentHighlightKind.Write if each.is_definition else types.DocumentHighlightKind.Read,
        )
        for each in names_in(snapshot.tree, snapshot.kind)
        if (each.what, each.text) == (named.what, named.text)
    ]


FEATURE = Feature(types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT, highlights)
