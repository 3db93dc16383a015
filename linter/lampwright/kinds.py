"""The four kinds of file, told apart by their names. Knows nothing of what they say."""

from __future__ import annotations

from enum import Enum


class Kind(Enum):
    """A kind of file, with the end of its name."""

    LIGHTING_PLAN = ".lights.yaml"
    DECODER_SHEET = ".decoder.yaml"
    PARTS_CATALOGUE = ".parts.yaml"
    SETTINGS = "lampwright.yaml"


def kind_of(name: str) -> Kind | None:
    """The kind of the file called `name` (a path is fine), None if it is none of ours."""
    last = name.rpartition("/")[2]
    if last == Kind.SETTINGS.value:
        return Kind.SETTINGS
    kinds = (kind for kind in Kind if kind is not Kind.SETTINGS)
    return next((kind for kind in kinds if last.endswith(kind.value) and last != kind.value), None)
