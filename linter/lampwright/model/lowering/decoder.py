"""A decoder sheet with its own names looked up: outputs in pairs and registers, effects in fixed keys."""

from __future__ import annotations

from lampwright.model.decoder import Decoder, DecoderOutput
from lampwright.model.defaults import DROP
from lampwright.model.lowering.entries import EntryLowering
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import figure, spread_figure
from lampwright.plan.sheet import DecoderSheet, Effect, SheetKeys, SheetOutput
from lampwright.plan.words import Word


def lower_sheet(shape: DecoderSheet, notes: Notes) -> Decoder:
    """The decoder that `shape` describes."""
    outputs = {word.text: _output(word, data) for word, data in (shape.outputs or {}).items()}
    effects = None if shape.effects is None else frozenset(word.text for word in shape.effects)
    _check_names(shape, frozenset(outputs) or None, effects, notes)
    common = shape.common
    regulated = spread_figure(common.regulated, notes) if common is not None else None
    stated_drop = spread_figure(common.drop, notes) if common is not None else None
    says_something = "common" in shape.node
    return Decoder(
        span=shape.span,
        drop=stated_drop or DROP,
        regulated=regulated,
        common_is_readable=not says_something or regulated is not None or stated_drop is not None,
        outputs=outputs,
        effects=effects,
    )


def _output(word: Word, data: SheetOutput | None) -> DecoderOutput:
    if data is None:
        return DecoderOutput(word.text, word.span)
    return DecoderOutput(word.text, word.span, figure(data.limit), figure(data.surge), figure(data.logic_level))


def _check_names(
    shape: DecoderSheet, outputs: frozenset[str] | None, effects: frozenset[str] | None, notes: Notes
) -> None:
    entries = EntryLowering(outputs, effects, notes)
    if shape.keys is not None:
        _check_keys(shape.keys, entries)
    for effect in (shape.effects or {}).values():
        _check_pairs(effect, outputs, notes)
    for register in shape.registers or []:
        if register is not None and isinstance(register.cv, dict):
            _check_outputs(list(register.cv), outputs, notes)


def _check_keys(shape: SheetKeys, entries: EntryLowering) -> None:
    is_fixed = isinstance(shape.mapping, Word) and shape.mapping.text == "fixed"
    if is_fixed and "fixed" not in shape.node:
        entries.notes.report("missing-key", shape.value_span("mapping"), names=("fixed",), owner="keys")
    if "fixed" in shape.node and not is_fixed and not shape.lost("mapping"):
        entries.notes.report("missing-key", shape.key_span("fixed"), names=("mapping: fixed",), owner="keys")
    for turned_on in (shape.fixed or {}).values():
        for _ in entries.entries(turned_on):
            pass


def _check_pairs(effect: Effect | None, outputs: frozenset[str] | None, notes: Notes) -> None:
    if effect is None or effect.pairs is None:
        return
    for pair in effect.pairs.root:
        if pair is None:
            continue
        if len(pair.root) != 2:
            notes.report("wrong-shape", pair.span, expected="pair", found="list")
        _check_outputs([word for word in pair.root if word is not None], outputs, notes)


def _check_outputs(words: list[Word], outputs: frozenset[str] | None, notes: Notes) -> None:
    for word in words:
        if outputs is not None and word.text not in outputs:
            notes.unknown("output", word, sorted(outputs))
