"""Data classes that are written when they are needed: how to make one at the first object, all else at its first use.

The standard library writes all methods of each data class as text and compiles them when the module is imported. That
takes half a millisecond a class, a third of a start with two hundred of them, and a run makes objects of few and
compares fewer. Here a class gets its slots at once, its `__init__` at the first object, equality and hash at the first
comparison; order, `repr` and what `dataclasses.fields` and `replace` ask for are made by the standard decorator when
they are asked for. To type checkers, and to who reads, it is the standard decorator.

What is written for classes of as many fields is alike but for their names. So it is compiled once for all of them, and
each gets it with names of its own.
"""

from __future__ import annotations

from types import CodeType, FunctionType

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass, field, replace
    from typing import Any
else:

    def dataclass(cls=None, /, **options):
        """As `dataclasses.dataclass`; put off for classes that extend no other class but `Generic`."""

        def decorate(cls: type) -> type:
            extends = [base for base in cls.__bases__ if base is not object and base.__module__ != "typing"]
            return _extended(cls, options) if extends else _put_off(cls, options)

        return decorate if cls is None else decorate(cls)

    def field(**options):
        """As `dataclasses.field`, with `default_factory` and `repr`."""
        return _Field(**options)

    def replace(one, /, **changes):
        """As `dataclasses.replace`."""
        for name in one.__match_args__:
            if name not in changes:
                changes[name] = getattr(one, name)
        return one.__class__(**changes)


__all__ = ["dataclass", "field", "replace"]

_NONE = object()
_KNOWN = {"eq", "frozen", "order", "slots"}


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
    if options.keys() - _KNOWN:
        raise TypeError(f"{cls.__qualname__}: records know no {', '.join(sorted(options.keys() - _KNOWN))}")
    own = {name: value for name, value in cls.__dict__.items() if name not in ("__dict__", "__weakref__")}
    if own.get("__hash__", _NONE) is None:
        # So Python says that equality was written; whether there is a hash then, the decorator decides.
        del own["__hash__"]
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
    if options.get("eq", True):
        written = _compared(made, names, is_frozen=options.get("frozen", False))
        added |= {name: method for name, method in written.items() if name not in own}
    if options.get("frozen"):
        added |= _frozen(made, names, has_slots=options.get("slots", False))
    for name, value in added.items():
        setattr(made, name, value)
    return made


def _slotted(cls: type, own: dict[str, Any], names: list[str]) -> type:
    kept = {name: value for name, value in own.items() if name not in names}
    return type(cls.__name__, cls.__bases__, {**kept, "__slots__": tuple(names), "__qualname__": cls.__qualname__})


def _awaited(options: dict[str, Any]) -> list[str]:
    """The methods that the standard decorator has to write, if `options` ask for them."""
    names = ["__repr__"]
    if options.get("order"):
        names += ["__lt__", "__le__", "__gt__", "__ge__"]
    return names


def _compared(made: type, names: list[str], *, is_frozen: bool) -> dict[str, Any]:
    """Equality and hash, which write themselves: a report that is printed asks for them, and for nothing else."""

    def equal(self: object, other: object) -> object:
        same = f"({_fields_of('self', names)}) == ({_fields_of('other', names)})"
        made.__eq__ = _written(f"def __eq__(self, other):\n  {_UNLIKE}\n  return {same}", made, names)  # type: ignore[method-assign]
        return made.__eq__(self, other)  # type: ignore[call-arg]  # as methods are called through their class

    def number(self: object) -> int:
        made.__hash__ = _written(f"def __hash__(self):\n  return hash(({_fields_of('self', names)}))", made, names)  # type: ignore[method-assign]
        return made.__hash__(self)  # type: ignore[call-arg]  # the same

    return {"__eq__": equal, "__hash__": number if is_frozen else None}


_UNLIKE = "if other.__class__ is not self.__class__: return NotImplemented"


def _fields_of(owner: str, names: list[str]) -> str:
    return "".join(f"{owner}._{number}, " for number in range(len(names)))


