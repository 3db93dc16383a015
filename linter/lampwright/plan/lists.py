"""Lists that know where they stand: a broken item costs a problem and itself, its neighbours are still read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar, Self

from pydantic import ConfigDict, PrivateAttr, RootModel, ValidationInfo, model_validator

from lampwright.plan.shapes import kind_of_node, reader_of
from lampwright.syntax import Node, Scalar, Sequence
from lampwright.text import Span


class ListShape(RootModel[Any]):
    """A list of the language; subclasses say of what in `root`, which may contain the list itself again.

    `of_lists`: each item is a list, so that several texts are one mistake, forgotten brackets. `short` is the key that
    a bare text in the list's place was probably meant for, in a mapping in the list.
    """

    model_config = ConfigDict(defer_build=True, arbitrary_types_allowed=True)
    of_lists: ClassVar[bool] = False
    short: ClassVar[str | None] = None
    _node: Sequence = PrivateAttr()

    @property
    def span(self) -> Span:
        """Where the whole list stands."""
        return self._node.span

    @property
    def items(self) -> list[tuple[Node, Any]]:
        """Each item as written and as read, None where it could not be read."""
        return list(zip(self._node, self.root, strict=True))

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, node: Any, inner: Callable[[Any], Self], info: ValidationInfo) -> Any:
        if not isinstance(node, Sequence):
            found = kind_of_node(node)
            reader_of(info).report("wrong-shape", node.span, expected="list", found=found, short=cls.short)
            return None
        if cls.of_lists and len(node) > 1 and all(isinstance(item, Scalar) for item in node):
            reader_of(info).report("wrong-shape", node.span, expected="lists", found="list")
            return None
        shape = inner(node)
        shape._node = node
        return shape
