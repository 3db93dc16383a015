"""The JSON Schemas of the four kinds of file, made from the shapes, for editors that know nothing else of us."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic.json_schema import GenerateJsonSchema

from lampwright.plan.kinds import SHAPES, Kind
from lampwright.plan.shapes import Shape

DIALECT = "https://json-schema.org/draft/2020-12/schema"

FILES: dict[Kind, str] = {
    Kind.LIGHTING_PLAN: "lighting-plan.schema.json",
    Kind.DECODER_SHEET: "decoder-sheet.schema.json",
    Kind.PARTS_CATALOGUE: "parts-catalogue.schema.json",
    Kind.SETTINGS: "settings.schema.json",
}


def json_schema(kind: Kind) -> dict[str, Any]:
    """The schema of `kind`, as it stands in `schemas/`.

    A schema sees what a YAML reader makes of the text, so it is wider than the checker in many places (a name that is
    read as a number, or is defined nowhere). It refuses nothing that the checker accepts, except the word null.
    """
    made = SHAPES[kind].model_json_schema(by_alias=True, schema_generator=_Generator)
    title = FILES[kind].removesuffix(".schema.json")
    head = {"$schema": DIALECT, "$id": f"urn:lampwright:{title}:1", "title": title.replace("-", " ").capitalize()}
    return {**head, **_completed(made, made.get("$defs", {}))}


def _completed(schema: Any, definitions: dict[str, Any]) -> Any:
    """The same without the titles that pydantic makes of names, each field described, each mapping closed."""
    if isinstance(schema, list):
        return [_completed(each, definitions) for each in schema]
    if not isinstance(schema, dict):
        return schema
    made = {key: _completed(value, definitions) for key, value in schema.items() if not _is_title(key, value)}
    if "patternProperties" in made:
        made["additionalProperties"] = False
    if "$ref" in made and "description" not in made:
        # Pydantic leaves out what the definition says in the same words; editors show only what stands here.
        made["description"] = definitions[made["$ref"].removeprefix("#/$defs/")]["description"]
    return made


def _is_title(key: str, value: Any) -> bool:
    return key == "title" and isinstance(value, str)


class _Generator(GenerateJsonSchema):
    """Pydantic's generator without the null that would stand for every optional key, and with our groups of keys."""

    def default_schema(self, schema: Any) -> Any:
        inner = self.generate_inner(schema["schema"])
        return inner if schema.get("default", ...) is None else super().default_schema(schema)

    def model_schema(self, schema: Any) -> Any:
        made = super().model_schema(schema)
        shape = schema["cls"]
        groups = list(_groups(shape)) if issubclass(shape, Shape) else []
        return {**made, "allOf": groups} if groups else made


def _groups(shape: type[Shape]) -> Iterator[dict[str, Any]]:
    for group in shape.one_of:
        yield {"oneOf": [{"required": [key]} for key in group]}
    for group in shape.any_of:
        yield {"anyOf": [{"required": [key]} for key in group]}
    for group in shape.at_most:
        yield {"not": {"required": list(group)}}
