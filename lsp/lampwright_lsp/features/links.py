"""The sheets and catalogues that a plan names, to be opened at a click."""

from __future__ import annotations

from lsprotocol import types

from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.files_named import uri_of_file
from lampwright_lsp.names import What, names_in


def links(snapshot: Snapshot, _params: types.DocumentLinkParams) -> list[types.DocumentLink]:
    """A link on each reference to a file that can be had."""
    named = (each for each in names_in(snapshot.tree, snapshot.kind) if each.what is What.FILE)
    found = ((each, uri_of_file(snapshot, each)) for each in named)
    return [
        types.DocumentLink(snapshot.positions.range(each.span), target=uri) for each, uri in found if uri is not None
    ]


FEATURE = Feature(types.TEXT_DOCUMENT_DOCUMENT_LINK, links, types.DocumentLinkOptions(resolve_provider=False))
