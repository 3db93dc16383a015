"""Where a name is defined: the lamp of a circuit, the part of a lamp, an output and an effect of a sheet, a file."""

from __future__ import annotations

from lsprotocol import types

from lampwright_lsp.convert import Positions
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature
from lampwright_lsp.files_named import uri_of_file
from lampwright_lsp.homes import Place, asked_for, definitions
from lampwright_lsp.names import Named, What

_START = types.Range(types.Position(0, 0), types.Position(0, 0))


def definition(
    snapshot: Snapshot, params: types.DefinitionParams
) -> list[types.LocationLink] | list[types.Location] | None:
    """All places that define what is named at the position; with where it is named, if the client can tell that."""
    positions = snapshot.positions
    named = asked_for(snapshot, positions.offset(snapshot.source, params.position))
    if named is None:
        return None
    if named.what is What.FILE:
        uri = uri_of_file(snapshot, named)
        targets = [] if uri is None else [(uri, _START)]
    else:
        targets = [_target(place, positions) for place in definitions(snapshot, named)]
    if not snapshot.client.can("text_document.definition.link_support"):
        return [types.Location(uri, place) for uri, place in targets]
    origin = positions.range(named.span)
    return [types.LocationLink(uri, place, place, origin) for uri, place in targets]


FEATURE = Feature(types.TEXT_DOCUMENT_DEFINITION, definition)


def _target(place: Place, positions: Positions) -> tuple[str, types.Range]:
    named: Named = place.named
    return place.uri, positions.range(named.span)
