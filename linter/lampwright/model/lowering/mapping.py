"""How a decoder sheet maps its keys: the method with its windows or its fixed entries, names looked up."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.model.keys import Key
from lampwright.model.lowering.entries import EntryLowering
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import number
from lampwright.model.mapping import KeyMapping, Window
from lampwright.plan.keys import KeyRange, key_number
from lampwright.plan.shapes import place_of
from lampwright.plan.sheet import SheetKeys, ShiftedMatrix
from lampwright.plan.words import Word


def lower_mapping(shape: SheetKeys | None, entries: EntryLowering) -> KeyMapping | None:
    """The mapping of a sheet; None where it names none, or something of it was dropped with a problem."""
    if shape is None:
        return None
    _check(shape, entries.notes)
    before = len(entries.notes.problems)
    fixed = tuple(_fixed(shape, entries))
    is_whole = (
        len(entries.notes.problems) == before and len(fixed) == len(shape.fixed or {}) and all(map(_is_whole, fixed))
    )
    match shape.mapping:
        case ShiftedMatrix(function_matrix=matrix):
            windows = _windows(shape.mapping)
            written = matrix.first_output if matrix is not None else None
            if written is None or len(windows) < len(written):
                return None
            return KeyMapping("function-matrix", shape.key_span("mapping"), windows)
        case Word(text="fixed", span=span):
            is_said = shape.says("fixed") and not shape.lost("fixed") and is_whole
            return KeyMapping("fixed", span, fixed=fixed) if is_said else None
        case Word(text=method, span=span):
            return KeyMapping(method, span)
    return None


def _fixed(shape: SheetKeys, entries: EntryLowering) -> Iterator[Key]:
    for word, turned_on in (shape.fixed or {}).items():
        turns_on = tuple(entries.entries(turned_on))
        key = key_number(word.text)
        if key is not None:
            yield Key(key, word.span, entries=turns_on)


def _is_whole(key: Key) -> bool:
    return all(entry.complete and entry.condition is not None for entry in key.entries)


def _windows(mapping: ShiftedMatrix) -> tuple[Window, ...]:
    matrix = mapping.function_matrix
    written = matrix.first_output if matrix is not None else None
    windows = []
    for keys, first in (written or {}).items():
        output = number(first)
        if isinstance(keys, KeyRange) and output is not None:
            windows.append(Window(keys.lowest, keys.highest, output))
    return tuple(windows)


def _check(shape: SheetKeys, notes: Notes) -> None:
    is_fixed = isinstance(shape.mapping, Word) and shape.mapping.text == "fixed"
    if is_fixed and not shape.says("fixed"):
        notes.report("missing-key", place_of(shape.node), names=("fixed",), owner="keys")
    if shape.says("fixed") and not shape.says("mapping"):
        notes.report("missing-key", place_of(shape.node), names=("mapping",), owner="keys")
    elif "fixed" in shape.node and not is_fixed and not shape.lost("mapping"):
        notes.report("wrong-shape", shape.key_span("fixed"), expected="fixed-mapping", found="fixed")
    if isinstance(shape.mapping, ShiftedMatrix) and shape.mapping.function_matrix is not None:
        _check_windows(list(shape.mapping.function_matrix.first_output or {}), notes)


def _check_windows(keys: list[KeyRange | Word], notes: Notes) -> None:
    """Finds keys for which two windows say where they begin."""
    seen: list[KeyRange] = []
    for later in keys:
        if not isinstance(later, KeyRange):
            continue
        first = next((each for each in seen if each.lowest <= later.highest and later.lowest <= each.highest), None)
        seen.append(later)
        if first is not None:
            notes.report("duplicate-key", later.span, first=first.span, equal=False)
