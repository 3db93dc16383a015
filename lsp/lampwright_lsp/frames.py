"""Bytes become messages: a header says how long, the body is JSON. Knows no method, and is put off by nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, BinaryIO

# The longest header line that is looked at, and the longest body that is taken into memory, in bytes.
_LONGEST_LINE = 4096
_LONGEST_BODY = 200_000_000
_PIECE = 1_000_000

PARSE_ERROR = -32700
INVALID_REQUEST = -32600


@dataclass(frozen=True, slots=True)
class Malformed:
    """What is no message, and why: a code of JSON-RPC, and words for the client."""

    code: int
    reason: str


def messages(stream: BinaryIO) -> Iterator[dict[str, Any] | Malformed]:
    """All messages up to the end of `stream`. What is none is told of once, and the next header is looked for."""
    is_told = False
    while (length := _length(stream)) is not None:
        if length < 0:
            if not is_told:
                yield Malformed(PARSE_ERROR, "a header without a length that can be read")
            is_told = True
            continue
        is_told = False
        if length > _LONGEST_BODY:
            _skip(stream, length)
            yield Malformed(PARSE_ERROR, f"a message of {length} bytes is too long")
            continue
        body = stream.read(length)
        if len(body) < length:
            return
        yield _message(body)


def _length(stream: BinaryIO) -> int | None:
    """The length that the next header gives, -1 if it gives none, None at the end of the stream."""
    length, is_begun = -1, False
    while line := stream.readline(_LONGEST_LINE):
        if not line.strip():
            if is_begun:
                return length
            continue
        is_begun = True
        name, _, value = line.partition(b":")
        if name.strip().lower() == b"content-length":
            value = value.strip()
            length = int(value) if value.isdigit() and len(value) < 16 else -1
    return None


def _skip(stream: BinaryIO, length: int) -> None:
    while length > 0:
        piece = stream.read(min(length, _PIECE))
        if not piece:
            return
        length -= len(piece)


def _message(body: bytes) -> dict[str, Any] | Malformed:
    try:
        message = json.loads(body)
    except (ValueError, RecursionError):
        return Malformed(PARSE_ERROR, "a message that is no JSON")
    if not isinstance(message, dict) or message.get("jsonrpc") != "2.0":
        return Malformed(INVALID_REQUEST, "a message that is no JSON-RPC 2.0")
    return message
