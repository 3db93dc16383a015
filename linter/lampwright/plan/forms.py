"""A value that may take one of several forms: which one it takes, and what is said where it takes none."""

from __future__ import annotations

from typing import Any, get_args

from lampwright.plan.fields import Read, kind_of_node, reading_of
from lampwright.plan.leaf import Leaf
from lampwright.plan.reader import Reader
from lampwright.plan.shapes import MOST_COMPARED, Shape, report_missing
from lampwright.syntax import Mapping, Scalar, Sequence
from lampwright.text import nearest


class OneOf:
    """One of several forms: a text, a list, or a mapping that one of its keys tells apart.

    The members of the annotated union are told apart by `forms`, in their order: "text", "list", "mapping" (any), or
    the key that a mapping of that form has. With `by`, a form is instead the value that this key of a mapping has.
    """

    def __init__(self, *forms: str, by: str | None = None) -> None:
        self.forms = forms
        self._by = by
        self._keys = tuple(form for form in forms if form not in ("text", "list", "mapping"))
        self._expected = ""
        self._names: dict[str, set[str]] = {}

    def reading(self, source: Any, inner: Read | None) -> Read:
        """Reads whichever of the members of `source` a node is."""
        assert inner is None
        members = dict(zip(self.forms, get_args(source), strict=True))
        reads = {form: reading_of(member) for form, member in members.items()}
        self._expected = "/".join(dict.fromkeys(self._word_of(form, member) for form, member in members.items()))
        shapes = ((form, member) for form, member in members.items() if isinstance(member, type))
        self._names = {form: set(shape.names()) for form, shape in shapes if issubclass(shape, Shape)}

        def read_form(node: Any, reader: Reader) -> Any:
            form = self._form(node)
            if form is not None:
                return reads[form](node, reader)
            self._report(node, reader)
            return None

        return read_form

    def _word_of(self, form: str, member: Any) -> str:
        leaf = next((item for item in getattr(member, "__metadata__", ()) if isinstance(item, Leaf)), None)
        if leaf is not None:
            return leaf.expected
        return "mapping" if form in self._keys else form

    def _report(self, node: Any, reader: Reader) -> None:
        """Says why `node` is none of the forms."""
        if not isinstance(node, Mapping) or not self._keys:
            reader.report("wrong-shape", node.span, expected=self._expected, found=kind_of_node(node))
        elif self._by is None:
            self._report_keys(node, reader)
        else:
            self._report_kind(node, self._by, reader)

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
                return "text" if "text" in self.forms else None
            case Sequence():
                return "list" if "list" in self.forms else None
            case Mapping():
                return self._form_of_mapping(node)
        return None

    def _form_of_mapping(self, node: Mapping) -> str | None:
        if "mapping" in self.forms:
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
