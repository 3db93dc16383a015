"""What a feature is: the name of a request and a plain function that answers it. Knows none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from lsprotocol import types

from lampwright_lsp.documents import Documents, Snapshot


class RefusedError(Exception):
    """What was asked for cannot be done, and why: the user is told in these words."""


def _uri_of_document(params: Any) -> str:
    return str(params.text_document.uri)


@dataclass(frozen=True, slots=True)
class Feature:
    """Answers `method` from the snapshot of the document that the request is about.

    `answer` is called in a thread of its own, may take its time, and is given nothing that changes under its hands.
    If it raises, the client gets null and a line in its log. `options` are what the server says of it at the start.
    `uri_of` finds the document where it is not `params.text_document.uri`, as in what is to be resolved.
    """

    method: str
    answer: Callable[[Snapshot, Any], object]
    options: object | None = None
    uri_of: Callable[[Any], str] = _uri_of_document


@dataclass(frozen=True, slots=True)
class WorkspaceFeature:
    """The same for a request about no document, or about many: it reads those that it wants."""

    method: str
    answer: Callable[[Documents, Any], object]
    options: object | None = None


@dataclass(frozen=True, slots=True)
class Command:
    """Answers `workspace/executeCommand` of that name; `answer` gets the documents and the arguments as they came.

    It says what the client is asked to change, if anything.
    """

    name: str
    answer: Callable[[Documents, list[Any]], types.ApplyWorkspaceEditParams | None]
