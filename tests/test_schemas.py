"""The JSON Schemas are those of the shapes, describe every field, and refuse no file that the checker accepts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from check_jsonschema.parsers.yaml import construct_yaml_implementation, impl2loader
from jsonschema import Draft202012Validator

from lampwright.kinds import Kind, kind_of
from lampwright.plan.schema import FILES, json_schema
from seam import check

ROOT = Path(__file__).parent.parent
FOLDERS = (ROOT / "tests/language", ROOT / "examples")
KINDS = pytest.mark.parametrize("kind", list(Kind), ids=lambda kind: kind.name.lower())

# As check-jsonschema reads a file: YAML 1.2 without the pure fallback, keys as texts.
load = impl2loader(construct_yaml_implementation())


def right_files() -> list[Path]:
    found = [path for folder in FOLDERS for path in folder.rglob("*.yaml") if "mistakes" not in path.parts]
    return sorted(path for path in found if kind_of(path.name) is not None)


def validator(kind: Kind) -> Draft202012Validator:
    return Draft202012Validator(json_schema(kind))


def errors(kind: Kind, text: str, tmp_path: Path) -> list[str]:
    path = tmp_path / "file.yaml"
    path.write_text(text, "utf-8")
    with path.open("rb") as stream:
        return [error.message for error in validator(kind).iter_errors(load(stream))]


def fields(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every field of every mapping, with where it stands."""
    for name, mapping in {"": schema, **schema.get("$defs", {})}.items():
        for key, field in mapping.get("properties", {}).items():
            yield f"{name}.{key}", field


def walk(schema: Any) -> Iterator[Any]:
    yield schema
    for below in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from walk(below)


@KINDS
def test_committed_schema_is_the_generated_one(kind: Kind, rewrite: bool) -> None:
    path = ROOT / "schemas" / FILES[kind]
    made = json.dumps(json_schema(kind), indent=2, ensure_ascii=False) + "\n"
    if rewrite:
        path.write_text(made, "utf-8")
    assert path.read_text("utf-8") == made, "run pytest --rewrite and look at the difference"


def test_nothing_else_lies_among_the_schemas() -> None:
    assert {path.name for path in (ROOT / "schemas").iterdir()} == set(FILES.values())


@KINDS
def test_schema_is_one(kind: Kind) -> None:
    Draft202012Validator.check_schema(json_schema(kind))


@KINDS
def test_every_field_is_described_and_shown(kind: Kind) -> None:
    found = dict(fields(json_schema(kind)))
    assert len(found) > 10
    assert [name for name, field in found.items() if not field.get("description") or not field.get("examples")] == []


@KINDS
def test_every_example_is_right(kind: Kind) -> None:
    schema = json_schema(kind)
    for name, field in fields(schema):
        here = Draft202012Validator({**field, "$defs": schema.get("$defs", {})})
        for example in field["examples"]:
            assert [error.message for error in here.iter_errors(example)] == [], f"{name}: {example}"


@KINDS
def test_no_mapping_is_open_and_nothing_is_null(kind: Kind) -> None:
    schema = json_schema(kind)
    mappings = [each for each in walk(schema) if isinstance(each, dict) and each.get("type") == "object"]
    assert mappings
    assert [each for each in mappings if each.get("additionalProperties") is not False] == []
    assert None not in list(walk(schema))
    assert not any(each == "null" or (isinstance(each, list) and "null" in each) for each in walk(schema))


@pytest.mark.parametrize("path", right_files(), ids=lambda path: path.name)
def test_a_file_without_mistakes_is_valid(path: Path) -> None:
    kind = kind_of(path.name)
    assert kind is not None
    with path.open("rb") as stream:
        assert [error.message for error in validator(kind).iter_errors(load(stream))] == []


def test_there_are_files_of_each_kind() -> None:
    assert {kind_of(path.name) for path in right_files()} == set(Kind)
    assert len(right_files()) > 15


PLAN = """
vehicle: {name: 0815, scale: HO, address: "2107", reversed: "true"}
supply: {track: " 14.5 V "}
decoder: {name: 6, outputs: {1: {number: 1}, white: {number: "2"}}, effects: {42: {code: 0}}}
lamps:
  a: {led: {forward-voltage: 3.0\u00a0V}}
  b: {bulb: {voltage: 1500 mV, current: 15000 µA, tolerance: 10%}}
outputs:
  1: {circuit: [4K7, a, {resistor: 0R47, size: 0805}], effect: 42}
  white: {circuit: [{resistor: 1 kΩ, rating: 1/2W, size: 1206, tolerance: 5 %}, b], rate: 60per minute}
keys: {F0: {label: true, turns-on: [{output: 1, when: [not F1, {any: [moving]}]}, {output: white, when: []}]}}
"""
SHEET = """
decoder-sheet: "1"
name: 2.0
outputs: {a: {number: 1}, b: {number: 2}}
keys: {mapping: {function-matrix: {first-output: {F4: 1, F5 to F8: 2}}}}
effects: {blink: {code: 1, rate: 30 per minute to 1200 per minute}, beat: {code: 0, rate: 30 to 120 per minute}}
registers:
  - cv: 140
    page: {CV31: 16, CV32: 0}
    holds: [{what: effect, bits: 7}, {what: rate, bits: 0 to 6, codes: [{code: 0, rate: 0 per minute}]}]
"""


@pytest.mark.parametrize(("name", "text"), [("plan.lights.yaml", PLAN), ("six.decoder.yaml", SHEET)])
def test_what_yaml_takes_for_numbers_is_accepted_by_both(name: str, text: str, tmp_path: Path) -> None:
    kind = kind_of(name)
    assert kind is not None
    assert [finding.message for finding in check(text, name) if finding.level.word == "error"] == []
    assert errors(kind, text, tmp_path) == []


RIGHT = "vehicle: {name: a}\ndecoder: {}\nlamps: {a: {led: {colour: red}}}\noutputs: {white: {circuit: [1 kohm, a]}}\nkeys: {}\n"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("keys: {}\n", ""),
        ("keys: {}", "keys: {F69: {}}"),
        ("keys: {}", "keys: []"),
        ("{name: a}", "{nmae: a}"),
        ("{name: a}", "{name: a, scale: ho}"),
        ("{name: a}", "{name: a, motor: 250}"),
        ("{name: a}", "{name: a, motor: 250 ma}"),
        ("{name: a}", "{name: a, motor: 250 V}"),
        ("led: {colour: red}", "led: {}"),
        ("led: {colour: red}", "led: {colour: red}, part: b"),
        ("[1 kohm, a]", "[{resistor: 1 kohm, lamp: a}]"),
        ("[1 kohm, a]", "[{resistor: '1,5 kohm'}]"),
        ("[1 kohm, a]", "a"),
        ("[1 kohm, a]", "[{parallel: [1 kohm, a]}]"),
        ("decoder: {}", "decoder: {registers: [{cv: 1, holds: [{what: effect}]}]}"),
        ("decoder: {}", "decoder: {outputs: {white: {number: 0}}}"),
    ],
)
def test_what_is_wrong_for_the_checker_is_mostly_wrong_for_the_schema(old: str, new: str, tmp_path: Path) -> None:
    assert errors(Kind.LIGHTING_PLAN, RIGHT, tmp_path) == []
    text = RIGHT.replace(old, new)
    assert text != RIGHT
    assert errors(Kind.LIGHTING_PLAN, text, tmp_path)
    assert check(text)