def _frozen(made: type, names: list[str], *, has_slots: bool) -> dict[str, Any]:
    """What keeps an object as it is; a class that extends this one may add what it likes."""

    def refuse_to_set(self: object, name: str, value: object) -> None:
        if type(self) is made or name in names:
            raise _frozen_error(f"cannot assign to field {name!r}")
        object.__setattr__(self, name, value)

    def refuse_to_delete(self: object, name: str) -> None:
        if type(self) is made or name in names:
            raise _frozen_error(f"cannot delete field {name!r}")
        object.__delattr__(self, name)

    added = {"__setattr__": refuse_to_set, "__delattr__": refuse_to_delete}
    # Without them an object with slots can be neither copied nor sent to another process.
    sent = {"__getstate__": _state_of(names), "__setstate__": _restorer(names)} if has_slots else {}
    return {**added, **sent}


def _frozen_error(words: str) -> Exception:
    from dataclasses import FrozenInstanceError

    return FrozenInstanceError(words)


def _state_of(names: list[str]) -> Callable[[object], list[object]]:
    return lambda self: [getattr(self, name) for name in names]


def _restorer(names: list[str]) -> Callable[[object, list[object]], None]:
    def restore(self: object, state: list[object]) -> None:
        for name, value in zip(names, state, strict=True):
            object.__setattr__(self, name, value)

    return restore


# --- Its objects, at the first one ------------------------------------------------------------------------------------


def _initialiser(made: type, names: list[str], defaults: dict[str, Any], options: dict[str, Any]) -> Any:
    """The `__init__` of a class, written as the standard library would."""
    known: dict[str, Any] = {"_none": _NONE}
    given, lines = [], []
    for number, name in enumerate(names):
        value = f"_{number}"
        default = defaults.get(name, _NONE)
        factory = default.default_factory if isinstance(default, _Field) else None
        if factory is not None:
            known[f"_made_{number}"] = factory
            value = f"_made_{number}() if _{number} is _none else _{number}"
            given.append(_NONE)
        elif default is not _NONE and not isinstance(default, _Field):
            given.append(default)
        elif given:
            raise TypeError(f"{made.__qualname__}.{name}: a field without a default follows one that has it")
        lines.append(f"self._{number} = {value}")
        if options.get("frozen"):
            known[f"_set_{number}"] = _setter(made, name, options)
            lines[-1] = f"_set_{number}(self, {value})"
    if hasattr(made, "__post_init__"):
        lines.append("self.__post_init__()")
    parameters = "".join(f", _{number}" for number in range(len(names)))
    body = "".join(f"\n  {line}" for line in lines or ["pass"])
    return _written(f"def __init__(self{parameters}):{body}", made, names, known, tuple(given))


def _setter(made: type, name: str, options: dict[str, Any]) -> Callable[[object, object], None]:
    """What sets a field of a frozen object."""
    if options.get("slots"):
        setter: Callable[[object, object], None] = made.__dict__[name].__set__
        return setter
    return lambda self, value: self.__dict__.__setitem__(name, value)


# --- Its methods ------------------------------------------------------------------------------------------------------


_COMPILED: dict[str, CodeType] = {}
"""By its text, what was compiled."""


def _written(
    text: str, made: type, names: list[str], known: dict[str, Any] | None = None, defaults: tuple[object, ...] = ()
) -> Any:
    """The method that `text` defines, with `names` for `_0`, `_1` and so on in it, and with what is `known` to it."""
    if text not in _COMPILED:
        defined: dict[str, Any] = {}
        exec(text, {}, defined)  # noqa: S102  # nothing but numbers of fields
        _COMPILED[text] = next(iter(defined.values())).__code__
    own = {f"_{number}": name for number, name in enumerate(names)}
    code = _COMPILED[text]
    code = code.replace(
        co_varnames=tuple([own.get(name, name) for name in code.co_varnames]),
        co_names=tuple([own.get(name, name) for name in code.co_names]),
    )
    method = FunctionType(code, known if known is not None else {}, code.co_name, defaults)
    method.__qualname__ = f"{made.__qualname__}.{code.co_name}"
    return method


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
    # Another thread may have done it, or be doing the same.
    waiting = _WAITING.get(made)
    if waiting is None:
        return
    import dataclasses

    own, options = waiting
    plain = {name: value.standard() if isinstance(value, _Field) else value for name, value in own.items()}
    written = type(made.__name__, (), {**plain, "__qualname__": made.__qualname__})
    standard: type = dataclasses.dataclass(**options)(written)
    # What keeps an object as it is was written for its own class; the standard's knows `written` only.
    kept = {*own, "__dict__", "__weakref__", "__init__", "__setattr__", "__delattr__"}
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
