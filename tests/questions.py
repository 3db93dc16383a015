"""Every question about a text that a client of the language server may ask, with parameters of the right shape."""

from __future__ import annotations

from typing import Any

POSITIONED = ["hover", "completion", "definition", "references", "documentHighlight", "prepareRename"]
RANGED = ["inlayHint", "codeAction"]
PLAIN = ["foldingRange", "documentSymbol", "documentLink", "codeLens", "semanticTokens/full"]
METHODS = [*POSITIONED, *RANGED, *PLAIN, "rename", "selectionRange"]


def params_of(method: str, uri: object, place: object, end: object = None) -> dict[str, Any]:
    """The parameters of `textDocument/…` about `place`, or what stands from there to `end`."""
    params: dict[str, Any] = {"textDocument": {"uri": uri}}
    if method in (*POSITIONED, "rename"):
        params["position"] = place
    if method in RANGED:
        params["range"] = {"start": place, "end": place if end is None else end}
    more: dict[str, dict[str, Any]] = {
        "references": {"context": {"includeDeclaration": True}},
        "codeAction": {"context": {"diagnostics": []}},
        "rename": {"newName": "x"},
        "selectionRange": {"positions": [place]},
    }
    return {**params, **more.get(method, {})}
