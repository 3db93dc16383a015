"""Edits of texts become edits of a client's buffers: by version, and with a question, where the client can."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lsprotocol import types

from lampwright.text import Edit, Source
from lampwright_lsp.documents import Documents

_ASKED = "asked"
_Change = types.TextEdit | types.AnnotatedTextEdit | types.SnippetTextEdit


def workspace_edit(
    documents: Documents,
    uris: Mapping[Source, str],
    edits: Iterable[Edit],
    asked: str | None = None,
    *,
    types_on: bool = False,
) -> types.WorkspaceEdit | None:
    """`edits` for the client, in files whose URIs are `uris`; None if one of these has changed meanwhile.

    `asked` is what the user is asked before they are made; None for those that need no question. With `types_on` the
    cursor comes to stand behind what was put in, a blank after it, where the client can do that.
    """
    client = documents.client
    by_source: dict[Source, list[Edit]] = {}
    for edit in edits:
        by_source.setdefault(edit.span.source, []).append(edit)
    try:
        versions = {source: documents.version(uris[source], source) for source in by_source}
    except ValueError:
        return None
    if not client.can("workspace.workspace_edit.document_changes"):
        plain = {uris[source]: [_plain(documents, edit) for edit in each] for source, each in by_source.items()}
        return types.WorkspaceEdit(changes=plain)
    asks = asked is not None and client.can("workspace.workspace_edit.change_annotation_support")
    snips = types_on and client.can("workspace.workspace_edit.snippet_edit_support")

    def change(edit: Edit) -> _Change:
        plain = _plain(documents, edit)
        if snips:
            return types.SnippetTextEdit(plain.range, types.StringValue(_snippet(edit.text)))
        return types.AnnotatedTextEdit(_ASKED, plain.range, plain.new_text) if asks else plain

    changes = [
        types.TextDocumentEdit(
            types.OptionalVersionedTextDocumentIdentifier(uris[source], versions[source]),
            [change(edit) for edit in each],
        )
        for source, each in by_source.items()
    ]
    question = {_ASKED: types.ChangeAnnotation(asked, needs_confirmation=True)} if asks and asked is not None else None
    return types.WorkspaceEdit(document_changes=changes, change_annotations=question)


def _plain(documents: Documents, edit: Edit) -> types.TextEdit:
    return types.TextEdit(documents.client.positions.range(edit.span), edit.text)


def _snippet(text: str) -> str:
    """`text` as a snippet that ends with the cursor, before the line end that it may have."""
    body = text.rstrip("\r\n")
    escaped = "".join(f"\\{each}" if each in "\\$}" else each for each in body)
    return f"{escaped} $0{text[len(body) :]}"
