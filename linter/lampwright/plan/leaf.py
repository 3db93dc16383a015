"""One scalar of the language: how it is read, and what the JSON Schema says of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lampwright.plan.fields import Read, kind_of_node
from lampwright.plan.reader import Reader
from lampwright.syntax import Scalar


class Leaf:
    """A mark that reads a scalar with `read`, and refuses anything else as wrong-shape.

    `read` gets the scalar and the reader; it reports its own problem and returns None where it cannot read. `expected`
    names what belongs here: "text", "name", "quantity" and the like. `schema` is what the JSON Schema says of it.
    """

    def __init__(self, read: Callable[[Scalar, Reader], Any], schema: dict[str, Any], expected: str = "text") -> None:
        self.expected = expected
        self.schema = schema
        self._read = read

    def reading(self, source: Any, inner: Read | None) -> Read:  # noqa: ARG002  # a leaf reads alone
        """Reads one scalar."""
        return self._read_scalar

    def _read_scalar(self, node: Any, reader: Reader) -> Any:
        if isinstance(node, Scalar):
            return self._read(node, reader)
        reader.report("wrong-shape", node.span, expected=self.expected, found=kind_of_node(node))
        return None
