"""A decoder sheet with its own names looked up: outputs in pairs and registers, effects in fixed keys."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.model.decoder import Decoder, DecoderOutput, EffectSheet
from lampwright.model.defaults import DROP
from lampwright.model.lowering.entries import EntryLowering
from lampwright.model.lowering.mapping import lower_mapping
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.registers import RegisterLowering
from lampwright.model.lowering.values import figure, name, number, spread_figure
from lampwright.model.mapping import KeyMapping
from lampwright.model.values import Name
from lampwright.plan.sheet import DecoderSheet, Effect, SheetOutput
from lampwright.plan.words import Word
from lampwright.units import Dimension


def lower_sheet(shape: DecoderSheet, notes: Notes) -> Decoder:
    """The decoder that `shape` describes."""
    outputs = {word.text: _output(word, data) for word, data in (shape.outputs or {}).items()}
    outputs_are_listed = shape.outputs is not None and not shape.may_lack("outputs")
    listed = frozenset(outputs) if outputs_are_listed else None
    effects = None
    if shape.effects is not None and not shape.may_lack("effects"):
        effects = {word.text: _effect(word, data, listed) for word, data in shape.effects.items()}
    mapping = lower_mapping(
        shape.keys, EntryLowering(listed, frozenset(effects) if effects is not None else None, notes)
    )
    for effect in (shape.effects or {}).values():
        _check_pairs(effect, listed, notes)
    lowering = RegisterLowering(listed, notes)
    registers = lowering.registers(shape)
    _check_figures(shape, notes)
    common, limits = shape.common, shape.limits
    regulated = spread_figure(common.regulated, notes) if common is not None else None
    stated_drop = spread_figure(common.drop, notes) if common is not None else None
    return Decoder(
        span=shape.span,
        drop=stated_drop or DROP,
        regulated=regulated,
        common_is_readable=not shape.says("common") or regulated is not None or stated_drop is not None,
        outputs=outputs,
        effects=effects,
        outputs_are_listed=outputs_are_listed,
        interface=name(shape.interface),
        outputs_together=figure(limits.outputs_together) if limits is not None else None,
        whole_decoder=figure(limits.whole_decoder) if limits is not None else None,
        highest_key=number(shape.keys.highest) if shape.keys is not None else None,
        mapping=mapping,
        registers=registers,
        unreadable=frozenset([*_unreadable(shape, mapping), *([] if lowering.is_whole else ["registers"])]),
    )


def _unreadable(shape: DecoderSheet, mapping: KeyMapping | None) -> Iterator[str]:
    if shape.lost("interface"):
        yield "interface"
    if shape.may_lack("outputs"):
        yield "outputs"
    for field in ("outputs_together", "whole_decoder"):
        if shape.lost("limits") or (shape.limits is not None and shape.limits.lost(field)):
            yield field
    if shape.lost("keys") or (shape.keys is not None and shape.keys.lost("highest")):
        yield "highest_key"
    if shape.lost("keys") or (shape.keys is not None and shape.keys.says("mapping") and mapping is None):
        yield "mapping"


def _output(word: Word, data: SheetOutput | None) -> DecoderOutput:
    if data is None:
        return DecoderOutput(word.text, word.span)
    return DecoderOutput(
        word.text,
        word.span,
        figure(data.limit),
        figure(data.surge),
        figure(data.logic_level),
        level_is_readable=not data.lost("logic_level"),
        number=number(data.number),
    )


def _effect(word: Word, data: Effect | None, outputs: frozenset[str] | None) -> EffectSheet:
    if data is None:
        return EffectSheet(word.text, word.span, is_readable=False)
    codes, pairs = data.codes, _pairs(data, outputs)
    return EffectSheet(
        word.text,
        word.span,
        code=number(data.code),
        first_code=number(codes.first) if codes is not None else None,
        second_code=number(codes.second) if codes is not None else None,
        pairs=pairs,
        rate=figure(data.rate),
        is_for_pairs=data.says("codes") or data.says("pairs"),
        is_readable=not any(map(data.lost, ("code", "codes", "pairs", "rate")))
        and len(pairs or ()) == len(data.pairs.root if data.pairs is not None else ())
        and (codes is None or not any(map(codes.lost, ("first", "second")))),
    )


def _pairs(data: Effect, outputs: frozenset[str] | None) -> tuple[tuple[Name, Name], ...] | None:
    """The pairs that could be read; what is wrong with the others is noted elsewhere."""
    if data.pairs is None:
        return None
    written = (pair.root for pair in data.pairs.root if pair is not None)
    return tuple(
        (Name(one.text, one.span), Name(other.text, other.span))
        for one, other, *more in (words for words in written if len(words) > 1)
        if one is not None and other is not None and one != other and not more
        if outputs is None or {one.text, other.text} <= outputs
    )


def _check_pairs(effect: Effect | None, outputs: frozenset[str] | None, notes: Notes) -> None:
    if effect is None or effect.pairs is None:
        return
    for pair in effect.pairs.root:
        if pair is None:
            continue
        words = [word for word in pair.root if word is not None]
        if len(pair.root) != 2 or (len(words) == 2 and words[0] == words[1]):
            notes.report("wrong-shape", pair.span, expected="pair", found="list", count=len(pair.root))
        _check_outputs(words, outputs, notes)


def _check_outputs(words: list[Word], outputs: frozenset[str] | None, notes: Notes) -> None:
    for word in words:
        if outputs is not None and word.text not in outputs:
            notes.unknown("output", word, outputs)


def _check_figures(shape: DecoderSheet, notes: Notes) -> None:
    """Finds limits that contradict each other."""
    for output in (shape.outputs or {}).values():
        if output is not None:
            notes.at_least(output.surge, output.limit, Dimension.CURRENT)
    if shape.limits is not None:
        notes.at_most(shape.limits.outputs_together, shape.limits.whole_decoder, Dimension.CURRENT)
