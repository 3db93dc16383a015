"""Every key of the language, once misspelt and, if it must stand, once left out: one finding each, at the exact place."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from changed import PARTS, PLAN, SETTINGS, SHEET, report_of
from lampwright.kinds import kind_of
from lampwright.plan.kinds import SHAPES, read_shape
from lampwright.plan.lists import ListShape
from lampwright.plan.shapes import Shape
from lampwright.syntax import Mapping, Scalar, parse, remove_entry
from lampwright.text import Edit, Source, apply

# Files that say everything that can be said, and hold no mistake.
FULL = {
    PLAN: """\
lighting-plan: 1
vehicle:
  name: Quarry switcher 7
  scale: HO
  address: {long: 112}
  shell: plastic
  reversed: false
  consist: {address: 42, reversed: false, keys: [F0, F6]}
  motor: 250 mA
  socket: NEM 652
  inside: 40 °C
  set: quarry railcar
supply:
  track: {lowest: 13 V, usual: 14.5 V, highest: 16 V}
  common: {lowest: 12 V, usual: 13 V, highest: 14 V}
decoder: bench-six.decoder.yaml
parts: [club.parts.yaml]
lamps:
  front headlamp: {part: warm white 0603}
  cab lamp:
    bulb: {voltage: 14 V, current: 30 mA, tolerance: 10 %, maximum-voltage: 16 V}
  marker lamp:
    led:
      forward-voltage: {lowest: 1.9 V, usual: 2.0 V, highest: 2.2 V}
      at: 10 mA
      current: 4 mA
      maximum-current: 20 mA
      colour: red
      built-in-resistor: 2.7 kohm
  step lamp: {part: warm white 0603}
common: {circuit: [{diode: 0.7 V}], measured: {outputs: [white], current: 6 mA, voltage: 13.2 V, across: {front headlamp: 2.9 V}}}
outputs:
  white:
    circuit: [1.5 kohm, front headlamp]
    return: rail
    effect: oscillating
    brightness: 50 %
    rate: 60 per minute
    measured: {current: 6 mA, voltage: 13.2 V, across: {front headlamp: 2.9 V}}
  yellow:
    circuit:
      - {resistor: 820 ohm, rating: 500 mW, tolerance: 5 %, size: 0805}
      - {diode: {lowest: 0.6 V, usual: 0.7 V, highest: 0.8 V}}
      - parallel:
          - {series: [1.5 kohm, {diode: 0.7 V}, step lamp], return: rail}
          - [{series: [{lamp: marker lamp, reversed: false}]}]
      - {current-regulator: 10 mA, needs: 2 V}
  brown: {circuit: [{parallel: [[{board: {voltage: 12 V, current: 20 mA}}], [cab lamp]]}]}
  aux4: {circuit: [1.5 kohm, {driver: {limit: 200 mA}}]}
keys:
  F0:
    label: Headlamps
    momentary: false
    turns-on:
      - {output: white, when: {any: [forward, F3]}, effect: steady, brightness: 40 %, rate: 60 per minute}
always:
  - {output: brown, when: F3}
  - {output: [yellow, aux4], when: F3}
""",
    SHEET: """\
decoder-sheet: 1
name: Bench six
interface: NEM 652
common:
  drop: {lowest: 1.2 V, usual: 1.4 V, highest: 1.6 V}
limits: {outputs-together: 500 mA, whole-decoder: 1 A}
outputs:
  white: {number: 1, limit: 200 mA, surge: 400 mA}
  yellow: {number: 2, limit: 200 mA}
  brown: {number: 5, limit: 300 mA}
  aux4: {number: 6, logic-level: 5 V, limit: 0.5 mA}
keys:
  highest: 28
  mapping: {function-matrix: {first-output: {F4 to F8: 1}}}
effects:
  oscillating: {code: 2}
  alternating flash: {codes: {first: 8, second: 9}, pairs: [[white, yellow]], rate: 30 to 120 per minute}
registers:
  - cv: {white: 141, yellow: 142}
    page: {CV31: 16, CV32: 0}
    holds:
      - {what: effect, digit: tens}
      - {what: condition, digit: ones, codes: [{code: 0, when: []}, {code: 1, when: {any: [forward, F3]}}]}
    default: 0
  - cv: 145
    holds: [{what: rate, bits: 0 to 6, per-step: 1 per minute, offset: 10 per minute}]
  - cv: 146
    holds: [{what: rate, bits: 0 to 6, codes: [{code: 0, rate: 60 per minute}]}]
  - cv: {brown: 149, white: 150}
    holds: [{what: brightness, bits: 0 to 5, full: 63}]
""",
    PARTS: """\
parts-catalogue: 1
lamps:
  warm white 0603:
    led: {forward-voltage: 2.8 V to 3.3 V, maximum-current: 20 mA}
    stock: 40
    pack: 10
  micro bulb:
    bulb: {voltage: 1.5 V, current: 15 mA}
resistors:
  - {value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 100, size: 1206, pack: 25}
""",
    SETTINGS: """\
