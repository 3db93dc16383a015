"""What a plan needs: which parts are the same, how many of each, where, and what can be taken from stock."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.analysis.needs import (
    BoardPart,
    BulbPart,
    DiodePart,
    DriverPart,
    LedPart,
    Need,
    Part,
    PlanNeeds,
    RegulatorPart,
    ResistorPart,
    plan_needs,
)
from lampwright.engine import Refusal, plan_of
from lampwright.model.settings import Settings
from lampwright.text import Source

HEAD = "supply: {track: 14.5 V}\ndecoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1}, yellow: {number: 2}}}\n"
CLUB = """\
parts-catalogue: 1
lamps:
  warm white 0603: {led: {forward-voltage: 2.8 V to 3.3 V, maximum-current: 20 mA}, stock: 40, pack: 10}
  micro bulb: {bulb: {voltage: 1.5 V, current: 15 mA}}
resistors:
  - {value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 100, pack: 25}
  - {value: 820 ohm, rating: 1/2 W, tolerance: 5 %, stock: 7}
  - {value: 820 ohm, rating: 1/4 W, tolerance: 1 %, stock: 5}
  - {value: 820 ohm, stock: 3}
  - {value: 2.2 kohm, size: 0805}
"""


def needs_of(
    outputs: str, lamps: str = "", files: Mapping[str, str] | None = None, settings: Settings | None = None
) -> PlanNeeds:
    sources = {path: Source(path, text) for path, text in (files or {"club.parts.yaml": CLUB}).items()}
    named = f"parts: [{', '.join(sources)}]\n"
    text = f"{HEAD}{named}lamps: {{{lamps}}}\noutputs:\n  {outputs}\n"
    plan = plan_of(
        Source("plan.lights.yaml", text),
        settings or Settings(),
        lambda _, path: sources.get(path, Refusal("missing")),
    )
    assert plan is not None
    return plan_needs(plan)


def found(kind: type[Part], needs: PlanNeeds) -> list[Need]:
    return [need for need in needs.needs if isinstance(need.part, kind)]


def test_parts_are_counted_where_they_stand() -> None:
    needs = needs_of(
        "white: {circuit: [1.5 kohm, front]}\n  yellow: {circuit: [1.5 kohm 1/4 W, {parallel: [[rear], [cab]]}]}",
        "front: {part: warm white 0603}, rear: {part: warm white 0603}, cab: {part: micro bulb}",
    )
    assert [(type(need.part), need.quantity) for need in needs.needs] == [
        (ResistorPart, 2),
        (LedPart, 2),
        (BulbPart, 1),
    ]
    assert [[place.text for place in need.places] for need in needs.needs] == [
        ["1.5 kohm", "1.5 kohm 1/4 W"],
        ["front", "rear"],
        ["cab"],
    ]
    assert (needs.unknown, needs.is_complete) == ((), True)
    assert [need.in_stock for need in needs.needs] == [100, 40, None]
    assert [entry.pack for need in needs.needs for entry in need.stock] == [25, 10, None]


def test_a_resistor_is_the_one_that_is_meant() -> None:
    parts = [need.part for need in needs_of("white: {circuit: [1.5 kohm, 2.2 kohm, 3.3 kohm 1/2 W 1 %]}").needs]
    assert parts == [
        ResistorPart(1500, 0.05, 0.25),
        ResistorPart(2200, 0.05, 0.1, "0805"),
        ResistorPart(3300, 0.01, 0.5),
    ]


def test_a_size_that_a_plan_states_is_kept() -> None:
    parts = [need.part for need in needs_of("white: {circuit: [{resistor: 330 ohm, size: 1206}]}").needs]
    assert parts == [ResistorPart(330, 0.05, 0.125, "1206")]


def test_a_resistor_comes_from_every_entry_that_is_as_good_the_closest_first() -> None:
    (need,) = needs_of("white: {circuit: [820 ohm 1/4 W]}").needs
    assert [entry.count for entry in need.stock] == [5, 7]
    (need,) = needs_of("white: {circuit: [820 ohm]}").needs
    assert [entry.count for entry in need.stock] == [3, 5, 7]
    assert need.in_stock == 15
    (need,) = needs_of("white: {circuit: [820 ohm 1/2 W 1 %]}").needs
    assert (need.stock, need.in_stock) == ((), None)


def test_what_the_catalogue_does_not_say_the_house_does() -> None:
    from lampwright.model.values import Figure

    house = Settings(resistor_rating=Figure.exact(0.25), resistor_tolerance=0.1)
    (need,) = needs_of("white: {circuit: [820 ohm 1/4 W 5 %]}", settings=house).needs
    assert [entry.count for entry in need.stock] == [5, 7]
    (need,) = needs_of("white: {circuit: [820 ohm 1/4 W 10 %]}", settings=house).needs
    assert [entry.count for entry in need.stock] == [3, 5, 7]


def test_a_lamp_of_a_catalogue_is_that_of_its_file() -> None:
    outputs = "white: {circuit: [1.5 kohm, one, two]}"
    lamps = "one: {part: warm white 0603}, two: {led: {forward-voltage: 2.8 V to 3.3 V, maximum-current: 20 mA}}"
    one, two = found(LedPart, needs_of(outputs, lamps))
    assert isinstance(one.part, LedPart)
    assert (one.part.name, one.part.catalogue) == ("warm white 0603", "club.parts.yaml")
    assert isinstance(two.part, LedPart)
    assert (two.part.name, two.part.catalogue, two.stock) == (None, None, ())
    (other, _) = found(LedPart, needs_of(outputs, lamps, {"mine.parts.yaml": CLUB}))
    assert other.part != one.part


def test_lamps_of_the_same_data_are_the_same_whatever_current_is_wished_for_them() -> None:
    led = "forward-voltage: 2.0 V, maximum-current: 20 mA, colour: red"
    (need,) = found(
        LedPart,
        needs_of(
            "white: {circuit: [1.5 kohm, one, two]}", f"one: {{led: {{{led}, current: 4 mA}}}}, two: {{led: {{{led}}}}}"
        ),
    )
    assert need.quantity == 2


def test_a_lamp_that_stands_twice_is_one_and_one_that_no_circuit_names_is_none() -> None:
    needs = needs_of(
        "white: {circuit: [1.5 kohm, one]}\n  yellow: {circuit: [1.5 kohm, one]}",
        "one: {part: micro bulb}, spare: {part: micro bulb}",
    )
    (need,) = found(BulbPart, needs)
    assert (need.quantity, len(need.places)) == (1, 2)


def test_other_parts_are_counted_by_their_figures() -> None:
    needs = needs_of(
        "white: {circuit: [{diode: 0.7 V}, {diode: 0.7 V}, {current-regulator: 10 mA, needs: 2 V},"
        " {driver: {limit: 200 mA}}, {board: {voltage: 12 V, current: 20 mA}}, {board: {voltage: 12 V, current: 30 mA}}]}"
    )
    assert [(type(need.part), need.quantity) for need in needs.needs] == [
        (DiodePart, 2),
        (RegulatorPart, 1),
        (DriverPart, 1),
        (BoardPart, 1),
        (BoardPart, 1),
    ]


def test_the_common_lead_counts_too() -> None:
    needs = needs_of("white: {circuit: [1.5 kohm]}\ncommon: {circuit: [100 ohm]}")
    assert [need.part for need in needs.needs] == [ResistorPart(1500, 0.05, 0.25), ResistorPart(100, 0.05)]


def test_what_cannot_be_read_is_said_to_be_unknown() -> None:
    needs = needs_of("white: {circuit: [1.5 kohm, 4 bananas, nobody]}")
    assert [place.text for place in needs.unknown] == ["4 bananas", "nobody"]
    assert not needs.is_complete
    broken = "parts-catalogue: 1\nresistors: [{value: 1 kohm, rating: 3 bananas}]\n"
    needs = needs_of("white: {circuit: [1 kohm]}", files={"broken.parts.yaml": broken})
    assert [place.text for place in needs.unknown] == ["1 kohm"]
    assert not needs_of("white: {circuit: 5}").is_complete
