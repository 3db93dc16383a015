"""Pydantic made lenient: a broken item costs a problem and itself, its neighbours are still read.

A tree of `syntax` goes in, shapes with their nodes come out; a value that could not be read is None, and
`Shape.lost` tells it from one that was never written. Pydantic's own error paths are never used for places.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Annotated, Any, ClassVar, Self, TypeVar, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    PrivateAttr,
    RootModel,
    ValidationError,
    ValidationInfo,
    model_validator,
)
from pydantic_core import CoreSchema, core_schema

from lampwright.diagnostics import Problem
from lampwright.syntax import Mapping, Node, Scalar, Sequence, Unread
from lampwright.text import Span, nearest

T = TypeVar("T")

# Comparing names is slow; nobody reads more than this many unknown keys of one mapping.
_MOST_COMPARED = 100


class Reader:
    """Collects the problems of one file while its shapes are built; pydantic hands it to every validator."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.has_losses = False

    def report(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops what stands at `span`."""
        self.has_losses = True
        self.remark(kind, span, **data)

    def remark(self, kind: str, span: Span, **data: Any) -> None:
        """Note a problem that drops nothing."""
        self.problems.append(Problem(kind, span, data))


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
            return "nothing" if node.is_empty else "text"
    return "other"


def kebab(name: str) -> str:
    """The key in the file for a Python field name."""
    return name.removesuffix("_").replace("_", "-")


class Shape(BaseModel):
    """A mapping of the language. Subclasses declare fields as `Maybe[...]`; one without default is required.

    `one_of` lists groups of keys of which exactly one must stand, `any_of` those of which at least one must.
    """

    model_config = ConfigDict(
        alias_generator=kebab, extra="forbid", defer_build=True, arbitrary_types_allowed=True, frozen=False
    )
    one_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    any_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    _node: Mapping = PrivateAttr()

    @property
    def node(self) -> Mapping:
        """The mapping that was read."""
        return self._node

    @property
    def span(self) -> Span:
        """Where the whole mapping stands."""
        return self._node.span

    def lost(self, field: str) -> bool:
        """Whether `field` (its Python name) was written but could not be read."""
        return getattr(self, field) is None and kebab(field) in self._node

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
            reader.report("wrong-shape", node.span, expected="mapping", found=kind_of_node(node))
            return None
        names = cls._names()
        unknown = [key for key in node if key not in names]
        for key in unknown:
            choices = [name for name in names if name not in node]
            reader.report("unknown-key", key.span, written=str(key), choices=choices, known=list(names))
        given: dict[str, Any] = {key: node.value(key) for key in names if key in node}
        for group in cls._missing(node):
            _report_missing(node, group, unknown[:_MOST_COMPARED], reader)
        for name, is_required in names.items():
            if is_required and name not in given:
                given[name] = _ABSENT
        for later in cls._surplus(node):
            reader.report("wrong-shape", later.span, expected="one-of", found=str(later), choices=cls._group_of(later))
        shape = inner(given)
        shape._node = node
        return shape

    @classmethod
    def _names(cls) -> dict[str, bool]:
        """Every key of the mapping, and whether it is required."""
        return {field.alias or kebab(name): field.is_required() for name, field in cls.model_fields.items()}

    @classmethod
    def _missing(cls, node: Mapping) -> Iterator[tuple[str, ...]]:
        required = ((name,) for name, is_required in cls._names().items() if is_required)
        for group in (*required, *cls.one_of, *cls.any_of):
            if not any(name in node for name in group):
                yield group

    @classmethod
    def _surplus(cls, node: Mapping) -> Iterator[Scalar]:
        for group in cls.one_of:
            yield from [key for key in node if key in group][1:]

    @classmethod
    def _group_of(cls, key: str) -> tuple[str, ...]:
        return next(group for group in cls.one_of if key in group)


def _report_missing(node: Mapping, group: tuple[str, ...], unknown: list[Scalar], reader: Reader) -> None:
    if any(nearest(key, group) for key in unknown):
        reader.has_losses = True
        return
    reader.report("missing-key", place_of(node), names=group, owner=_owner(node))


def place_of(node: Mapping) -> Span:
    """The text that stands for a whole mapping: the key that it hangs on, else its own first key, else itself."""
    if node.owner is not None:
        return node.owner.span
    return next((key.span for key in node), node.span)


def _owner(node: Mapping) -> str | None:
    return str(node.owner) if node.owner is not None else None


class ListShape(RootModel[Any]):
    """A list of the language; subclasses say of what in `root`, which may contain the list itself again."""

    model_config = ConfigDict(defer_build=True, arbitrary_types_allowed=True)
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
            reader_of(info).report("wrong-shape", node.span, expected="list", found=kind_of_node(node))
            return None
        shape = inner(node)
        shape._node = node
        return shape


class OneOf:
    """One of several forms: a text, a list, or a mapping that one of its keys tells apart.

    The members of the annotated union are told apart by `forms`, in their order: "text", "list", "mapping" (any), or
    the key that a mapping of that form has. With `by`, a form is instead the value that this key of a mapping has.
    """

    def __init__(self, *forms: str, by: str | None = None) -> None:
        self._forms = forms
        self._by = by
        self._keys = tuple(form for form in forms if form not in ("text", "list", "mapping"))

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        members = dict(zip(self._forms, get_args(source), strict=True))
        choices = {form: handler.generate_schema(member) for form, member in members.items()}
        union = core_schema.tagged_union_schema(choices, self._form)
        return core_schema.with_info_wrap_validator_function(self._read, union)

    def _read(self, node: Any, inner: Callable[[Any], Any], info: core_schema.ValidationInfo) -> Any:
        if self._form(node) is not None:
            return inner(node)
        reader = reader_of(info)
        if isinstance(node, Mapping) and self._keys:
            self._report_mapping(node, reader)
        else:
            expected = "/".join(dict.fromkeys("mapping" if form in self._keys else form for form in self._forms))
            reader.report("wrong-shape", node.span, expected=expected, found=kind_of_node(node))
        return None

    def _report_mapping(self, node: Mapping, reader: Reader) -> None:
        if self._by is None:
            for key in node:
                reader.report("unknown-key", key.span, written=str(key), choices=self._keys, known=self._keys)
            if not node:
                reader.report("missing-key", place_of(node), names=self._keys, owner=_owner(node))
        elif self._by not in node:
            _report_missing(node, (self._by,), list(node)[:_MOST_COMPARED], reader)
        else:
            value = node.value(self._by)
            assert value is not None
            reader.report("unknown-name", value.span, what="field", written=str(value), choices=self._keys)

    def _form(self, node: Any) -> str | None:
        match node:
            case Scalar():
                return "text" if "text" in self._forms else None
            case Sequence():
                return "list" if "list" in self._forms else None
            case Mapping():
                return self._form_of_mapping(node)
        return None

    def _form_of_mapping(self, node: Mapping) -> str | None:
        if "mapping" in self._forms:
            return "mapping"
        if self._by is not None:
            value = node.value(self._by)
            return str(value) if isinstance(value, Scalar) and value in self._keys else None
        exact = next((key for key in self._keys if key in node), None)
        if exact is not None:
            return exact
        close = (nearest(key, self._keys) for key in list(node)[:_MOST_COMPARED])
        return next((names[0] for names in close if names), None)
