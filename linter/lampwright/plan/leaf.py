"""One scalar of the language: how it is read, and what the JSON Schema says of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from lampwright.plan.reader import Reader
from lampwright.plan.shapes import kind_of_node, reader_of
from lampwright.syntax import Scalar


class Leaf:
    """An annotation that makes pydantic read a scalar with `read`, and refuse anything else as wrong-shape.

    `read` gets the scalar and the reader; it reports its own problem and returns None where it cannot read. `expected`
    names what belongs here: "text", "name", "quantity" and the like.
    """

    def __init__(self, read: Callable[[Scalar, Reader], Any], schema: dict[str, Any], expected: str = "text") -> None:
        self.expected = expected
        self._read = read
        self._schema = schema

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return dict(self._schema)

    def _validate(self, node: Any, info: core_schema.ValidationInfo) -> Any:
        if isinstance(node, Scalar):
            return self._read(node, reader_of(info))
        reader_of(info).report("wrong-shape", node.span, expected=self.expected, found=kind_of_node(node))
        return None
