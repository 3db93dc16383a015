"""Pydantic made lenient: a broken item costs a problem and itself, its neighbours are still read.

A tree of `syntax` goes in, shapes with their nodes come out; a value that could not be read is None, and
`Shape.lost` tells it from one that was never written. Pydantic's own error paths are never used for places.
"""

from collections.abc import Callable, Iterator
from functools import cache
from typing import Annotated, Any, ClassVar, Self, TypeVar, get_args, get_origin

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    PrivateAttr,
    ValidationError,
    ValidationInfo,
    model_validator,
)
from pydantic_core import CoreSchema, core_schema

from lampwright.plan.reader import Reader
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Unread
from lampwright.text import Span, nearest

T = TypeVar("T")

MOST_COMPARED = 100
"""Comparing names is slow; nobody reads more than this many unknown keys of one mapping."""


def reader_of(info: ValidationInfo) -> Reader:
    """The reader that this validation reports to."""
    reader = info.context
    assert isinstance(reader, Reader)
    return reader


class _Absent:
    """Stands in for a required key that is missing, so that pydantic reads the rest."""


_ABSENT = _Absent()


class _Lenient:
    """Turns what pydantic refuses into a problem at the value and a None."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        wanted = get_args(source)[0]
        return core_schema.with_info_wrap_validator_function(_read_or_drop, handler.generate_schema(wanted))


def _read_or_drop(value: Any, inner: Callable[[Any], Any], info: core_schema.ValidationInfo) -> Any:
    if value is _ABSENT:
        return None
    reader = reader_of(info)
    if isinstance(value, Unread):
        reader.has_losses = True
        return None
    try:
        return inner(value)
    except ValidationError as error:
        expected = {"dict_type": "mapping", "list_type": "list"}.get(error.errors()[0]["type"], "other")
        reader.report("wrong-shape", value.span, expected=expected, found=kind_of_node(value))
        return None


Maybe = Annotated[T | None, _Lenient()]
"""A field or an item that is None when it could not be read. In the JSON Schema it is simply T."""


def kind_of_node(node: Node) -> str:
    """What a node is, in the words of YAML: mapping, list, text, or nothing where no value was written."""
    match node:
        case Mapping():
            return "mapping"
        case Sequence():
            return "list"
        case Scalar():
            return "text" if node else "nothing"
    return "other"


def kebab(name: str) -> str:
    """The key in the file for a Python field name."""
    return name.removesuffix("_").replace("_", "-")


class Shape(BaseModel):
    """A mapping of the language. Subclasses declare fields as `Maybe[...]`; one without default is required.

    `one_of` lists groups of keys of which exactly one must stand, `any_of` those of which at least one must, `at_most`
    those of which no two may. `rivals` are keys of other shapes that might have stood in this one's place. `short` is
    the key that a bare text in this mapping's place was probably meant for.
    """

    model_config = ConfigDict(
        alias_generator=kebab, extra="forbid", defer_build=True, arbitrary_types_allowed=True, frozen=False
    )
    one_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    any_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    at_most: ClassVar[tuple[tuple[str, ...], ...]] = ()
    rivals: ClassVar[tuple[str, ...]] = ()
    short: ClassVar[str | None] = None
    _node: Mapping = PrivateAttr()
    _doubtful: frozenset[str] = PrivateAttr(default=frozenset())
    _cut: frozenset[str] = PrivateAttr(default=frozenset())

    @property
    def node(self) -> Mapping:
        """The mapping that was read."""
        return self._node

    @property
    def span(self) -> Span:
        """Where the whole mapping stands."""
        return self._node.span

    def says(self, field: str) -> bool:
        """Whether `field` (its Python name) is written, or was to be: misspelt, left out, or missing with a problem."""
        return kebab(field) in self._node or kebab(field) in self._doubtful

    def lost(self, field: str) -> bool:
        """Whether `field` is written, or was to be, but could not be read."""
        return getattr(self, field) is None and self.says(field)

    def may_lack(self, field: str) -> bool:
        """Whether `field`, a mapping or a list, lacks entries that are written or were to be, or may be missing."""
        return self.lost(field) or kebab(field) in self._cut

    def key_span(self, field: str) -> Span:
        """Where the key of `field` stands; the whole mapping if it is not written."""
        key = self._node.key(kebab(field))
        return key.span if key is not None else self.span

    def value_span(self, field: str) -> Span:
        """Where the value of `field` stands; the whole mapping if it is not written."""
        value = self._node.value(kebab(field))
        return value.span if value is not None else self.span

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, node: Any, inner: Callable[[Any], Self], info: ValidationInfo) -> Any:
        reader = reader_of(info)
        if not isinstance(node, Mapping):
            reader.report("wrong-shape", node.span, expected="mapping", found=kind_of_node(node), short=cls.short)
            return None
        doubtful = cls._report_unknown(node, reader)
        cls._report_missing(node, doubtful, reader)
        given: dict[str, Any] = {key: node.value(key) for key in cls.names() if key in node}
        for later, group in cls._surplus(node):
            reader.report("wrong-shape", later.span, expected="one-of", found=str(later), choices=group)
            given.pop(later)
        absent = {name: _ABSENT for name, is_required in cls.names().items() if is_required and name not in given}
        shape = inner({**given, **absent})
        shape._node = node
        shape._doubtful = frozenset({*doubtful, *absent})
        shape._cut = frozenset(cls._cut_names(node, reader))
        return shape

    @classmethod
    @cache
    def names(cls) -> dict[str, bool]:
        """Every key of the mapping, and whether it is required."""
        return {field.alias or kebab(name): field.is_required() for name, field in cls.model_fields.items()}

    @classmethod
    def _report_unknown(cls, node: Mapping, reader: Reader) -> set[str]:
        """Reports keys that this shape does not have; the keys that it has and that may have been meant by them."""
        names = cls.names()
        below = {
            key for group in cls._absent_groups(node) for name in group for key in cls._names_below().get(name, ())
        }
        unknown = [key for key in node if key not in names and key not in below]
        free = [name for name in names if name not in node]
        doubtful = {name for key in unknown[:MOST_COMPARED] for name in nearest(key, free)}
        for key in unknown:
            if key in cls.rivals:
                own = next(name for name in cls.rivals if name in names)
                reader.report("wrong-shape", key.span, expected="one-of", found=str(key), choices=(own, str(key)))
            else:
                reader.report("unknown-key", key.span, written=str(key), choices=free, known=list(names))
        if reader.lacks_entries(node) and not reader.is_root(node):
            doubtful.update(free)
        return doubtful

    @classmethod
    def _report_missing(cls, node: Mapping, doubtful: set[str], reader: Reader) -> None:
        for group in cls._absent_groups(node):
            if reader.lacks_entries(node) or doubtful.intersection(group):
                reader.has_losses = True
            else:
                report_missing(node, group, reader)

    @classmethod
    def _absent_groups(cls, node: Mapping) -> Iterator[tuple[str, ...]]:
        """The groups of keys of which one must stand and none does."""
        required = ((name,) for name, is_required in cls.names().items() if is_required)
        for group in (*required, *cls.one_of, *cls.any_of):
            if not any(name in node for name in group):
                yield group

    @classmethod
    @cache
    def _names_below(cls) -> dict[str, frozenset[str]]:
        """The keys of each field that is a mapping: where they stand one level too high, that field is missing."""
        return {
            field.alias or kebab(name): frozenset(
                key for shape in _shapes_in(field.annotation) for key in shape.names()
            )
            for name, field in cls.model_fields.items()
        }

    @classmethod
    def _surplus(cls, node: Mapping) -> Iterator[tuple[Scalar, tuple[str, ...]]]:
        """Of the keys that exclude each other, all that stand after the first."""
        groups = (*cls.one_of, *cls.at_most)
        firsts = {group: next((key for key in node if key in group), None) for group in groups}
        for key in node:
            group = next((group for group in groups if key in group and firsts[group] != key), None)
            if group is not None:
                yield key, group

    @classmethod
    def _cut_names(cls, node: Mapping, reader: Reader) -> Iterator[str]:
        """The fields that entries of their own are missing from, or that may be missing themselves."""
        if reader.is_complete:
            return
        last = next((key for key in reversed(node) if key in cls.names()), None)
        for name in cls.names():
            value = node.value(name) if name in node else node
            # Where the text breaks off, what is indented wrong may have belonged to the last thing before it.
            is_last = name == last and reader.is_root(node) and reader.lacks_entries(node)
            if is_last or (isinstance(value, Mapping | Sequence) and reader.lacks_entries(value)):
                yield name


def _shapes_in(annotation: Any) -> Iterator[type[Shape]]:
    """The shapes that a field may be, not those in its items."""
    if isinstance(annotation, type):
        if issubclass(annotation, Shape):
            yield annotation
    elif get_origin(annotation) not in (dict, list):
        for each in get_args(annotation):
            yield from _shapes_in(each)


def report_missing(node: Mapping, group: tuple[str, ...], reader: Reader) -> None:
    """Note that `node` has none of the keys of `group`."""
    owner = str(node.owner) if node.owner is not None else None
    reader.report("missing-key", place_of(node), names=group, owner=owner, is_file=reader.is_root(node))


def place_of(node: Mapping) -> Span:
    """The text that stands for a whole mapping: the key that it hangs on, else its own first key, else itself."""
    if node.owner is not None:
        return node.owner.span
    return next((key.span for key in node), node.span)
