"""Lists that know where they stand: a broken item costs a problem and itself, its neighbours are still read."""

from __future__ import annotations

from functools import cache
from typing import Any, ClassVar, Self, get_args

from lampwright.plan.fields import Read, reading_of, report_no_list, resolved
from lampwright.plan.reader import Reader
from lampwright.syntax import Node, Scalar, Sequence
from lampwright.text import Span


class ListShape:
    """A list of the language; subclasses say of what in `root`, which may contain the list itself again.

    `of_lists`: each item is a list, so that several texts are one mistake, forgotten brackets. `short` is the key that
    a bare text in the list's place was probably meant for, in a mapping in the list.
    """

    of_lists: ClassVar[bool] = False
    short: ClassVar[str | None] = None
    root: list[Any]
    _node: Sequence

    @property
    def span(self) -> Span:
        """Where the whole list stands."""
        return self._node.span

    @property
    def items(self) -> list[tuple[Node, Any]]:
        """Each item as written and as read, None where it could not be read."""
        return list(zip(self._node, self.root, strict=True))

    @classmethod
    def read(cls, node: Any, reader: Reader) -> Self | None:
        """The list that `node` writes, None if it is no list at all."""
        if not isinstance(node, Sequence):
            report_no_list(node, cls._item_reading(), reader, cls.short)
            return None
        if cls.of_lists and len(node) > 1 and all(isinstance(item, Scalar) for item in node):
            reader.report("wrong-shape", node.span, expected="lists", found="list")
            return None
        shape = cls()
        read_item = cls._item_reading()
        shape.root = [read_item(item, reader) for item in node]
        shape._node = node
        return shape

    @classmethod
    @cache
    def annotation(cls) -> Any:
        """The type of the list, names in quotation marks resolved."""
        return resolved(cls.__annotations__["root"], cls.__module__)

    @classmethod
    @cache
    def _item_reading(cls) -> Read:
        """How an item is read. Made when the first such list is read."""
        return reading_of(get_args(cls.annotation())[0])
