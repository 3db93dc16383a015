"""Which file a reference in a plan leads to."""

from __future__ import annotations

from lampwright_lsp.addresses import path_of, uri_of
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.names import Named


def uri_of_file(snapshot: Snapshot, named: Named) -> str | None:
    """The URI of the file that `named` refers to; None if that cannot be had or is none that may be named there."""
    path = path_of(snapshot.uri)
    # No file has such a name, and to look for it fails.
    if path is None or "\0" in named.text:
        return None
    wanted = uri_of((path.parent / named.text).resolve())
    read = {snapshot.uris[document.source] for document in snapshot.referred}
    return wanted if wanted in read else _by_path(wanted, read)


def _by_path(wanted: str, read: set[str]) -> str | None:
    """The same file under the name that the client has for it."""
    place = path_of(wanted)
    for uri in read:
        path = path_of(uri)
        if path is not None and place is not None and path.resolve() == place:
            return uri
    return None
