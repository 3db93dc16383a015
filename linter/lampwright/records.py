"""Data classes that are written when they are needed: how to make one at the first object, all else at its first use.

The standard library writes all methods of each data class as text and compiles them when the module is imported. That
takes half a millisecond a class, a third of a start with two hundred of them, and a run makes objects of few and
compares fewer. Here a class gets its slots at once and its `__init__` at the first object; equality, order, `repr` and
what `dataclasses.fields` and `replace` ask for are made by the standard decorator when they are asked for. To type
checkers, and to who reads, it is the standard decorator.
"""

from __future__ import annotations

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass, field
    from typing import Any
else:

    def dataclass(cls=None, /, **options):
        """As `dataclasses.dataclass`; put off for classes that extend no other class."""

        def decorate(cls: type) -> type:
            return _extended(cls, options) if cls.__bases__ != (object,) else _put_off(cls, options)

        return decorate if cls is None else decorate(cls)

    def field(**options):
        """As `dataclasses.field`, with `default_factory` and `repr`."""
        return _Field(**options)


__all__ = ["dataclass", "field"]

_NONE = object()


class _Field:
    """What was said of a field, until the standard library is asked."""

    __slots__ = ("default_factory", "repr")

    def __init__(self, *, default_factory: Callable[[], object] | None = None, repr: bool = True) -> None:  # noqa: A002  # the names of the standard library
        self.default_factory = default_factory
        self.repr = repr

    def standard(self) -> Any:
        """The standard library's own."""
        import dataclasses

        if self.default_factory is None:
            return dataclasses.field(repr=self.repr)
        return dataclasses.field(default_factory=self.default_factory, repr=self.repr)


_WAITING: dict[type, tuple[dict[str, Any], dict[str, Any]]] = {}
"""Of each class that the standard library has not seen: what was written in it, and how it was to be decorated."""


# --- A class, at once -------------------------------------------------------------------------------------------------


def _put_off(cls: type, options: dict[str, Any]) -> type:
    """`cls`, with slots if they are asked for, and with methods that write themselves when they are called."""
    own = {name: value for name, value in cls.__dict__.items() if name not in ("__dict__", "__weakref__")}
    # Annotations are text here, as in every module that begins with the same import as this one.
    names = [name for name, kind in own.get("__annotations__", {}).items() if not str(kind).startswith("ClassVar")]
    defaults = {name: own[name] for name in names if name in own}
    made = _slotted(cls, own, names) if options.get("slots") else cls
    for name, value in defaults.items():
        if isinstance(value, _Field) and made is cls:
            delattr(cls, name)
        elif type(value).__name__ == "Field":
            raise TypeError(f"{cls.__qualname__}.{name}: the field of a record is made by lampwright.records.field")
    _WAITING[made] = own, {**options, "slots": False, "init": False}

    def begin(self: object, *given: object, **named: object) -> None:
        made.__init__ = _initialiser(made, names, defaults, options)  # type: ignore[misc]
        made.__init__(self, *given, **named)  # type: ignore[misc]

    added = {"__init__": begin, "__match_args__": tuple(names), "__dataclass_fields__": _Fields(made)}
    added |= {name: _stand_in(made, name) for name in _awaited(options) if name not in own}
    if options.get("frozen") and options.get("slots"):
        # Without them such an object can be neither copied nor sent to another process.
        added |= {"__getstate__": _state_of(names), "__setstate__": _restorer(names)}
    for name, value in added.items():
        setattr(made, name, value)
    return made


def _slotted(cls: type, own: dict[str, Any], names: list[str]) -> type:
    kept = {name: value for name, value in own.items() if name not in names}
    return type(cls.__name__, (), {**kept, "__slots__": tuple(names), "__qualname__": cls.__qualname__})


