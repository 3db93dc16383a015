"""How a field of a shape is declared, and how what its annotation says becomes a function that reads a node.

An annotation is a shape, a list or a mapping of something, or something with marks (`Annotated`): each mark says how
it reads. Pydantic makes models of the same declarations in `schema`, for the JSON Schemas.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Annotated, Any, Protocol, TypeVar, get_args, get_origin

from lampwright.plan.reader import Reader
from lampwright.records import dataclass
from lampwright.syntax import Mapping as MappingNode
from lampwright.syntax import Node, Scalar, Unread
from lampwright.syntax import Sequence as SequenceNode

T = TypeVar("T")

Read = Callable[[Any, Reader], Any]
"""Reads a node; None stands for what was dropped with a problem."""


class Mark(Protocol):
    """What stands beside a type in `Annotated` and says how it is read."""

    def reading(self, source: Any, inner: Read | None) -> Read:
        """How `source`, the type it stands beside, is read; `inner` is what the mark before it makes of it."""


@dataclass(frozen=True, slots=True)
class Declared:
    """What a shape says of one of its fields besides its type. Every default is None."""

    is_required: bool
    description: str
    examples: Sequence[Any]
    alias: str | None


def Field(*default: None, description: str, examples: Sequence[Any], alias: str | None = None) -> Any:  # noqa: N802
    """Declare a field: required, or with None before the description, optional. `alias` is its key if not its name."""
    return Declared(not default, description, examples, alias)


class Lenient:
    """What `Maybe` makes of a type: unions of `typing` would take most of the time in which shapes are declared."""

    __slots__ = ("of",)

    def __init__(self, of: Any) -> None:
        self.of = of

    def __class_getitem__(cls, of: Any) -> Lenient:
        """A field or an item of that type."""
        return cls(of)


if TYPE_CHECKING:
    Maybe = Annotated[T | None, Lenient]
    """A field or an item that is None when it could not be read. In the JSON Schema it is simply T."""
else:
    Maybe = Lenient


def resolved(annotation: Any, module: str) -> Any:
    """The same with names in quotation marks looked up in the module."""
    if isinstance(annotation, str):
        return getattr(import_module(module), annotation)
    if isinstance(annotation, Lenient):
        return Lenient(resolved(annotation.of, module))
    origin = get_origin(annotation)
    if origin in (list, dict):
        return origin[tuple([resolved(argument, module) for argument in get_args(annotation)])]
    return annotation


def reading_of(annotation: Any) -> Read:
    """The function that reads what `annotation` says."""
    if isinstance(annotation, Lenient):
        return _or_drop(reading_of(annotation.of))
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _marked(arguments[0], arguments[1:])
    if origin is list:
        return _list_of(reading_of(arguments[0]))
    if origin is dict:
        return _mapping_of(reading_of(arguments[0]), reading_of(arguments[1]))
    read: Read = annotation.read
    return read


def _marked(source: Any, marks: tuple[Mark, ...]) -> Read:
    read: Read | None = None
    for mark in marks:
        read = mark.reading(source, read)
    assert read is not None
    return read


def _list_of(read_item: Read) -> Read:
    def read_list(node: Any, reader: Reader) -> list[Any] | None:
        if isinstance(node, SequenceNode):
            return [read_item(item, reader) for item in node]
        report_no_list(node, read_item, reader)
        return None

    return read_list


def report_no_list(node: Any, read_item: Read, reader: Reader, short: str | None = None) -> None:
    """Notes what stands where a list belongs, and whether it fits as its only item, as the value of `short` if any."""
    trial = reader.apart()
    read_item(node, trial)
    fits = short is not None or all(problem.kind != "wrong-shape" for problem in trial.problems)
    reader.report("wrong-shape", node.span, expected="list", found=kind_of_node(node), short=short, fits=fits)


def _mapping_of(read_key: Read, read_value: Read) -> Read:
    def read_mapping(node: Any, reader: Reader) -> dict[Any, Any] | None:
        if isinstance(node, MappingNode):
            return {read_key(key, reader): read_value(value, reader) for key, value in node.items()}
        reader.report("wrong-shape", node.span, expected="mapping", found=kind_of_node(node))
        return None

    return read_mapping


def _or_drop(read: Read) -> Read:
    """Reads what may be left out by `syntax`: then it is None."""

    def read_or_drop(node: Any, reader: Reader) -> Any:
        if isinstance(node, Unread):
            reader.has_losses = True
            return None
        if reader.known and id(node) in reader.known:
            return reader.known[id(node)]
        return read(node, reader)

    return read_or_drop


def kind_of_node(node: Node) -> str:
    """What a node is, in the words of YAML: mapping, list, text, or nothing where no value was written."""
    match node:
        case MappingNode():
            return "mapping"
        case SequenceNode():
            return "list"
        case Scalar():
            return "text" if node else "nothing"
    return "other"
