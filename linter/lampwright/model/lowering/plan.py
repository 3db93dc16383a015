"""A whole lighting plan, lowered from its shape, its decoder, its catalogues and the settings that govern it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from lampwright.model.circuit import Bulb, Chain, Lamp, Led, PlacedLamp, Unreadable, leaves
from lampwright.model.decoder import Decoder, DecoderOutput
from lampwright.model.keys import Entry, Key, Look
from lampwright.model.lighting import LightingPlan, Output
from lampwright.model.lowering.catalogue import Catalogue
from lampwright.model.lowering.circuits import CircuitLowering
from lampwright.model.lowering.entries import EntryLowering
from lampwright.model.lowering.lamps import bulb, led
from lampwright.model.lowering.measured import MeasuredLowering
from lampwright.model.lowering.memory import Memory
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.supply import plan_supply
from lampwright.model.lowering.vehicle import lower_vehicle
from lampwright.model.settings import Settings
from lampwright.plan import lighting as written
from lampwright.plan.keys import key_number
from lampwright.plan.names import fault_of_name
from lampwright.plan.words import Word


def lower_plan(
    shape: written.LightingPlan,
    decoder: Decoder | None,
    catalogue: Catalogue,
    settings: Settings,
    memory: Memory,
    *,
    is_complete: bool,
) -> LightingPlan:
    """The plan that `shape` writes. `decoder` is None if there is no readable sheet.

    `is_complete` is false if the YAML itself broke off, so that anything may be missing. What `memory` has of an older
    text stays what it is.
    """
    notes = memory.notes
    lamps = _lamps(shape, catalogue, memory)
    lamp_names = memory.same(("lamp names",), (shape.may_lack("lamps"), *lamps))
    circuits = CircuitLowering(lamps, not shape.may_lack("lamps"), catalogue, settings, notes)
    known_outputs = decoder.outputs if decoder is not None and decoder.outputs_are_listed else None
    effects = decoder.effects if decoder is not None else None
    output_names = None if known_outputs is None else frozenset({*known_outputs, *_texts(shape)})
    output_names = memory.same(("output names",), output_names)
    entries = EntryLowering(output_names, frozenset(effects) if effects is not None else None, notes)
    meter = MeasuredLowering(lamps, not shape.may_lack("lamps"), settings.meter, notes)
    around = decoder, catalogue, settings, lamp_names

    def holds(chain: Chain | None) -> bool:
        """Whether its lamps are what they were."""
        return chain is None or all(lamps.get(placed.name) is placed.lamp for placed in chain.lamps)

    def output(word: Word, data: written.OutputData | None) -> Output:
        def make() -> Output:
            _check_output_name(word, known_outputs, notes)
            return _output(word, data, decoder, circuits, entries, meter)

        if data is None or data.measured is not None:
            return make()
        place = "output", word.text
        return memory.recall(place, (data, *around), make, lambda known: holds(known.circuit))

    outputs = {word.text: output(word, data) for word, data in (shape.outputs or {}).items()}
    common = (
        memory.recall(("common",), (shape.common, *around), lambda: _common(shape, circuits), holds)
        if shape.common is not None
        else _common(shape, circuits)
    )
    keys = list(_keys(shape, entries, decoder, memory))
    always = memory.recall(
        ("always",), (shape.always, decoder, output_names), lambda: tuple(entries.entries(shape.always))
    )
    wiring = [common, *(output.circuit for output in outputs.values())]
    return LightingPlan(
        span=shape.span,
        supply=memory.recall(
            ("supply",),
            (shape.supply, shape.says("supply"), shape.vehicle, settings),
            lambda: plan_supply(shape, settings, notes),
        ),
        decoder=decoder,
        lamps=lamps,
        outputs=outputs,
        common_circuit=common,
        keys={key.number: key for key in keys},
        always=always,
        settings=settings,
        wiring_is_complete=is_complete and not shape.lost("outputs") and all(map(_is_complete, wiring)),
        keys_are_complete=is_complete and _keys_are_complete(shape, keys, always),
        outputs_are_known=is_complete
        and not shape.may_lack("outputs")
        and (known_outputs is None or known_outputs.keys() >= outputs.keys()),
        stock=tuple(catalogue.resistors),
        vehicle=memory.recall(("vehicle",), (shape.vehicle,), lambda: lower_vehicle(shape.vehicle)),
        common_measured=(
            meter.of_lead(
                shape.common.measured, outputs, outputs_are_complete=is_complete and not shape.may_lack("outputs")
            )
            if shape.common is not None
            else None
        ),
    )


def _lamps(shape: written.LightingPlan, catalogue: Catalogue, memory: Memory) -> dict[str, Lamp]:
    def lamp(word: Word, data: written.LampData | None) -> Lamp:
        def make() -> Lamp:
            return _lamp(word, data, catalogue, memory.notes)

        return memory.recall(("lamp", word.text), (data, catalogue), make) if data is not None else make()

    return {word.text: lamp(word, data) for word, data in (shape.lamps or {}).items()}


def _keys(
    shape: written.LightingPlan, entries: EntryLowering, decoder: Decoder | None, memory: Memory
) -> Iterator[Key]:
    """The keys that could be read, in the order of the file."""
    for word, data in (shape.keys or {}).items():
        number = key_number(word.text)
        if number is None:
            continue
        if data is None:
            yield Key(number, word.span)
            continue
        of = data, decoder, entries.outputs
        yield memory.recall(("key", word.text), of, partial(entries.key, number, word, data))


def _check_output_name(word: Word, known: Mapping[str, DecoderOutput] | None, notes: Notes) -> None:
    """An output of the plan is defined on the decoder sheet; only where that is silent, its name is a new one."""
    if known is not None and word.text not in known:
        notes.unknown("output", word, known)
    elif known is None and (fault := fault_of_name(word.text)) is not None:
        notes.report("wrong-shape", word.span, expected="name", found=fault)


def _keys_are_complete(shape: written.LightingPlan, keys: Sequence[Key], always: Sequence[Entry]) -> bool:
    """Whether all that turns an output on could be read."""
    lists = [shape.always, *(data.turns_on for data in (shape.keys or {}).values() if data is not None)]
    return (
        not shape.lost("keys")
        and not shape.lost("always")
        and len(keys) == len(shape.keys or {})
        and not any(data is None or data.lost("turns_on") for data in (shape.keys or {}).values())
        and not any(None in entries.root for entries in lists if entries is not None)
        and all(entry.complete for key in keys for entry in key.entries)
        and all(entry.complete for entry in always)
    )


def _texts(shape: written.LightingPlan) -> list[str]:
    return [word.text for word in shape.outputs or {}]


def _lamp(word: Word, data: written.LampData | None, catalogue: Catalogue, notes: Notes) -> Lamp:
    if data is None:
        return Lamp(word.text, word.span, None)
    is_part = data.part is not None and not data.says("bulb") and not data.says("led")
    part = catalogue.parts.get(data.part.text) if data.part is not None and is_part else None
    return Lamp(word.text, word.span, _kind(data, catalogue, notes), part)


def _kind(data: written.LampData, catalogue: Catalogue, notes: Notes) -> Led | Bulb | None:
    if sum(map(data.says, ("part", "bulb", "led"))) > 1:
        # Which of them is meant is not for us to say.
        return None
    if data.part is not None:
        if data.part.text not in catalogue.lamps and catalogue.is_complete:
            notes.unknown("part", data.part, catalogue.lamps)
        return catalogue.lamps.get(data.part.text)
    if data.led is not None:
        return led(data.led, notes)
    return bulb(data.bulb, notes) if data.bulb is not None else None


def _output(
    word: Word,
    data: written.OutputData | None,
    decoder: Decoder | None,
    circuits: CircuitLowering,
    entries: EntryLowering,
    meter: MeasuredLowering,
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
        look=entries.look(data) if data is not None else Look(is_readable=False),
        measured=meter.readings(data.measured) if data is not None else None,
    )


def _common(shape: written.LightingPlan, circuits: CircuitLowering) -> Chain | None:
    if not shape.says("common"):
        return Chain(shape.span, ())
    if shape.common is None or shape.common.circuit is None:
        return None
    return circuits.chain(shape.common.circuit)


def _is_complete(circuit: Chain | None) -> bool:
    """Whether all lamps of `circuit` are known, broken ones included."""
    if circuit is None:
        return False
    return not any(
        (isinstance(leaf, Unreadable) and leaf.hides_lamps) or (isinstance(leaf, PlacedLamp) and leaf.lamp is None)
        for leaf in leaves(circuit)
    )
