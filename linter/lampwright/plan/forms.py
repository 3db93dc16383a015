"""A value that may take one of several forms: which one it takes, and what is said where it takes none."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.plan.shapes import MOST_COMPARED, Shape, kind_of_node, reader_of, report_missing
from lampwright.syntax import Mapping, Scalar, Sequence
from lampwright.text import nearest


class OneOf:
    """One of several forms: a text, a list, or a mapping that one of its keys tells apart.

    The members of the annotated union are told apart by `forms`, in their order: "text", "list", "mapping" (any), or
    the key that a mapping of that form has. With `by`, a form is instead the value that this key of a mapping has.
    """

    def __init__(self, *forms: str, by: str | None = None) -> None:
        self._forms = forms
        self._by = by
        self._keys = tuple(form for form in forms if form not in ("text", "list", "mapping"))
        self._expected = ""
        self._names: dict[str, set[str]] = {}

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        members = dict(zip(self._forms, get_args(source), strict=True))
        words = (self._word_of(form, member) for form, member in members.items())
        self._expected = "/".join(dict.fromkeys(words))
        shapes = ((form, member) for form, member in members.items() if isinstance(member, type))
        self._names = {form: set(shape.names()) for form, shape in shapes if issubclass(shape, Shape)}
        choices = {form: handler.generate_schema(member) for form, member in members.items()}
        union = core_schema.tagged_union_schema(choices, self._form)
        return core_schema.with_info_wrap_validator_function(self._read, union)

    def _word_of(self, form: str, member: Any) -> str:
        leaf = next((item for item in getattr(member, "__metadata__", ()) if isinstance(item, Leaf)), None)
        if leaf is not None:
            return leaf.expected
        return "mapping" if form in self._keys else form

    def _read(self, node: Any, inner: Callable[[Any], Any], info: core_schema.ValidationInfo) -> Any:
        if self._form(node) is not None:
            return inner(node)
        reader = reader_of(info)
        if not isinstance(node, Mapping) or not self._keys:
            reader.report("wrong-shape", node.span, expected=self._expected, found=kind_of_node(node))
        elif self._by is None:
            self._report_keys(node, reader)
        else:
            self._report_kind(node, self._by, reader)
        return None

    def _report_keys(self, node: Mapping, reader: Reader) -> None:
        for key in node:
            reader.report("unknown-key", key.span, written=str(key), choices=self._keys, known=self._keys)
        if not node and not reader.lacks_entries(node):
            report_missing(node, self._keys, reader)

    def _report_kind(self, node: Mapping, by: str, reader: Reader) -> None:
        """Says why the key `by` does not tell what kind of mapping this is."""
        value = node.value(by)
        if value is None:
            unknown = [key for key in node if not any(key in names for names in self._names.values())]
            for key in unknown:
                reader.report("unknown-key", key.span, written=str(key), choices=[by], known=[by])
            if not any(nearest(key, [by]) for key in unknown[:MOST_COMPARED]) and not reader.lacks_entries(node):
                report_missing(node, (by,), reader)
        elif isinstance(value, Scalar) and value:
            reader.report("unknown-name", value.span, what="field", written=str(value), choices=self._keys)
        else:
            reader.report("wrong-shape", value.span, expected="word", found=kind_of_node(value))

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
        exact = next((str(key) for key in node if key in self._keys), None)
        if exact is not None:
            return exact
        close = (nearest(key, self._keys) for key in list(node)[:MOST_COMPARED])
        guess = next((names[0] for names in close if names), None)
        return guess or next((form for form in self._keys if any(key in self._names[form] for key in node)), None)
