"""What is written in one go, with stops where something is to be filled in: a key with its mapping, a whole entry.

No figure is filled in beforehand: what nobody has looked up shall be found missing, not believed. Knows no request.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from lampwright.kinds import Kind
from lampwright.syntax import as_value

_PLAN, _SHEET, _PARTS = Kind.LIGHTING_PLAN, Kind.DECODER_SHEET, Kind.PARTS_CATALOGUE
_LED = "{forward-voltage: $1, current: $2, maximum-current: $3}"
_BULB = "{voltage: $1, current: $2}"

_STOP = re.compile(
    r"\$(?:[0-9]+|\{[0-9]+(?::(?P<text>(?:[^\\}]|\\.)*)|\|(?P<first>(?:[^\\,|]|\\.)*)(?:[^\\}]|\\.)*)?\})"
)
_OBEYED = re.compile(r"[\\$}]")
_OBEYED_IN_CHOICE = re.compile(r"[\\$},|]")

VALUES: Mapping[tuple[Kind, str], str] = {
    (_PLAN, "vehicle"): "{name: $1}",
    (_PLAN, "supply"): "{track: $1}",
    (_PLAN, "parts"): "[$1]",
    (_PLAN, "led"): _LED,
    (_PLAN, "bulb"): _BULB,
    (_PLAN, "board"): "{voltage: $1, current: $2}",
    (_PLAN, "driver"): "{limit: $1}",
    (_PLAN, "common"): "{circuit: [$1]}",
    (_PLAN, "circuit"): "[$1]",
    (_PLAN, "parallel"): "[[$1], [$2]]",
    (_PLAN, "series"): "[$1]",
    (_PLAN, "turns-on"): "[{output: $1}]",
    (_PLAN, "always"): "[{output: $1}]",
    (_PLAN, "consist"): "{address: $1}",
    (_SHEET, "common"): "{drop: $1}",
    (_SHEET, "limits"): "{outputs-together: $1, whole-decoder: $2}",
    (_SHEET, "keys"): "{highest: $1, mapping: $2}",
    (_SHEET, "registers"): "[{cv: $1, holds: [{what: $2, bits: $3}]}]",
    (_SHEET, "holds"): "[{what: $1, bits: $2}]",
    (_PARTS, "led"): _LED,
    (_PARTS, "bulb"): _BULB,
    (_PARTS, "resistors"): "[{value: $1, rating: $2, tolerance: $3}]",
}
"""What a key of that name may hold, where it holds a mapping or a list."""

_ITEMS: Mapping[tuple[Kind, str], tuple[str, ...]] = {
    (_PLAN, "circuit"): ("{parallel: [[$1], [$2]]}",),
    (_PLAN, "series"): ("{parallel: [[$1], [$2]]}",),
    (_PLAN, "turns-on"): ("{output: $1}", "{output: $1, when: $2}"),
    (_PLAN, "always"): ("{output: $1}", "{output: $1, when: $2}"),
    (_SHEET, "registers"): ("{cv: $1, holds: [{what: $2, bits: $3}]}",),
    (_SHEET, "holds"): ("{what: $1, bits: $2}",),
    (_PARTS, "resistors"): ("{value: $1, rating: $2, tolerance: $3}",),
}


def value_of(kind: Kind, path: tuple[str | int, ...]) -> str | None:
    """The value of the key that `path` leads to."""
    kind, path = _own(kind, path)
    return VALUES.get((kind, str(path[-1]))) if path and isinstance(path[-1], str) else None


def items_of(kind: Kind, path: tuple[str | int, ...]) -> tuple[str, ...]:
    """What may be the item of a list that `path` leads to. A branch of a parallel is a circuit as well."""
    kind, path = _own(kind, path)
    if len(path) < 2 or not isinstance(path[-1], int):
        return ()
    is_branch = path[-3:-2] == ("parallel",) and isinstance(path[-2], int)
    return _ITEMS.get((kind, "circuit" if is_branch else str(path[-2])), ())


def entries_of(
    kind: Kind, path: tuple[str | int, ...], free: Iterable[str], parts: Iterable[str], label: str
) -> tuple[str, ...]:
    """Whole entries of the mapping at `path`: under a name that is `free`, the first if there is no choice.

    `parts` are those of the catalogues, `label` is what the club calls the first free key.
    """
    kind, path = _own(kind, path)
    names = [name for name in free if as_value(name) == name]
    if not names:
        return ()
    first = _with(1, names[0])
    match kind, path:
        case Kind.LIGHTING_PLAN, ("lamps",):
            chosen = _chosen(2, parts)
            return (f"{first}: {{part: {chosen}}}", *_lamps(first))
        case Kind.LIGHTING_PLAN, ("outputs",):
            return (f"{_chosen(1, names)}: {{circuit: [$2]}}",)
        case Kind.LIGHTING_PLAN, ("keys",):
            return (f"{first}: {{label: {_with(2, as_value(label))}, turns-on: [{{output: $3}}]}}",)
        case Kind.DECODER_SHEET, ("outputs",):
            return (f"{first}: {{number: $2, limit: $3}}",)
        case Kind.DECODER_SHEET, ("effects",):
            return (f"{first}: {{code: $2}}",)
        case Kind.PARTS_CATALOGUE, ("lamps",):
            return _lamps(first)
    return ()


def filled(snippet: str) -> str:
    """The text that `snippet` puts in before anything is typed at its stops."""
    text = _STOP.sub(lambda match: match["text"] or match["first"] or "", snippet)
    return re.sub(r"\\(.)", r"\1", text)


def shown(snippet: str) -> str:
    """What a list of offers calls it."""
    return filled(re.sub(r"\$[0-9]", "…", snippet))


def escaped(text: str) -> str:
    """`text` as a snippet without stops."""
    return _OBEYED.sub(r"\\\g<0>", text)


def _own(kind: Kind, path: tuple[str | int, ...]) -> tuple[Kind, tuple[str | int, ...]]:
    """A sheet may stand within a plan."""
    return (_SHEET, path[1:]) if kind is _PLAN and path[:1] == ("decoder",) else (kind, path)


def _lamps(first: str) -> tuple[str, ...]:
    def later(value: str) -> str:
        return re.sub(r"\$([0-9])", lambda match: f"${int(match[1]) + 1}", value)

    return f"{first}: {{led: {later(_LED)}}}", f"{first}: {{bulb: {later(_BULB)}}}"


def _with(number: int, text: str) -> str:
    return f"${{{number}:{escaped(text)}}}" if text and text != '""' else f"${number}"


def _chosen(number: int, names: Iterable[str]) -> str:
    choices = [_OBEYED_IN_CHOICE.sub(r"\\\g<0>", name) for name in names if as_value(name) == name]
    if len(choices) < 2:
        return _with(number, choices[0]) if choices else f"${number}"
    return f"${{{number}|{','.join(choices)}|}}"
