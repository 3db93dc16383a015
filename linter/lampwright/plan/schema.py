"""The JSON Schemas of the four kinds of file, for editors that know nothing else of us.

Pydantic models are made of the shapes, one of each, and their schemas are pydantic's. Only who asks for a schema pays
for importing pydantic: reading plans by it would double the time of a whole check.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, ForwardRef, Union, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Discriminator, Field, RootModel, Tag, WithJsonSchema, create_model
from pydantic.json_schema import GenerateJsonSchema

from lampwright.kinds import Kind
from lampwright.plan.fields import Lenient
from lampwright.plan.forms import OneOf
from lampwright.plan.kinds import SHAPES
from lampwright.plan.leaf import Leaf
from lampwright.plan.lists import ListShape
from lampwright.plan.shapes import Shape, kebab

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
    made = _models(SHAPES[kind])[0].model_json_schema(by_alias=True, schema_generator=_Generator)
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
        shape = getattr(schema["cls"], "made_of", None)
        groups = list(_groups(shape)) if shape is not None else []
        return {**made, "allOf": groups} if groups else made


def _groups(shape: type[Shape]) -> Iterator[dict[str, Any]]:
    for group in shape.one_of:
        yield {"oneOf": [{"required": [key]} for key in group]}
    for group in shape.any_of:
        yield {"anyOf": [{"required": [key]} for key in group]}
    for group in shape.at_most:
        yield {"not": {"required": list(group)}}


# --- Models -----------------------------------------------------------------------------------------------------------


def _models(root: type[Shape]) -> list[type[BaseModel]]:
    """The model of `root` and of every shape that it needs, that of `root` first."""
    made: dict[str, type[BaseModel]] = {}
    waiting: list[type[Shape | ListShape]] = [root]
    while waiting:
        shape = waiting.pop()
        if shape.__name__ not in made:
            made[shape.__name__] = _model(shape, waiting)
    for model in made.values():
        model.model_rebuild(_types_namespace=made)
    return list(made.values())


def _model(shape: type[Shape | ListShape], waiting: list[type[Shape | ListShape]]) -> type[BaseModel]:
    """The model of one shape; the shapes that it names are added to `waiting`."""
    if issubclass(shape, ListShape):
        items = (_type_of(shape.annotation(), waiting), ...)
        made: type[BaseModel] = create_model(shape.__name__, __base__=RootModel, __doc__=shape.__doc__, root=items)
        return made
    fields: dict[str, Any] = {}
    for name, declared in shape.declared.items():
        default = ... if declared.is_required else None
        field = Field(
            default,
            alias=declared.alias or kebab(name),
            description=declared.description,
            examples=list(declared.examples),
        )
        fields[name] = (_type_of(shape.annotations()[name], waiting), field)
    model: type[BaseModel] = create_model(
        shape.__name__, __config__=ConfigDict(extra="forbid", defer_build=True), __doc__=shape.__doc__, **fields
    )
    # The generator asks for the groups of keys.
    setattr(model, "made_of", shape)  # noqa: B010  # no attribute that the class of all models has
    return model


def _type_of(annotation: Any, waiting: list[type[Shape | ListShape]]) -> Any:
    """The type that pydantic is to see for `annotation`: names of models for shapes, schemas for leaves."""
    if isinstance(annotation, Lenient):
        return _type_of(annotation.of, waiting)
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        source, mark = arguments[0], arguments[1]
        if isinstance(mark, Leaf):
            return Annotated[str, WithJsonSchema(dict(mark.schema))]
        return _choice_of(mark, get_args(source), waiting)
    if origin in (list, dict):
        return origin[tuple(_type_of(each, waiting) for each in arguments)]
    waiting.append(annotation)
    return ForwardRef(annotation.__name__)


def _choice_of(mark: OneOf, members: tuple[Any, ...], waiting: list[type[Shape | ListShape]]) -> Any:
    tagged = tuple(
        Annotated[_type_of(member, waiting), Tag(form)] for form, member in zip(mark.forms, members, strict=True)
    )
    # The models read nothing, so that nobody ever asks which form a value has.
    return Annotated[Union[tagged], Discriminator(lambda _: None)]  # noqa: UP007  # built from a tuple
