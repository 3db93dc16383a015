"""Data classes that are compiled when the first of them is made.

The standard library writes the methods of each data class as text and compiles them when the module is imported. That
takes half a millisecond a class, a third of a start with two hundred of them, and a run makes objects of few. Here a
class gets its slots at once, and the standard decorator does its work at the first object. For type checkers, and for
who reads, it is the standard decorator.
"""

from __future__ import annotations

import dataclasses
import inspect

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from dataclasses import dataclass
    from typing import Any
else:

    def dataclass(cls=None, /, **options):
        """As `dataclasses.dataclass`; put off for classes with slots that extend no other class."""

        def decorate(cls: type) -> type:
            if options.get("slots") and cls.__bases__ == (object,):
                return _put_off(cls, {name: value for name, value in options.items() if name != "slots"})
            for base in cls.__mro__[1:]:
                # A data class that another one extends has to be one by then.
                if base in _WAITING:
                    _complete(base)
            return dataclasses.dataclass(**options)(cls)

        return decorate if cls is None else decorate(cls)


__all__ = ["dataclass"]

_WAITING: dict[type, tuple[dict[str, Any], dict[str, Any]]] = {}
"""Of each class that no object was made of: what was written in it, and how it was to be decorated."""


def _put_off(cls: type, options: dict[str, Any]) -> type:
    """`cls` with slots, and with an `__init__` that first completes it."""
    names = [name for name, kind in inspect.get_annotations(cls).items() if not str(kind).startswith("ClassVar")]
    own = {name: value for name, value in cls.__dict__.items() if name not in ("__dict__", "__weakref__")}
    slotted = {name: value for name, value in own.items() if name not in names}
    made = type(cls.__name__, (), {**slotted, "__slots__": tuple(names), "__qualname__": cls.__qualname__})
    _WAITING[made] = own, options

    def begin(self: object, *given: object, **named: object) -> None:
        _complete(made)
        made.__init__(self, *given, **named)  # type: ignore[misc]

    made.__init__ = begin  # type: ignore[misc]
    return made


def _complete(made: type) -> None:
    """Take over what the standard decorator makes of the class as it was written."""
    if made not in _WAITING:
        return
    own, options = _WAITING[made]
    written = type(made.__name__, (), {**own, "__qualname__": made.__qualname__})
    standard: type = dataclasses.dataclass(**options)(written)
    added = {name: value for name, value in standard.__dict__.items() if name not in own or own[name] is not value}
    if options.get("frozen"):
        # Without them a frozen object with slots can be neither copied nor sent to another process.
        added = {"__getstate__": _state, "__setstate__": _set_state, **added}
    initialise = added.pop("__init__")
    for name, value in added.items():
        if name not in ("__dict__", "__weakref__", *made.__dict__["__slots__"]):
            setattr(made, name, value)
    # Last, so that who asks meanwhile completes it once more instead of finding half of it.
    made.__init__ = initialise  # type: ignore[misc]
    _WAITING.pop(made, None)


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
