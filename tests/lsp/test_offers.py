"""What is offered while somebody types, also where the text cannot be read yet; and that it can be taken."""

from __future__ import annotations

import os
import random
import re
from pathlib import Path

import pytest
from lsprotocol import types

from lampwright.kinds import kind_of
from lampwright.syntax import parse
from lampwright.text import Edit, Encoding, Source, apply
from lampwright_lsp.documents import Documents
from lampwright_lsp.features.completion import completion
from lampwright_lsp.snippets import VALUES
from lsp_seam import FOLDER, documents, lay

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCHEMAS = EXAMPLES.parent / "schemas"
PLACES = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "1500"))
SHEET = """\
decoder-sheet: 1
name: Bench six
common: {drop: 1.4 V}
outputs:
  white: {number: 1, limit: 100 mA}
  aux3: {number: 2, limit: 100 mA}
keys: {highest: 12}
effects:
  slow fade: {code: 3}
"""
PARTS = """\
parts-catalogue: 1
lamps:
  warm white 0603: {led: {forward-voltage: 3.1 V, at: 10 mA, current: 10 mA, maximum-current: 20 mA}}
resistors:
  - {value: 1.2 kohm, rating: 1/2 W, tolerance: 5 %, stock: 40}
"""
HEAD = """\
vehicle: {name: "Tipper 😀 9"}
supply: {track: 14.5 V}
decoder: bench.decoder.yaml
parts: [club.parts.yaml]
lamps:
  cab lamp: {part: warm white 0603}
  Ω lamp: {part: warm white 0603}
"""
SETTINGS = "lampwright: 1\nkeys: {F3: Ditch lamps}\n"
FILES = {"bench.decoder.yaml": SHEET, "club.parts.yaml": PARTS, "lampwright.yaml": SETTINGS}


def capabilities(*, snippets: bool) -> types.ClientCapabilities:
    item = types.ClientCompletionItemOptions(snippet_support=snippets)
    can = types.CompletionClientCapabilities(completion_item=item)
    return types.ClientCapabilities(text_document=types.TextDocumentClientCapabilities(completion=can))


def asked(
    text: str, name: str = "plan.lights.yaml", encoding: Encoding = "utf-16", *, snippets: bool = False
) -> tuple[Documents, str, list[types.CompletionItem]]:
    """The club with `text`, in which `|` is the cursor, and what is offered there."""
    before, _, after = text.partition("|")
    made = documents({**FILES, name: before + after}, encoding, capabilities(snippets=snippets))
    shot = made.snapshot(FOLDER + name)
    assert shot is not None
    position = shot.positions.position(shot.source, len(before))
    found = completion(made, types.CompletionParams(types.TextDocumentIdentifier(shot.uri), position))
    return made, FOLDER + name, list(found.items) if found is not None else []


def offered(text: str, name: str = "plan.lights.yaml", encoding: Encoding = "utf-16") -> list[str]:
    return [item.label for item in asked(text, name, encoding)[2]]


def taken(text: str, label: str, encoding: Encoding = "utf-16") -> str:
    """The text after that offer was accepted."""
    made, uri, items = asked(text, encoding=encoding)
    item = next(item for item in items if item.label == label)
    assert isinstance(item.text_edit, types.TextEdit)
    shot = made.snapshot(uri)
    assert shot is not None
    place = shot.positions.span(shot.source, item.text_edit.range)
    return apply(shot.source, [Edit(place, item.text_edit.new_text)])


# --- Keys -------------------------------------------------------------------------------------------------------------


def test_the_keys_of_a_new_plan_required_ones_first() -> None:
    assert offered("|")[:5] == ["vehicle", "decoder", "lamps", "outputs", "keys"]


