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
    for suffix, kind in _SUFFIXES:
        if last.endswith(suffix) and last != suffix:
            return kind
    return None


# A search asks for every file of a tree.
_SUFFIXES = tuple([(kind.value, kind) for kind in Kind if kind is not Kind.SETTINGS])
