"""All lamps, outputs, parts, effects and vehicles of the client's folders whose names hold what was typed."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.syntax import Mapping, Scalar
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import WorkspaceFeature
from lampwright_lsp.names import What, names_in

MOST = 500
"""Nobody reads further; who wants less types more."""

_KINDS = {
    What.LAMP: types.SymbolKind.Variable,
    What.PART: types.SymbolKind.Class,
    What.OUTPUT: types.SymbolKind.Interface,
    What.EFFECT: types.SymbolKind.EnumMember,
    What.KEY: types.SymbolKind.Key,
}


def workspace_symbols(documents: Documents, params: types.WorkspaceSymbolParams) -> list[types.WorkspaceSymbol]:
    """At most MOST of them, in the order of the files."""
    wanted = params.query.casefold()
    found: list[types.WorkspaceSymbol] = []
    for snapshot in documents.snapshots():
        for symbol in _symbols(snapshot):
            if wanted in symbol.name.casefold():
                found.append(symbol)
                if len(found) == MOST:
                    return found
    return found


FEATURE = WorkspaceFeature(types.WORKSPACE_SYMBOL, workspace_symbols)


def _symbols(snapshot: Snapshot) -> Iterator[types.WorkspaceSymbol]:
    root = snapshot.tree.root
    vehicle = root.value("vehicle") if isinstance(root, Mapping) else None
    name = vehicle.value("name") if isinstance(vehicle, Mapping) else None
    if isinstance(name, Scalar) and name:
        yield _symbol(snapshot, str(name), name, types.SymbolKind.Object)
    for named in names_in(snapshot.tree, snapshot.kind):
        if named.is_definition and named.what in _KINDS and named.text:
            yield _symbol(snapshot, named.text, named.node, _KINDS[named.what])


def _symbol(snapshot: Snapshot, name: str, node: Scalar, kind: types.SymbolKind) -> types.WorkspaceSymbol:
    place = types.Location(snapshot.uri, snapshot.positions.range(node.span))
    return types.WorkspaceSymbol(place, name, kind, container_name=snapshot.source.name)