def test_only_keys_that_are_not_there_yet() -> None:
    found = offered(HEAD + "out|\n")
    assert "outputs" in found
    assert "vehicle" not in found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("outputs:\n  white:\n    ci|\n", "circuit"),
        ("outputs:\n  white: {ci|", "circuit"),
        ("outputs:\n  white: {circuit: [cab lamp], |}\n", "effect"),
        ("keys:\n  F0:\n    turns-on:\n    - |\n", "output"),
        ("keys:\n  F0: {turns-on: [{|", "output"),
        ("keys:\n  F0:\n    turns-on:\n    - output: white\n      wh|", "when"),
        ("outputs:\n  |\n", "aux3"),
        ("keys:\n  |\n", "F3"),
    ],
)
def test_the_keys_of_the_place(text: str, expected: str) -> None:
    assert expected in offered(HEAD + text)


def test_the_key_of_the_club_comes_with_its_label() -> None:
    first = asked(HEAD + "keys:\n  |\n")[2][0]
    assert (first.label, first.detail) == ("F3", "Ditch lamps")


def test_a_key_brings_its_colon_unless_one_is_there() -> None:
    assert taken(HEAD + "outputs:\n  white: {ci|}\n", "circuit").endswith("{circuit: }\n")
    assert taken(HEAD + "outputs:\n  white: {ci|: [cab lamp]}\n", "circuit").endswith("{circuit: [cab lamp]}\n")


# --- Values -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_lamps_those_that_hang_nowhere_first(encoding: Encoding) -> None:
    text = HEAD + "outputs:\n  white: {circuit: [1.5 kohm, cab lamp]}\n  aux3: {circuit: [1.5 kohm, ca|]}\nkeys: {}\n"
    found = offered(text, encoding=encoding)
    assert found[:2] == ["Ω lamp", "cab lamp"]
    assert taken(text, "Ω lamp", encoding).count("[1.5 kohm, Ω lamp]") == 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("vehicle: {name: x, scale: |}\n", {"HO", "N"}),
        ("lamps:\n  a: {part: |}\ndecoder: bench.decoder.yaml\nparts: [club.parts.yaml]\n", {"warm white 0603"}),
        ("decoder: |\n", {"bench.decoder.yaml"}),
        ("parts: [|]\n", {"club.parts.yaml"}),
        (HEAD + "outputs:\n  white: {circuit: [], effect: |}\n", {"slow fade", "steady"}),
        (HEAD + "keys:\n  F0: {turns-on: [{output: |}]}\n", {"white", "aux3"}),
        (HEAD + "keys:\n  F0: {turns-on: [{output: white, when: |}]}\n", {"forward", "reverse", "moving", "not F3"}),
        ("supply: {track: 14 |}\n", {"14 V", "14 mV"}),
        ("outputs:\n  white: {circuit: [], rate: 60 |}\n", {"60 per minute"}),
    ],
)
def test_the_values_of_the_place(text: str, expected: set[str]) -> None:
    assert expected <= set(offered(text))


CIRCUIT = "outputs:\n  white: {circuit: [%s, cab lamp]}\nkeys: {}\n"


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("1.5 |", ["1.5 ohm", "1.5 kohm", "1.5 Mohm"]),
        ("1.5|", ["1.5 ohm", "1.5 kohm", "1.5 Mohm"]),
        ("1.5 k|", ["1.5 ohm", "1.5 kohm", "1.5 Mohm"]),
        ("820 ohm 1/2 |", ["820 ohm 1/2 W"]),
        ("820 ohm 1/2 W 5 |", ["820 ohm 1/2 W 5 W", "820 ohm 1/2 W 5 mW", "820 ohm 1/2 W 5 %"]),
        ("{resistor: 1.5 |}", ["1.5 ohm", "1.5 kohm", "1.5 Mohm"]),
        ("{resistor: 1.5 kohm, rating: 1/4 |}", ["1/4 W"]),
        ("{resistor: 1.5 kohm, rating: 0.4 |}", ["0.4 W", "0.4 mW"]),
        ("{resistor: 1.5 kohm, tolerance: 5 |}", ["5 %"]),
    ],
)
def test_the_units_of_a_resistor_in_a_circuit(typed: str, expected: list[str]) -> None:
    items = [item for item in asked(HEAD + CIRCUIT % typed)[2] if item.kind is types.CompletionItemKind.Unit]
    assert [item.label for item in items] == expected
    if not typed.startswith("{"):
        for branch in ("{parallel: [[%s], [cab lamp]]}", "{series: [%s]}"):
            within = asked(HEAD + CIRCUIT % branch % typed)[2]
            assert [item.label for item in within if item.kind is types.CompletionItemKind.Unit] == expected


