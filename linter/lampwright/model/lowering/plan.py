"""A whole lighting plan, lowered from its shape, its decoder, its catalogues and the settings that govern it."""

from __future__ import annotations

from lampwright.model.circuit import Bulb, Chain, Lamp, Led, PlacedLamp, Unreadable, leaves
from lampwright.model.decoder import Decoder
from lampwright.model.defaults import NORMAL_TRACK_VOLTAGE, SUPPLY_SPREAD
from lampwright.model.lighting import LightingPlan, Output, Supply
from lampwright.model.lowering.catalogue import Catalogue
from lampwright.model.lowering.circuits import CircuitLowering
from lampwright.model.lowering.entries import EntryLowering
from lampwright.model.lowering.lamps import bulb, led
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.values import spread_figure
from lampwright.model.settings import Settings
from lampwright.model.values import Figure, Origin
from lampwright.plan import lighting as written
from lampwright.plan.conditions import Looks
from lampwright.plan.words import Word
from lampwright.text import Span


def lower_plan(
    shape: written.LightingPlan,
    decoder: Decoder | None,
    catalogue: Catalogue,
    settings: Settings,
    notes: Notes,
    *,
    is_complete: bool,
) -> LightingPlan:
    """The plan that `shape` writes. `decoder` is None if there is no readable sheet.

    `is_complete` is false if the YAML itself broke off, so that anything may be missing.
    """
    lamps = {word.text: _lamp(word, data, catalogue, notes) for word, data in (shape.lamps or {}).items()}
    circuits = CircuitLowering(lamps, shape.lamps is not None, catalogue, settings, notes)
    known_outputs = decoder.outputs if decoder is not None and decoder.outputs else None
    effects = decoder.effects if decoder is not None else None
    output_names = None if known_outputs is None else frozenset({*known_outputs, *_texts(shape)})
    entries = EntryLowering(output_names, effects, notes)
    outputs = {}
    for word, data in (shape.outputs or {}).items():
        if known_outputs is not None and word.text not in known_outputs:
            notes.unknown("output", word, known_outputs)
        outputs[word.text] = _output(word, data, decoder, circuits, entries)
    common = _common(shape, circuits)
    keys = list(entries.keys(shape.keys or {}))
    always = tuple(entries.entries(shape.always))
    wiring = [common, *(output.circuit for output in outputs.values())]
    return LightingPlan(
        span=shape.span,
        supply=_supply(shape, settings, notes),
        decoder=decoder,
        lamps=lamps,
        outputs=outputs,
        common_circuit=common,
        keys={key.number: key for key in keys},
        always=always,
        settings=settings,
        wiring_is_complete=is_complete and shape.outputs is not None and all(map(_is_complete, wiring)),
        keys_are_complete=is_complete
        and shape.keys is not None
        and None not in shape.keys.values()
        and all(entry.complete for key in keys for entry in key.entries),
    )


def _texts(shape: written.LightingPlan) -> list[str]:
    return [word.text for word in shape.outputs or {}]


def _lamp(word: Word, data: written.LampData | None, catalogue: Catalogue, notes: Notes) -> Lamp:
    return Lamp(word.text, word.span, _kind(data, catalogue, notes) if data is not None else None)


def _kind(data: written.LampData, catalogue: Catalogue, notes: Notes) -> Led | Bulb | None:
    if data.part is not None:
        if data.part.text not in catalogue.lamps and catalogue.is_complete:
            notes.unknown("part", data.part, catalogue.lamps)
        return catalogue.lamps.get(data.part.text)
    if data.led is not None:
        return led(data.led, notes)
    return bulb(data.bulb) if data.bulb is not None else None


def _output(
    word: Word,
    data: written.OutputData | None,
    decoder: Decoder | None,
    circuits: CircuitLowering,
    entries: EntryLowering,
) -> Output:
    known = decoder.outputs.get(word.text) if decoder is not None else None
    circuit = data.circuit if data is not None else None
    rail = data.value_span("return_") if data is not None and data.return_ is not None else None
    is_readable = data is not None and not data.lost("return_")
    return Output(
        name=word.text,
        span=word.span,
        circuit=circuits.chain(circuit, rail) if circuit is not None and is_readable else None,
        decoder_output=known,
        look=entries.look(data or _NO_LOOK),
    )


_NO_LOOK = Looks.model_construct(effect=None, brightness=None, rate=None)


def _common(shape: written.LightingPlan, circuits: CircuitLowering) -> Chain | None:
    if "common" not in shape.node:
        return Chain(shape.span, ())
    if shape.common is None or shape.common.circuit is None:
        return None
    return circuits.chain(shape.common.circuit)


def _is_complete(circuit: Chain | None) -> bool:
    """Whether all lamps of `circuit` are known, broken ones included."""
    if circuit is None:
        return False
    return not any(
        isinstance(leaf, Unreadable) or (isinstance(leaf, PlacedLamp) and leaf.lamp is None) for leaf in leaves(circuit)
    )


def _supply(shape: written.LightingPlan, settings: Settings, notes: Notes) -> Supply:
    if "supply" in shape.node:
        if shape.supply is None or shape.supply.lost("track") or shape.supply.lost("common"):
            return Supply(None, None)
        if "track" in shape.supply.node or "common" in shape.supply.node:
            return Supply(spread_figure(shape.supply.track, notes), spread_figure(shape.supply.common, notes))
    if settings.track is not None or settings.common is not None:
        return Supply(settings.track, settings.common)
    return Supply(_normal_voltage(shape), None)


def _normal_voltage(shape: written.LightingPlan) -> Figure | None:
    scale = shape.vehicle.scale if shape.vehicle is not None else None
    if scale is None:
        return None
    normal = NORMAL_TRACK_VOLTAGE[scale.text]
    span: Span = scale.span
    return Figure(normal * (1 - SUPPLY_SPREAD), normal, normal * (1 + SUPPLY_SPREAD), span, Origin.PRACTICE)