def _awaited(options: dict[str, Any]) -> list[str]:
    """The methods that the standard decorator adds with `options`, without `__init__`."""
    names = ["__repr__"]
    if options.get("eq", True):
        names += ["__eq__", "__hash__"]
    if options.get("order"):
        names += ["__lt__", "__le__", "__gt__", "__ge__"]
    if options.get("frozen"):
        names += ["__setattr__", "__delattr__"]
    return names


def _state_of(names: list[str]) -> Callable[[object], list[object]]:
    return lambda self: [getattr(self, name) for name in names]


def _restorer(names: list[str]) -> Callable[[object, list[object]], None]:
    def restore(self: object, state: list[object]) -> None:
        for name, value in zip(names, state, strict=True):
            object.__setattr__(self, name, value)

    return restore


# --- Its objects, at the first one ------------------------------------------------------------------------------------


def _initialiser(made: type, names: list[str], defaults: dict[str, Any], options: dict[str, Any]) -> Any:
    """The `__init__` of a class, written and compiled as the standard library would."""
    known: dict[str, Any] = {"_none": _NONE}
    parameters, lines = [], []
    for name in names:
        default, parameter, value = defaults.get(name, _NONE), name, name
        if isinstance(default, _Field):
            if default.default_factory is not None:
                known[f"_made_{name}"] = default.default_factory
                parameter, value = f"{name}=_none", f"_made_{name}() if {name} is _none else {name}"
        elif default is not _NONE:
            known[f"_default_{name}"] = default
            parameter = f"{name}=_default_{name}"
        parameters.append(parameter)
        lines.append(_assignment(made, name, value, known, options))
    if hasattr(made, "__post_init__"):
        lines.append("self.__post_init__()")
    body = "".join(f"\n  {line}" for line in lines or ["pass"])
    exec(f"def __init__(self, {', '.join(parameters)}):{body}", known)  # noqa: S102  # nothing but names of fields
    initialise = known["__init__"]
    initialise.__qualname__ = f"{made.__qualname__}.__init__"
    return initialise


def _assignment(made: type, name: str, value: str, known: dict[str, Any], options: dict[str, Any]) -> str:
    if not options.get("frozen"):
        return f"self.{name} = {value}"
    if options.get("slots"):
        known[f"_set_{name}"] = made.__dict__[name].__set__
        return f"_set_{name}(self, {value})"
    return f"self.__dict__[{name!r}] = {value}"


# --- All else, when it is asked for -----------------------------------------------------------------------------------


def _stand_in(made: type, name: str) -> Any:
    """A method that has the class completed, and is what it was asked to be."""

    def method(self: object, *given: object) -> object:
        _complete(made)
        return getattr(made, name)(self, *given)

    return method


class _Fields:
    """Stands for `__dataclass_fields__`, by which the standard library knows its own."""

    __slots__ = ("made",)

    def __init__(self, made: type) -> None:
        self.made = made

    def __get__(self, _: object, owner: type) -> Any:
        _complete(self.made)
        return self.made.__dict__["__dataclass_fields__"]


def _complete(made: type) -> None:
    """Take over what the standard decorator makes of the class as it was written."""
    if made not in _WAITING:
        return
    import dataclasses

    own, options = _WAITING[made]
    plain = {name: value.standard() if isinstance(value, _Field) else value for name, value in own.items()}
    written = type(made.__name__, (), {**plain, "__qualname__": made.__qualname__})
    standard: type = dataclasses.dataclass(**options)(written)
    kept = {*own, "__dict__", "__weakref__", "__init__"}
    for name, value in standard.__dict__.items():
        if name not in kept:
            setattr(made, name, value)
    _WAITING.pop(made, None)


def _extended(cls: type, options: dict[str, Any]) -> type:
    """A class that extends others, by the standard decorator."""
    import dataclasses

    for base in cls.__mro__[1:]:
        # A data class that another one extends has to be one by then.
        _complete(base)
    for name, value in list(cls.__dict__.items()):
        if isinstance(value, _Field):
            setattr(cls, name, value.standard())
    return dataclasses.dataclass(**options)(cls)
