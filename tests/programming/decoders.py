"""Sheets and decoders for the tests of the interpreter."""

from __future__ import annotations

from typing import Any

from programming.decoder_interpreter import Decoder, Look

STEADY = Look("steady", 1.0, None)
FORWARD, REVERSE = True, False


def sheet(mapping: Any = "function-matrix", outputs: int = 14, **more: Any) -> dict[str, Any]:
    """A sheet with outputs named 1, 2, 3, ... by their numbers."""
    keys = more.pop("keys", {"highest": "68", "mapping": mapping})
    return {"outputs": {str(n): {"number": str(n)} for n in range(1, outputs + 1)}, "keys": keys, **more}


def new(*cvs: tuple[int, int], page: list[int] | None = None, **given: Any) -> Decoder:
    """A decoder of such a sheet after writing whole CVs, those of the indexed area on the page."""
    decoder = Decoder.from_sheet(sheet(**given))
    decoder.write(lines(*cvs, page=page))
    return decoder


def lines(*cvs: tuple[int, int], page: list[int] | None = None) -> list[dict[str, Any]]:
    return [{"cv": cv, "value": value, "mask": 255, "page": page if 257 <= cv <= 512 else None} for cv, value in cvs]


def lit(decoder: Decoder, *keys: str, forward: bool = True, moving: bool = False) -> set[str]:
    return set(decoder.lit(set(keys), forward, moving))
