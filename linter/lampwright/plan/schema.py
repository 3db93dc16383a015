"""The JSON Schemas of the four kinds of file, made from the shapes, for editors that know nothing else of us."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import GenerateJsonSchema

from lampwright.plan.kinds import SHAPES, Kind

DIALECT = "https://json-schema.org/draft/2020-12/schema"

FILES: dict[Kind, str] = {
    Kind.LIGHTING_PLAN: "lighting-plan.schema.json",
    Kind.DECODER_SHEET: "decoder-sheet.schema.json",
    Kind.PARTS_CATALOGUE: "parts-catalogue.schema.json",
    Kind.SETTINGS: "settings.schema.json",
}


def json_schema(kind: Kind) -> dict[str, Any]:
    """The schema of `kind`, as it stands in `schemas/`.

    A schema sees what a YAML reader makes of the text, so it is wider than the checker in some places (a name may be
    read as a number); it never refuses what the checker accepts.
    """
    shape = SHAPES[kind]
    made = shape.model_json_schema(by_alias=True, schema_generator=_Generator)
    return {"$schema": DIALECT, "$id": f"urn:lampwright:{FILES[kind].removesuffix('.schema.json')}:1", **made}


class _Generator(GenerateJsonSchema):
    """Pydantic's generator without the null that would stand for every optional key."""

    def default_schema(self, schema: Any) -> Any:
        inner = self.generate_inner(schema["schema"])
        return inner if schema.get("default", ...) is None else super().default_schema(schema)