lampwright: 1
supply: {track: 14.5 V, common: 13 V}
resistors: {series: E12, tolerance: 5 %, rating: 1/4 W}
margins: {output-current: 90 %, lamp-current: 90 %, resistor-power: 50 %}
keys: {F0: Headlamps}
levels: {dim-led: warning}
inside: 40 °C
meter: 2 %
exclude: [attic/]
order: {spares: 10 %}
""",
}
# The same with the keys that exclude those above.
OTHER_SHEET = FULL[SHEET]
for old, new in [
    ("drop: {lowest: 1.2 V, usual: 1.4 V, highest: 1.6 V}", "regulated: 12 V"),
    (
        "mapping: {function-matrix: {first-output: {F4 to F8: 1}}}",
        "mapping: fixed\n  fixed: {F0: [{output: white}], F3: [{output: [brown, yellow, aux4]}]}",
    ),
    ("what: effect, digit: tens", "what: effect, bits: 3 to 6"),
    ("what: condition, digit: ones", "what: condition, bits: 0 to 2"),
    ("what: rate, bits: 0 to 6", "what: rate, digit: high"),
    ("what: brightness, bits: 0 to 5, full: 63", "what: brightness, digit: tens, full: 9"),
]:
    assert old in OTHER_SHEET
    OTHER_SHEET = OTHER_SHEET.replace(old, new)
OTHER = {**FULL, SHEET: OTHER_SHEET}


@cache
def shapes(name: str, text: str) -> list[Shape]:
    """Every mapping of a text that has keys of the language, outermost first."""
    kind = kind_of(name)
    assert kind is not None
    return list(below(read_shape(parse(Source(name, text)), kind).shape))


def below(value: object) -> Iterator[Shape]:
    if isinstance(value, Shape):
        yield value
        for field in type(value).declared:
            yield from below(getattr(value, field))
    elif isinstance(value, ListShape):
        yield from below(value.root)
    elif isinstance(value, dict):
        for each in value.values():
            yield from below(each)
    elif isinstance(value, list):
        for each in value:
            yield from below(each)


def places() -> Iterator[tuple[str, str, Shape, Scalar]]:
    """Every key of the language once: file, text, its shape, the key as written."""
    seen: set[tuple[str, str]] = set()
    for texts in (FULL, OTHER):
        for name, text in texts.items():
            for shape in shapes(name, text):
                for key in shape.node:
                    if (type(shape).__name__, str(key)) not in seen:
                        seen.add((type(shape).__name__, str(key)))
                        yield name, text, shape, key


CASES = [pytest.param(*place, id=f"{type(place[2]).__name__}.{place[3]}") for place in places()]
REQUIRED = [case for case in CASES if type(case.values[2]).names()[str(case.values[3])]]


def subclasses(shape: type[Shape]) -> Iterator[type[Shape]]:
    for each in shape.__subclasses__():
        yield each
        yield from subclasses(each)


def test_no_key_is_forgotten_here() -> None:
    # Classes that others are made of have no keys of their own that are not met in these.
    known = {
        (shape.__name__, key) for shape in subclasses(Shape) if not shape.__subclasses__() for key in shape.names()
    }
    met = {(type(case.values[2]).__name__, str(case.values[3])) for case in CASES}
    assert known - met == set()
    assert set(SHAPES.values()) <= set(subclasses(Shape))


@pytest.mark.parametrize("texts", [FULL, OTHER], ids=["full", "other"])
def test_files_that_say_everything_are_clean(texts: dict[str, str]) -> None:
    assert [finding.message for finding in report_of(texts).findings] == []


def misspelt(key: str) -> str:
    """The first two letters in the other order, or the second and third if they are the same."""
    at = 0 if key[0] != key[1] else 1
    return key[:at] + key[at + 1] + key[at] + key[at + 2 :]


@pytest.mark.parametrize(("name", "text", "shape", "key"), CASES)
def test_a_misspelt_key_is_one_finding_with_its_cure(name: str, text: str, shape: Shape, key: Scalar) -> None:
    assert misspelt(key) not in shape.names()
    edit = Edit(key.span, misspelt(key))
    texts = {**(OTHER if text == OTHER_SHEET else FULL), name: apply(key.source, [edit])}
    findings = report_of(texts).findings
    assert [(finding.rule, finding.span.text) for finding in findings] == [("unknown-key", misspelt(key))]
    assert findings[0].span.start == key.start
    assert apply(findings[0].span.source, findings[0].fixes[0].edits) == text


def place_of(node: Mapping, key: Scalar) -> str:
    """Where the mapping says that it lacks a key: the key it hangs on, else its first other one, else the braces."""
    return str(node.owner) if node.owner is not None else next((str(other) for other in node if other != key), "{}")


@pytest.mark.parametrize(("name", "text", "shape", "key"), REQUIRED)
def test_a_required_key_that_is_absent_is_one_finding(name: str, text: str, shape: Shape, key: Scalar) -> None:
    value = shape.node.value(key)
    assert value is not None
    edit = remove_entry(parse(key.source), shape.node, key.span, value.span)
    texts = {**(OTHER if text == OTHER_SHEET else FULL), name: apply(key.source, [edit])}
    findings = report_of(texts).findings
    assert [(finding.rule, finding.span.text) for finding in findings] == [("missing-key", place_of(shape.node, key))]
    # Of eight elements five are named; for the others the finding is the same.
    assert f'"{key}"' in findings[0].message or "3 more" in findings[0].message
