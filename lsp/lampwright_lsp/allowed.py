"""What the language allows at a path in a kind of file: keys, words, units; read off our own JSON Schemas."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from lampwright.kinds import Kind

Schema = dict[str, Any]

# Behind the blank that may stand behind a number, the units in a row.
_UNITS = re.compile(r"\]\?\(\?:((?:[^()|\\]|\\.)+(?:\|(?:[^()|\\]|\\.)+)*)\)")
_TYPED = re.compile(r"(?P<number>(?:.*\s)?(?:[0-9]+(?:\.[0-9]+)?|[0-9]+/[0-9]+))\s?[^\s0-9./]*\Z", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Key:
    """A key that may stand in a mapping. `holds` is "mapping", "list" or "text"."""

    name: str
    description: str
    is_required: bool
    holds: str


@cache
def _schema(kind: Kind) -> Schema:
    # What this loads takes a quarter of a second; nobody but who types waits for it, and once.
    from lampwright.plan.schema import json_schema

    return json_schema(kind)


def keys_at(kind: Kind, path: tuple[str | int, ...]) -> list[Key]:
    """The keys of the mapping at `path`, the required ones first; none where other names stand, or no mapping."""
    found: dict[str, Key] = {}
    for schema in _at(kind, path):
        required = set(schema.get("required", ()))
        for name, below in schema.get("properties", {}).items():
            found.setdefault(name, Key(name, below.get("description", ""), name in required, _holds(kind, below)))
    return sorted(found.values(), key=lambda key: not key.is_required)


def words_at(kind: Kind, path: tuple[str | int, ...]) -> list[str]:
    """The words that may stand at `path`, where they are few and named."""
    return list(dict.fromkeys(str(word) for schema in _at(kind, path) for word in schema.get("enum", ())))


def quantities_at(kind: Kind, path: tuple[str | int, ...], typed: str) -> list[str]:
    """What `typed`, which ends in a number or in the beginning of a unit, may become at `path` by a unit."""
    match = _TYPED.match(typed)
    if match is None:
        return []
    patterns = [schema["pattern"] for schema in _at(kind, path) if "pattern" in schema]
    units = [unit.replace("\\", "") for each in patterns for row in _UNITS.findall(each) for unit in row.split("|")]
    # Of several ways to write a unit, the one that every keyboard has.
    plain = [unit for unit in units if unit.isascii()] or units
    found = dict.fromkeys(f"{match['number']} {unit}" for unit in plain)
    return [text for text in found if any(re.match(each, text) for each in patterns)]


def resistors_at(kind: Kind, path: tuple[str | int, ...], typed: str) -> list[str]:
    """The same for the text of a resistor in the circuit that `path` leads into: value, rating, tolerance in a row."""
    match = _TYPED.match(typed)
    if match is None:
        return []
    *before, last = re.split(r"\s+(?=[0-9]\S*(?:\s|\Z))", typed.lstrip())
    names = ("rating", "tolerance") if before else ("resistor",)
    lead = typed[: len(typed) - len(last)]
    return [f"{lead}{text}" for name in names for text in quantities_at(kind, (*path, name), last)]


def _holds(kind: Kind, schema: Schema) -> str:
    types = [each.get("type") for each in _variants(kind, schema)]
    return "mapping" if types and types[0] == "object" else "list" if "array" in types[:1] else "text"


def _at(kind: Kind, path: tuple[str | int, ...]) -> list[Schema]:
    schemas = list(_variants(kind, _schema(kind)))
    for step in path:
        schemas = [
            variant for schema in schemas for below in _below(schema, step) for variant in _variants(kind, below)
        ]
    return schemas


def _below(schema: Schema, step: str | int) -> Iterator[Schema]:
    if isinstance(step, int):
        items = schema.get("items")
        if isinstance(items, dict):
            yield items
        return
    own = schema.get("properties", {}).get(step)
    if own is not None:
        yield own
        return
    yield from schema.get("patternProperties", {}).values()
    more = schema.get("additionalProperties")
    if isinstance(more, dict):
        yield more


def _variants(kind: Kind, schema: Schema) -> Iterator[Schema]:
    """The schema itself, or all that it may be."""
    reference = schema.get("$ref")
    if reference is not None:
        yield from _variants(kind, _schema(kind)["$defs"][reference.removeprefix("#/$defs/")])
    several = [each for name in ("oneOf", "anyOf") for each in schema.get(name, ())]
    for each in several:
        yield from _variants(kind, each)
    if reference is None and (not several or "properties" in schema):
        yield schema
