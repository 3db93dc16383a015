"""Mappings of the language: a broken item costs a problem and itself, its neighbours are still read.

A tree of `syntax` goes in, shapes with their nodes come out; a value that could not be read is None, and
`Shape.lost` tells it from one that was never written.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from functools import cache
from typing import Any, ClassVar, Self, get_args, get_origin

from lampwright.plan.fields import Declared, Lenient, Read, kind_of_node, reading_of, resolved
from lampwright.plan.reader import Reader
from lampwright.syntax import Mapping, Scalar, Sequence
from lampwright.text import Span, nearest

MOST_COMPARED = 100
"""Comparing names is slow; nobody reads more than this many unknown keys of one mapping."""


@cache
def kebab(name: str) -> str:
    """The key in the file for a Python field name."""
    return name.removesuffix("_").replace("_", "-")


class Shape:
    """A mapping of the language. Subclasses declare fields as `Maybe[...]`; one without default is required.

    `one_of` lists groups of keys of which exactly one must stand, `any_of` those of which at least one must, `at_most`
    those of which no two may. `rivals` are keys of other shapes that might have stood in this one's place. `short` is
    the key that a bare text in this mapping's place was probably meant for.
    """

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    any_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    at_most: ClassVar[tuple[tuple[str, ...], ...]] = ()
    rivals: ClassVar[tuple[str, ...]] = ()
    short: ClassVar[str | None] = None
    declared: ClassVar[dict[str, Declared]] = {}
    _node: Mapping
    _doubtful: frozenset[str] = frozenset()
    _cut: frozenset[str] = frozenset()

    def __init_subclass__(cls) -> None:
        """Collects what is declared; an instance has None for what is not written."""
        own = {name: value for name, value in vars(cls).items() if isinstance(value, Declared)}
        cls.declared = {**cls.declared, **own}
        for name in own:
            setattr(cls, name, None)

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

    @classmethod
    def read(cls, node: Any, reader: Reader) -> Self | None:
        """The shape that `node` writes, None if it is no mapping at all."""
        if not isinstance(node, Mapping):
            reader.report("wrong-shape", node.span, expected="mapping", found=kind_of_node(node), short=cls.short)
            return None
        shape = cls()
        shape._node = node
        # Most mappings are right, and nothing need be found out about them.
        surplus = cls._find_fault(shape, node, reader) if not (reader.is_complete and cls._is_right(node)) else ()
        for name, key, read in cls.readings():
            if key in node and key not in surplus:
                setattr(shape, name, read(node.value(key), reader))
        return shape

    @classmethod
    def _is_right(cls, node: Mapping) -> bool:
        """Whether no key is unknown, none is missing, and none excludes another."""
        names, required = cls._demands()
        keys = node.keys()
        if not (keys <= names and required <= keys):
            return False
        if not (cls.one_of or cls.any_of or cls.at_most):
            return True
        return (
            all(len(keys & set(group)) == 1 for group in cls.one_of)
            and not any(keys.isdisjoint(group) for group in cls.any_of)
            and not any(len(keys & set(group)) > 1 for group in cls.at_most)
        )

    @classmethod
    @cache
    def _demands(cls) -> tuple[frozenset[str], frozenset[str]]:
        """All keys, and those that are required."""
        return frozenset(cls.names()), frozenset(key for key, is_required in cls.names().items() if is_required)

    @classmethod
    def _find_fault(cls, shape: Self, node: Mapping, reader: Reader) -> Container[str]:
        """Reports keys that are unknown, missing or exclude others; notes what may be meant; the keys not to read."""
        doubtful = cls._report_unknown(node, reader)
        cls._report_missing(node, doubtful, reader)
        surplus = dict(cls._surplus(node))
        for later, group in surplus.items():
            reader.report("wrong-shape", later.span, expected="one-of", found=str(later), choices=group)
        absent = {key for key, is_required in cls.names().items() if is_required and key not in node}
        shape._doubtful = frozenset({*doubtful, *absent})
        shape._cut = frozenset(cls._cut_names(node, reader))
        return surplus

    @classmethod
    @cache
    def names(cls) -> dict[str, bool]:
        """Every key of the mapping, and whether it is required."""
        return {field.alias or kebab(name): field.is_required for name, field in cls.declared.items()}

    @classmethod
    @cache
    def annotations(cls) -> dict[str, Any]:
        """The type of each field, names in quotation marks resolved."""
        own = ((base.__module__, vars(base).get("__annotations__", {})) for base in reversed(cls.__mro__))
        return {
            name: resolved(annotation, module)
            for module, annotations in own
            for name, annotation in annotations.items()
            if name in cls.declared
        }

    @classmethod
    @cache
    def readings(cls) -> tuple[tuple[str, str, Read], ...]:
        """Name, key and reading of each field. Made when the first such mapping is read."""
        annotations = cls.annotations()
        return tuple(
            (name, field.alias or kebab(name), reading_of(annotations[name])) for name, field in cls.declared.items()
        )

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
        annotations = cls.annotations()
        return {
            field.alias or kebab(name): frozenset(
                key for shape in _shapes_in(annotations[name]) for key in shape.names()
            )
            for name, field in cls.declared.items()
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
    if isinstance(annotation, Lenient):
        yield from _shapes_in(annotation.of)
    elif isinstance(annotation, type):
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
