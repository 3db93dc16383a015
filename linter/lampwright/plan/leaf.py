"""One scalar of the language: how it is read, and what the JSON Schema says of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from lampwright.plan.shapes import Reader, kind_of_node
from lampwright.syntax import Scalar


class Leaf:
    """An annotation that makes pydantic read a scalar with `read`, and refuse anything else as wrong-shape.

    `read` gets the scalar and the reader; it reports its own problem and returns None where it cannot read.
    """

    def __init__(self, read: Callable[[Scalar, Reader], Any], schema: dict[str, Any]) -> None:
        self._read = read
        self._schema = schema

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return dict(self._schema)

    def _validate(self, node: Any, info: core_schema.ValidationInfo) -> Any:
        reader = info.context
        assert isinstance(reader, Reader)
        if isinstance(node, Scalar):
            return self._read(node, reader)
        reader.report("wrong-shape", node.span, expected="text", found=kind_of_node(node))
        return None
