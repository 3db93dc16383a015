"""The outline of a file: the vehicle, its lamps, outputs and keys; the effects of a sheet, the parts of a catalogue."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.syntax import Mapping, Node, Scalar, Sequence
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature

_KINDS = {
    "vehicle": types.SymbolKind.Object,
    "lamps": types.SymbolKind.Variable,
    "outputs": types.SymbolKind.Interface,
    "keys": types.SymbolKind.Key,
    "effects": types.SymbolKind.EnumMember,
}
_SHOWN_BELOW = {"lamps", "outputs", "keys", "effects", "levels"}


def symbols(snapshot: Snapshot, _params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
    """The keys of the file in their order; below those that hold named things, each of these."""
    root = snapshot.tree.root
    return list(_below(snapshot, root, depth=0)) if isinstance(root, Mapping) else []


FEATURE = Feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, symbols)


def _below(
    snapshot: Snapshot, node: Mapping, *, depth: int, kind: types.SymbolKind | None = None
) -> Iterator[types.DocumentSymbol]:
    for key, value in node.items():
        own = kind or _KINDS.get(str(key), types.SymbolKind.Property)
        is_shown = depth == 0 and str(key) in _SHOWN_BELOW
        children = list(_below(snapshot, value, depth=1, kind=own)) if isinstance(value, Mapping) and is_shown else None
        yield _symbol(snapshot, key, value, own, children)


def _symbol(
    snapshot: Snapshot, key: Scalar, value: Node, kind: types.SymbolKind, children: list[types.DocumentSymbol] | None
) -> types.DocumentSymbol:
    positions, whole = snapshot.positions, key.span
    if value.span.end > whole.end:
        whole = key.span.to(value.span)
    return types.DocumentSymbol(
        # Clients refuse a name that is empty.
        name=str(key) or "?",
        detail=_detail(value),
        kind=kind,
        range=positions.range(whole),
        selection_range=positions.range(key.span),
        children=children,
    )


def _detail(value: Node) -> str | None:
    """In a few words what stands under a key, if it says so itself."""
    if isinstance(value, Scalar):
        return str(value) or None
    if isinstance(value, Mapping):
        named = (value.value(name) for name in ("name", "label", "part"))
        circuit = value.value("circuit")
        shown: Scalar | None = next((each for each in named if isinstance(each, Scalar)), None)
        return str(shown) if shown is not None else _listed(circuit)
    return _listed(value)


def _listed(value: Node | None) -> str | None:
    if not isinstance(value, Sequence):
        return None
    return ", ".join(str(item) if isinstance(item, Scalar) else "…" for item in value) or None
