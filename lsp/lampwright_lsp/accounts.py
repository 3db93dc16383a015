"""What is to be said of a lamp, a resistor, an output, a key: in lines, the first of which is a title.

The figures and words are those of the command. Knows no places in a text and no request.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from lampwright.account.figures import ElementFigures, OutputFigures, PlanFigures, plan_figures
from lampwright.account.sayings import element_name, lit_lines, meaning_of, remarks, said_range, said_reading, share_of
from lampwright.account.states import OutputAccount, PlanStates, plan_states
from lampwright.analysis.programming import Setting
from lampwright.analysis.resistors.preferred import bands
from lampwright.model.circuit import Bulb, Led, PlacedLamp, Resistor, leaves
from lampwright.model.decoder import Decoder
from lampwright.model.lighting import LightingPlan
from lampwright.model.lowering.catalogue import Catalogue
from lampwright.model.wires import WIRES
from lampwright.plan.keys import key_number
from lampwright.rule import Context
from lampwright.rule.cv_meanings import Words, words_of
from lampwright.rule.phrases import listed
from lampwright.rule.programming import said_place
from lampwright.text import Span
from lampwright.units import Dimension, say
from lampwright.units.otherwise import otherwise
from lampwright.units.saying import say_exactly

OF_ADDRESS = (1, 17, 18, 29)
"""The CVs that an address is written to: S-9.2.2."""


def figures_of(context: Context) -> PlanFigures:
    """All figures of the plan, from the facts that there are already."""
    return plan_figures(context.plan, context.electrical, context.logic, context.together)


def states_of(context: Context) -> PlanStates:
    """The state table of the plan, from the facts that there are already."""
    return plan_states(context.plan, context.logic)


def of_lamp(context: Context, name: str, place: Span | None = None) -> Iterator[str]:
    """A lamp with what it carries: where it is in a circuit, there, else wherever it hangs."""
    lamp = context.plan.lamps.get(name)
    if lamp is None:
        return
    yield lamp.name
    if lamp.kind is not None:
        yield of_data(lamp.kind)
    states, figures = states_of(context), figures_of(context)
    for output, found in figures.outputs.items():
        here = list(_placed(found, name, place))
        yield from (f"at output {output}: {_carries(each)}" for each in here)
        yield from _readings_at(found, here)
        if _hangs_on(context.plan, name, output) and output in states.outputs:
            yield from (f"  {line.strip()}" for line in lit_lines(states.outputs[output]))
    if figures.common is not None:
        lead = _placed(figures.common, name, place)
        yield from (f"in the common lead, in the worst state: {_carries(each)}" for each in lead)
        yield from _readings_at(figures.common, lead)
    if name in states.loose:
        yield "on no output"


def _readings_at(figures: OutputFigures, elements: list[ElementFigures]) -> Iterator[str]:
    places = [each.facts.span for each in elements]
    return (f"  {said_reading(reading)}" for reading in figures.readings if reading.place in places)


def _placed(figures: OutputFigures, name: str, place: Span | None) -> list[ElementFigures]:
    placed = [each for each in figures.elements if each.name == name]
    return [each for each in placed if each.facts.span == place] or placed


def _hangs_on(plan: LightingPlan, name: str, output: str) -> bool:
    circuit = plan.outputs[output].circuit
    return circuit is not None and any(isinstance(each, PlacedLamp) and each.name == name for each in leaves(circuit))


def of_data(kind: Led | Bulb | None) -> str:
    """What the plan or the catalogue says of a lamp, in a line."""
    match kind:
        case Led() as led:
            colour = f"{led.colour} " if led.colour else ""
            forward, test = led.forward_voltage.usual, led.test_current
            return (
                f"{colour}LED, {say(forward, Dimension.VOLTAGE)} at {say(test, Dimension.CURRENT)},"
                f" at most {say(led.maximum_current.usual, Dimension.CURRENT)}"
            )
        case Bulb() as bulb:
            return f"bulb, {say(bulb.voltage.usual, Dimension.VOLTAGE)}, {say(bulb.current.usual, Dimension.CURRENT)}"
    return "its data cannot be read"


def _carries(element: ElementFigures) -> str:
    facts = element.facts
    said = [said_range(facts.current, Dimension.CURRENT), said_range(facts.voltage, Dimension.VOLTAGE)]
    return "; ".join([*said, *remarks(element)])


def of_resistor(context: Context, resistor: Resistor) -> Iterator[str]:
    """A resistor with what it carries, how warm it gets, and the bands that it wears."""
    figures = figures_of(context)
    outputs = [*figures.outputs.values(), *([figures.common] if figures.common is not None else [])]
    elements = (each for output in outputs for each in output.elements)
    element = next((each for each in elements if each.facts.span == resistor.span), None)
    if element is None:
        yield say(resistor.resistance.usual, Dimension.RESISTANCE)
    else:
        yield element_name(element)
        if figures.common is not None and element in figures.common.elements:
            yield "in the common lead, in the worst state:"
        yield f"current {said_range(element.facts.current, Dimension.CURRENT)}"
        yield f"voltage {said_range(element.facts.voltage, Dimension.VOLTAGE)}"
        yield f"heat {said_range(element.facts.power, Dimension.POWER)}"
        yield from remarks(element)
        readings = (reading for output in outputs for reading in output.readings)
        yield from (said_reading(reading) for reading in readings if reading.place == resistor.span)
    usual = resistor.resistance.usual
    ways = otherwise(say_exactly(Decimal(repr(usual)), Dimension.RESISTANCE))
    if ways:
        yield f"also written {listed(list(ways), 'or')}"
    tolerance = resistor.resistance.highest / usual - 1 if usual else 0.0
    worn = bands(usual, round(tolerance, 6))
    if worn:
        yield f"bands: {', '.join(worn)}"


def of_output(context: Context, name: str) -> Iterator[str]:
    """An output: what the sheet says of it, what it carries, what hangs on it, when that burns."""
    plan = context.plan
    decoder = plan.decoder
    if name not in plan.outputs and (decoder is None or name not in decoder.outputs):
        return
    yield f"output {name}"
    yield from _of_sheet(decoder, name)
    if name not in plan.outputs:
        return
    figures = figures_of(context).outputs[name]
    yield _worst(figures)
    yield from map(said_reading, figures.readings)
    account = states_of(context).outputs.get(name)
    if account is not None:
        hangs = "its lamps cannot all be read" if account.lamps is None else listed(list(account.lamps)) or "no lamp"
        yield f"on it: {hangs}"
        yield from (line.strip() for line in lit_lines(account))


def _of_sheet(decoder: Decoder | None, name: str) -> Iterator[str]:
    known = decoder.outputs.get(name) if decoder is not None else None
    if known is not None:
        said = [f"number {known.number.value}"] if known.number is not None else []
        said += [f"limit {say(known.limit.usual, Dimension.CURRENT)}"] if known.limit is not None else []
        yield from [", ".join(said)] if said else []
    if name in WIRES:
        yield f"the {name} wire: {WIRES[name].value} (NMRA RP-9.1.1, NEM 650, NEM 660)"


def _worst(figures: OutputFigures) -> str:
    if figures.lacks is not None or figures.current is None:
        return f"its current cannot be told, for lack of {figures.lacks}"
    limit = f", at most {share_of(figures.limit, Dimension.CURRENT)}" if figures.limit is not None else ""
    return f"current {said_range(figures.current, Dimension.CURRENT)}{limit}"


def of_output_of_sheet(decoder: Decoder, name: str) -> Iterator[str]:
    """An output in its own sheet: its wire, and the CVs that are its own."""
    if name in decoder.outputs:
        yield f"output {name}"
        yield from _of_sheet(decoder, name)
        for register in decoder.registers or ():
            cv = register.cvs.get(name)
            if cv is not None:
                kinds = [type(field).__name__.removesuffix("Field").lower() for field in register.fields]
                yield f"CV{cv.value} holds its {listed(kinds)}"


def of_key(context: Context, name: str) -> Iterator[str]:
    """A function key: what it is called, here and in the club, and what burns by it; nothing of what is no key."""
    number = key_number(name)
    if number is None:
        return
    key = context.plan.keys.get(number)
    label = key.label.text if key is not None and key.label is not None else None
    yield f"{name} {label}" if label else name
    club = context.settings.keys.get(number)
    if club is not None and club != label:
        yield f"by the club's convention: {club}"
    if key is not None and key.momentary:
        yield "on while pressed"
    for output, account in states_of(context).outputs.items():
        mine = tuple(
            states
            for states in account.lit
            if any(literal.variable == name for product in states.products for literal in product)
        )
        if mine:
            yield f"{output} ({listed(list(account.lamps))}):" if account.lamps else f"{output}:"
            only = OutputAccount(account.lamps, mine, account.is_always_lit, account.is_named)
            yield from (f"  {line.strip()}" for line in lit_lines(only))


def of_effect(decoder: Decoder | None, plan: LightingPlan | None, name: str) -> Iterator[str]:
    """An effect of the sheet: its rates, its pairs, and the outputs that have it."""
    effect = (decoder.effects or {}).get(name) if decoder is not None else None
    if effect is None:
        return
    yield f"effect {name}"
    if effect.rate is not None:
        yield f"{say(effect.rate.lowest, Dimension.RATE)} to {say(effect.rate.highest, Dimension.RATE)}"
    if effect.pairs:
        yield f"for two outputs: {'; '.join(f'{first.text} and {second.text}' for first, second in effect.pairs)}"
    looks = plan.outputs.items() if plan is not None else ()
    using = [output for output, found in looks if found.look.effect is not None and found.look.effect.text == name]
    if using:
        yield f"usual at {listed(using)}"


def of_address(context: Context) -> Iterator[str]:
    """The address of the vehicle, and the CVs that it is written to."""
    address = context.plan.vehicle.address
    if address is not None:
        words = words_of(context.plan, context.programming)
        yield f"address {address.number}, {'long' if address.is_long else 'short'}"
        for setting in context.programming.settings:
            if setting.page is None and setting.cv in OF_ADDRESS:
                yield of_setting(setting, words)


def of_setting(setting: Setting, words: Words) -> str:
    """What is written to a CV, as the programming list says it."""
    if setting.must_be_read_first:
        # What is "as here" in the list is the number that it has in a column of its own.
        meaning = meaning_of(setting, words).replace(" as here,", f" as in {setting.value},", 1)
        return f"CV{setting.cv}, read first: {meaning}"
    return f"{label_of(setting)}: {meaning_of(setting, words)}"


def label_of(setting: Setting) -> str:
    """The same in short; where only some of its bits are decided, no number may seem to be all of it."""
    if not setting.must_be_read_first:
        return f"CV{setting.cv} = {setting.value}"
    places = list(dict.fromkeys(claim.place for claim in setting.claims))
    if len(places) > 1:
        return f"CV{setting.cv} in part"
    return f"CV{setting.cv}, {said_place(places[0])} = {places[0].read(setting.value)}"


def of_part(catalogue: Catalogue, name: str) -> Iterator[str]:
    """A lamp of a catalogue."""
    if name in catalogue.lamps:
        yield name
        yield of_data(catalogue.lamps[name])