@pytest.mark.parametrize("where", ["value", "rating", "tolerance"])
def test_the_units_of_a_resistor_in_a_catalogue(where: str) -> None:
    units = {"value": ["1.5 ohm", "1.5 kohm", "1.5 Mohm"], "rating": ["1.5 W", "1.5 mW"], "tolerance": ["1.5 %"]}
    assert offered(f"resistors:\n  - {{{where}: 1.5 |}}\n", "new.parts.yaml") == units[where]
    assert offered(f"resistors:\n  - {where}: 1.5 |\n", "new.parts.yaml") == units[where]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("vehicle: {inside: 40 |}\n", ["40 °C"]),
        (
            "lamps: {a: {led: {forward-voltage: 2.9 V to 3.3 |}}}\n",
            ["2.9 V to 3.3 V", "2.9 V to 3.3 mV", "2.9 V to 3.3 kV"],
        ),
        # What the language does not take is not offered: no eighth of a volt, no range of a current.
        ("supply: {track: 1/8 |}\n", []),
        ("lamps: {a: {led: {current: 5 mA to 10 |}}}\n", []),
        ("vehicle: {name: 40 |}\n", []),
        ("outputs: {white: {circuit: [{lamp: 40 |}]}}\n", []),
        ("outputs: {white: {circuit: [cab |]}}\n", []),
    ],
)
def test_only_what_the_language_takes(text: str, expected: list[str]) -> None:
    assert [item.label for item in asked(text)[2] if item.kind is types.CompletionItemKind.Unit] == expected


def test_a_unit_that_is_taken_takes_the_place_of_what_was_typed_of_it() -> None:
    text = HEAD + CIRCUIT % "1.5 ko|"
    assert taken(text, "1.5 kohm") == HEAD + CIRCUIT % "1.5 kohm"


def test_conditions_that_do_not_contradict() -> None:
    found = offered(HEAD + "keys:\n  F0: {turns-on: [{output: white, when: [forward, not F3, |]}]}\n")
    assert {"moving", "F5", "not F5"} <= set(found)
    assert not {"forward", "reverse", "F3", "not F3", "F0"} & set(found)
    # The decoder knows no key above 12.
    assert "F13" not in found


def test_rules_in_levels_and_in_allowances() -> None:
    assert "dim-led" in offered("lampwright: 1\nlevels: {|}\n", "other/lampwright.yaml")
    assert offered("lampwright: 1\nlevels: {dim-led: |}\n", "other/lampwright.yaml") == [
        "error",
        "warning",
        "note",
        "ignore",
    ]
    assert "dim-led" in offered(HEAD + "# lampwright: allow di|\n")


@pytest.mark.parametrize("text", ["# ve|", HEAD + "lamps: {} # out|", "# lampwright: allow dim-led -- be|"])
def test_nothing_in_comments(text: str) -> None:
    assert offered(text) == []


def test_nothing_in_other_files() -> None:
    made = documents({"other.yaml": ""})
    position = types.Position(0, 0)
    assert (
        completion(made, types.CompletionParams(types.TextDocumentIdentifier(FOLDER + "other.yaml"), position)) is None
    )


