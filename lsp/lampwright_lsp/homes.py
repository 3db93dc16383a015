"""Where a name is defined, and everywhere that it is used: in its own file, or in all that name the file it is of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lampwright.engine.documents import Document
from lampwright.kinds import Kind
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.names import Named, What, name_at, names_in

_HOMES = {What.PART: Kind.PARTS_CATALOGUE, What.OUTPUT: Kind.DECODER_SHEET, What.EFFECT: Kind.DECODER_SHEET}
"""In which kind of file a name is defined that other files use."""


@dataclass(frozen=True, slots=True)
class Place:
    """A name in the file of `uri`; `snapshot` is of that file, or of one that refers to it."""

    uri: str
    named: Named
    snapshot: Snapshot


def asked_for(snapshot: Snapshot, offset: int) -> Named | None:
    """The name at `offset`."""
    return name_at(snapshot.tree, snapshot.kind, offset)


def definitions(snapshot: Snapshot, named: Named) -> list[Place]:
    """Where `named`, which stands in `snapshot`, is defined: the file itself first, then those that it refers to."""
    found = []
    for document in (snapshot.document, *snapshot.referred):
        if document is snapshot.document or document.kind is _HOMES.get(named.what):
            found += [
                Place(snapshot.uri_of(each.span), each, snapshot)
                for each in names_in(document.tree, document.kind)
                if each.is_definition and each.what is named.what and each.text == named.text
            ]
    return found


def home_of(snapshot: Snapshot, named: Named) -> str | None:
    """The URI of the file that `named` is defined in for all who use it; None if it is nowhere defined."""
    places = definitions(snapshot, named)
    return places[-1].uri if places else None


def uses(documents: Documents, snapshot: Snapshot, named: Named) -> Iterator[Place]:
    """All places of a name, its definitions among them, in `snapshot` and in all other files that mean the same."""
    home = home_of(snapshot, named)
    if home is None or named.what not in _HOMES:
        yield from _in_document(snapshot, snapshot.document, named)
        return
    seen = set()
    for reader in _readers(documents, snapshot, home):
        for document in (reader.document, *reader.referred):
            uri = reader.uris[document.source]
            is_home_of_it = document is reader.document or uri == home
            if uri in seen or not is_home_of_it:
                continue
            if document is not reader.document or _means(reader, named, home):
                seen.add(uri)
                yield from _in_document(reader, document, named)


def _means(reader: Snapshot, named: Named, home: str) -> bool:
    """Whether that name means in `reader` what is defined in the file of `home`."""
    return reader.uri == home or home_of(reader, named) == home


def _readers(documents: Documents, snapshot: Snapshot, home: str) -> Iterator[Snapshot]:
    yield snapshot
    for each in documents.snapshots():
        if each.uri != snapshot.uri and home in each.uris.values():
            yield each


def _in_document(snapshot: Snapshot, document: Document, named: Named) -> Iterator[Place]:
    uri = snapshot.uris[document.source]
    for each in names_in(document.tree, document.kind):
        if each.what is named.what and each.text == named.text:
            yield Place(uri, each, snapshot)
