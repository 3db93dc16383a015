"""The types of the protocol, each written when it is first used, as our own records are.

The library has 550 of them, and `attrs` writes and compiles the methods of each when it is imported, which was two
fifths of a start; a session uses a tenth. So `attrs` is kept waiting while the library is imported. If some other
module was quicker to import it, its types are there at once, and all goes as well.
"""

from __future__ import annotations

import threading
from contextlib import suppress
from typing import Any, TypeVar

import attrs

Kind = TypeVar("Kind", bound=type)

_DEFINE: Any = attrs.define

_LOCK = threading.RLock()
"""Two threads may be the first to use a type."""

_WAITING: set[type] = set()


class _Fields:
    """Stands for the fields of a type until somebody asks, as the reader of messages does."""

    def __get__(self, _: object, kind: type) -> object:
        _write(kind)
        return attrs.fields(kind)


def _wait(kind: Kind | None = None, **options: Any) -> Any:
    """In the place of `attrs.define`, where nothing is asked of that."""
    if kind is None or options:
        return _DEFINE(kind, **options)
    return _put_off(kind)


def _put_off(kind: Kind) -> Kind:
    def begin(self: object, *given: object, **named: object) -> None:
        _write(kind)
        kind.__init__(self, *given, **named)  # type: ignore[misc]

    _WAITING.add(kind)
    kind.__init__ = begin  # type: ignore[misc]
    kind.__attrs_attrs__ = _Fields()  # type: ignore[attr-defined]
    return kind


def _write(kind: type) -> None:
    with _LOCK:
        if kind in _WAITING:
            # With slots it would be another class than the one that everybody has. What stands in for its methods is
            # replaced, never away: another thread may just be calling it.
            _DEFINE(kind, slots=False, init=True, field_transformer=_resolved)
            _WAITING.remove(kind)


def _resolved(kind: type, fields: list[Any]) -> list[Any]:
    """`fields` with the types that are only named in the library."""
    attrs.resolve_types(kind, dict(vars(types)), attribs=fields)
    return fields


def _imported() -> Any:
    """The library's types. What refers to types that come later is looked up when the type is written."""
    vars(attrs)["define"] = _wait
    try:
        from lsprotocol import types
    finally:
        vars(attrs)["define"] = _DEFINE
    # Where it does not look up by itself, it asks for the fields of each type, and that is written.
    with suppress(ImportError):
        from lsprotocol import _hooks

        _hooks._resolved_forward_references = bool(_WAITING)
    return types


types = _imported()