# --- Resistors --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "circuit",
    ["[|, cab lamp]", "[cab lamp, |]", "[cab lamp, |", "\n    - |\n    - cab lamp", "\n    - cab lamp\n    - |"],
)
def test_the_resistors_that_fit_with_what_would_flow(circuit: str) -> None:
    colon = "\n    circuit:" if circuit.startswith("\n") else " {circuit: "
    closing = "" if circuit.startswith("\n") or not circuit.endswith("]") else "}"
    text = f"{HEAD}outputs:\n  white:{colon}{circuit}{closing}\nkeys: {{}}\n"
    items = asked(text)[2]
    # 14.5 V less 1.4 V and 3.1 V leave 10 V, 10 mA are wished: 1 kohm, of which 5 % less must not be too much.
    assert items[0].label.startswith("1.2 kohm")
    assert items[0].detail is not None
    assert items[0].detail.endswith("in stock")
    series = [item for item in items if re.match(r"1(\.\d)? kohm", item.label) and "stock" not in (item.detail or "")]
    assert series
    assert re.match(r"\d+(\.\d+)? mA", series[0].detail or "")


def test_what_is_taken_is_right() -> None:
    text = f"{HEAD}outputs:\n  white: {{circuit: [|, cab lamp]}}\nkeys: {{}}\n"
    items = asked(text)[2]
    made = documents({**FILES, "plan.lights.yaml": taken(text, items[0].label)})
    shot = made.snapshot(FOLDER + "plan.lights.yaml")
    assert shot is not None
    circuit = [each for each in shot.report.findings if each.span.source is shot.source and each.rule != "unwired-lamp"]
    assert [each.rule for each in circuit if "led" in each.rule or "resistor" in each.rule] == []


def test_where_nothing_is_lacking_no_resistor_is_offered() -> None:
    found = offered(f"{HEAD}outputs:\n  white: {{circuit: [1.5 kohm, cab lamp, |]}}\nkeys: {{}}\n")
    assert not any("ohm" in label for label in found)


# --- What is written in one go ----------------------------------------------------------------------------------------


def put_in(item: types.CompletionItem) -> str:
    """What stands in the text before anything is typed at a stop, worked out without the server."""
    assert isinstance(item.text_edit, types.TextEdit)
    text = item.text_edit.new_text
    if item.insert_text_format is not types.InsertTextFormat.Snippet:
        return text
    text = re.sub(r"\$\{[0-9]+\|((?:[^,|\\]|\\.)*)(?:[^|\\]|\\.)*\|\}", r"\1", text)
    text = re.sub(r"\$\{[0-9]+:((?:[^}\\]|\\.)*)\}|\$[0-9]+", lambda match: match[1] or "", text)
    return re.sub(r"\\(.)", r"\1", text)


def in_one_go(text: str, name: str = "plan.lights.yaml") -> dict[str, str]:
    """The snippets that are offered, by their labels."""
    items = asked(text, name, snippets=True)[2]
    found = [item for item in items if item.kind is types.CompletionItemKind.Snippet]
    assert all(item.insert_text_format is types.InsertTextFormat.Snippet for item in found)
    return {item.label: item.text_edit.new_text for item in found if isinstance(item.text_edit, types.TextEdit)}


SNIPPETS = [
    ("lamps: {a: {l|}}\n", "led: {forward-voltage: $1, current: $2, maximum-current: $3}"),
    ("lamps:\n  a:\n    l|\n", "led: {forward-voltage: $1, current: $2, maximum-current: $3}"),
    ("lamps: {a: {bulb: |}}\n", "{voltage: $1, current: $2}"),
    ("lamps:\n  lamp: {part: x}\n  |\n", "${1:lamp 2}: {part: $2}"),
    ("lamps:\n  |\n", "${1:lamp}: {led: {forward-voltage: $2, current: $3, maximum-current: $4}}"),
    ("lamps:\n  |\n", "${1:lamp}: {bulb: {voltage: $2, current: $3}}"),
    (HEAD + "  |\n", "${1:lamp}: {part: ${2:warm white 0603}}"),
    (HEAD + "outputs:\n  |\n", "${1|white,aux3|}: {circuit: [$2]}"),
    (HEAD + "outputs:\n  white: {circuit: []}\n  |\n", "${1:aux3}: {circuit: [$2]}"),
    (HEAD + "outputs:\n  white: {|}\n", "circuit: [$1]"),
    (HEAD + "outputs:\n  white: {circuit: |}\n", "[$1]"),
    (HEAD + "outputs:\n  white: {circuit: [|]}\n", "{parallel: [[$1], [$2]]}"),
    (HEAD + "outputs:\n  white: {circuit: [cab lamp, {parallel: [[|]]}]}\n", "{parallel: [[$1], [$2]]}"),
    (HEAD + "keys:\n  |\n", "${1:F3}: {label: ${2:Ditch lamps}, turns-on: [{output: $3}]}"),
    (HEAD + "keys:\n  F3: {}\n  |\n", "${1:F0}: {label: $2, turns-on: [{output: $3}]}"),
    (HEAD + "keys:\n  F3: {|}\n", "turns-on: [{output: $1}]"),
    (HEAD + "keys:\n  F3:\n    turns-on:\n    - |\n", "{output: $1, when: $2}"),
    (HEAD + "keys:\n  F3: {turns-on: [|]}\n", "{output: $1}"),
    ("decoder: {outputs: {|}}\n", "${1:white}: {number: $2, limit: $3}"),
]


@pytest.mark.parametrize(("text", "snippet"), SNIPPETS)
def test_a_client_that_can_gets_whole_entries(text: str, snippet: str) -> None:
    assert snippet in in_one_go(text).values()


@pytest.mark.parametrize(
    ("text", "name", "snippet"),
    [
        ("outputs: {white: {number: 1}, |}\n", "x.decoder.yaml", "${1:yellow}: {number: $2, limit: $3}"),
        ("effects: {|}\n", "x.decoder.yaml", "${1:effect}: {code: $2}"),
        ("registers: [|]\n", "x.decoder.yaml", "{cv: $1, holds: [{what: $2, bits: $3}]}"),
        ("resistors: [|]\n", "x.parts.yaml", "{value: $1, rating: $2, tolerance: $3}"),
        ("lamps:\n  |\n", "x.parts.yaml", "${1:lamp}: {bulb: {voltage: $2, current: $3}}"),
    ],
)
def test_sheets_and_catalogues_have_their_own(text: str, name: str, snippet: str) -> None:
    assert snippet in in_one_go(text, name).values()


@pytest.mark.parametrize("text", [text for text, _ in SNIPPETS])
def test_a_client_that_cannot_gets_plain_text(text: str) -> None:
    items = asked(text)[2]
    assert all(item.kind is not types.CompletionItemKind.Snippet for item in items)
    assert all(item.insert_text_format is None for item in items)
    assert not any("$" in item.label for item in items)
    # All that it gets, the other one gets as well.
    assert {item.label for item in items} <= {item.label for item in asked(text, snippets=True)[2]}


@pytest.mark.parametrize(
    "text",
    [
        # What stands behind, or below, must not be parted from its key.
        "lamps: {a: {l|ed: {current: 4 mA}}}\n",
        "lamps: {a: {| led: {current: 4 mA}}}\n",
        "lamps:\n  a:\n    led|\n      current\n",
        "vehicle: {name: |}\n",
        "lampwright: 1\n# |\n",
    ],
)
def test_nothing_is_written_in_one_go_where_something_stands(text: str) -> None:
    assert in_one_go(text) == {}


def test_no_figure_is_made_up() -> None:
    found = [snippet for text, _ in SNIPPETS for snippet in in_one_go(text).values()]
    for snippet in found:
        assert not re.search(r"[0-9] ?(?:V|mA|A|ohm|kohm|W|%)\b", snippet.replace("warm white 0603", "")), snippet


def test_what_is_written_in_one_go_is_only_found_unfinished() -> None:
    """Nothing is misspelt or in the wrong place; what has to be filled in is asked for."""
    for text, _ in SNIPPETS:
        made, uri, items = asked(text, snippets=True)
        shot = made.snapshot(uri)
        assert shot is not None
        before = {each.rule for each in shot.report.findings}
        for item in items:
            if item.kind is types.CompletionItemKind.Snippet:
                assert isinstance(item.text_edit, types.TextEdit)
                span = shot.positions.span(shot.source, item.text_edit.range)
                after = documents({**FILES, "plan.lights.yaml": apply(shot.source, [Edit(span, put_in(item))])})
                new = after.snapshot(uri)
                assert new is not None
                wrong = {"syntax-error", "unknown-key", "duplicate-key", "unsupported-yaml"} - before
                assert not wrong & {each.rule for each in new.report.findings}, (text, item.label)


@pytest.mark.parametrize("name", ["a$b}", "a,b|c", "back\\\\slash", "plain (old)"])
def test_names_that_a_snippet_would_obey_stand_as_they_are(name: str) -> None:
    files = {**FILES, "club.parts.yaml": PARTS.replace("warm white 0603", f'"{name}"')}
    made = documents({**files, "plan.lights.yaml": HEAD + "  "}, capabilities=capabilities(snippets=True))
    shot = made.snapshot(FOLDER + "plan.lights.yaml")
    assert shot is not None
    position = shot.positions.position(shot.source, len(HEAD) + 2)
    found = completion(made, types.CompletionParams(types.TextDocumentIdentifier(shot.uri), position))
    assert found is not None
    snippets = [item for item in found.items if "part" in item.label]
    plain = name.startswith("plain")
    assert [put_in(item) for item in snippets] == [f"lamp: {{part: {name if plain else ''}}}"]


def test_every_key_that_holds_something_in_one_go_is_a_key() -> None:
    for kind, name in VALUES:
        assert f'"{name}"' in (SCHEMAS / f"{kind.name.lower().replace('_', '-')}.schema.json").read_text("utf-8"), name


# --- Everywhere -------------------------------------------------------------------------------------------------------


def club() -> dict[str, str]:
    found = [path for path in sorted(EXAMPLES.rglob("*.yaml")) if kind_of(path.name) and "mistakes" not in path.parts]
    return {path.relative_to(EXAMPLES).as_posix(): path.read_text("utf-8") for path in found}


def test_nothing_fails_and_what_is_taken_can_be_read() -> None:
    texts = club()
    made = documents(texts, capabilities=capabilities(snippets=True))
    names = sorted(texts)
    chance = random.Random(20_251)
    count = 0
    for number in range(PLACES):
        name = chance.choice(names)
        text = texts[name]
        offset = chance.randrange(len(text) + 1)
        is_cut = number % 3 == 0
        typed = text[:offset] if is_cut else text
        if number % 3 == 1:
            typed, offset = with_room(text, offset, chance)
        lay(made, name, typed, version=number + 2)
        shot = made.snapshot(FOLDER + name)
        assert shot is not None
        position = shot.positions.position(shot.source, offset)
        found = completion(made, types.CompletionParams(types.TextDocumentIdentifier(shot.uri), position))
        if found is not None and found.items and not is_cut:
            snippets = [item for item in found.items if item.kind is types.CompletionItemKind.Snippet]
            count += len(snippets)
            for item in (chance.choice(found.items), *snippets):
                assert isinstance(item.text_edit, types.TextEdit)
                place = shot.positions.span(shot.source, item.text_edit.range)
                assert place.start <= offset <= place.end
                after = Source(name, apply(shot.source, [Edit(place, put_in(item))]))
                assert not parse(after).broken or shot.tree.broken, (name, offset, item.label)
        lay(made, name, text, version=number + 4)
    assert count > PLACES / 15


def with_room(text: str, offset: int, chance: random.Random) -> tuple[str, int]:
    """A fresh line below that of `offset`, as deep as what stands there or deeper, or room in a bracket behind it."""
    bracket = re.compile(r"[\[{]").search(text, offset)
    if bracket is not None and chance.random() < 0.4:
        return text, bracket.end()
    line = text.rfind("\n", 0, offset) + 1
    end = text.find("\n", offset) % (len(text) + 1)
    depth = len(text[line:end]) - len(text[line:end].lstrip()) + chance.choice([0, 0, 2])
    fresh = "\n" + " " * depth + chance.choice(["", "- "])
    return text[:end] + fresh + text[end:], end + len(fresh)
