"""Where things are named and defined, across files, and how they get other names."""

from __future__ import annotations

from pathlib import Path

import pytest
from lsprotocol import types

from lampwright.kinds import kind_of
from lampwright.text import Edit, Encoding, apply
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import Feature, RefusedError
from lampwright_lsp.features import FEATURES, definition, highlights, links, references, rename, selection, symbols
from lampwright_lsp.features.tokens import LEGEND, tokens
from lampwright_lsp.features.workspace_symbols import workspace_symbols
from lampwright_lsp.names import names_in
from lsp_seam import FOLDER, documents, lay, snapshot

SHEET = """\
decoder-sheet: 1
name: Bench six
common: {drop: 1.4 V}
outputs:
  white: {number: 1, limit: 100 mA}
  aux3: {number: 2, limit: 100 mA}
effects:
  steady: {code: 0}
  slow fade: {codes: {first: 1, second: 2}, pairs: [[white, aux3]]}
registers:
  - {cv: {white: 115, aux3: 116}, holds: [{what: effect, bits: 0 to 3}]}
"""
PARTS = """\
parts-catalogue: 1
lamps:
  warm white 0603: {led: {forward-voltage: 3 V, current: 7 mA, maximum-current: 20 mA}}
"""
PLAN = """\
vehicle: {name: "Tipper 😀 9"}
decoder: bench.decoder.yaml
parts: [club.parts.yaml]
lamps:
  "cab lamp": {part: warm white 0603}
outputs:
  white: {circuit: [1.5 kohm, cab lamp]}
  aux3:
    circuit:
      - parallel: [[2.7 kohm, {lamp: cab lamp}]]
    effect: slow fade
keys:
  F0: {turns-on: [{output: [white, aux3], when: [forward, not F3]}]}
  F3: {turns-on: [{output: aux3, effect: slow fade}]}
"""
OTHER = PLAN.replace("Tipper", "Skip")
FILES = {"a.lights.yaml": PLAN, "b.lights.yaml": OTHER, "bench.decoder.yaml": SHEET, "club.parts.yaml": PARTS}
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def club(encoding: Encoding = "utf-16", **can: bool) -> Documents:
    links_too = types.DefinitionClientCapabilities(link_support=can.get("links"))
    edits = types.WorkspaceEditClientCapabilities(document_changes=can.get("versions"))
    capabilities = types.ClientCapabilities(
        text_document=types.TextDocumentClientCapabilities(definition=links_too),
        workspace=types.WorkspaceClientCapabilities(workspace_edit=edits),
    )
    return documents(FILES, encoding, capabilities)


def at(made: Documents, name: str, words: str, into: int = 0) -> dict[str, object]:
    """The parameters of a request at the place of `words`, `into` characters behind their start."""
    shot = made.snapshot(FOLDER + name)
    assert shot is not None
    offset = shot.source.text.index(words) + into
    position = shot.positions.position(shot.source, offset)
    return {"text_document": types.TextDocumentIdentifier(FOLDER + name), "position": position}


def words(made: Documents, uri: str, place: types.Range) -> str:
    shot = made.snapshot(uri)
    assert shot is not None
    return shot.positions.span(shot.source, place).text


def defined(made: Documents, name: str, text: str, into: int = 0) -> list[tuple[str, str, int]]:
    shot = made.snapshot(FOLDER + name)
    assert shot is not None
    found = definition.definition(shot, types.DefinitionParams(**at(made, name, text, into)))  # type: ignore[arg-type]
    return [
        (each.uri.removeprefix(FOLDER), words(made, each.uri, each.range), each.range.start.line)
        for each in found or []
        if isinstance(each, types.Location)
    ]


# --- Definitions ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_definitions(encoding: Encoding) -> None:
    made = club(encoding)
    assert defined(made, "a.lights.yaml", "cab lamp]") == [("a.lights.yaml", '"cab lamp"', 4)]
    assert defined(made, "a.lights.yaml", "cab lamp}", 8) == [("a.lights.yaml", '"cab lamp"', 4)]
    assert defined(made, "a.lights.yaml", "warm white", 5) == [("club.parts.yaml", "warm white 0603", 2)]
    assert defined(made, "a.lights.yaml", "[white", 1) == [
        ("a.lights.yaml", "white", 6),
        ("bench.decoder.yaml", "white", 4),
    ]
    assert defined(made, "a.lights.yaml", "slow fade", 4) == [("bench.decoder.yaml", "slow fade", 8)]
    assert defined(made, "a.lights.yaml", "F3]", 1) == [("a.lights.yaml", "F3", 13)]
    assert defined(made, "bench.decoder.yaml", "aux3]]") == [("bench.decoder.yaml", "aux3", 5)]


def test_a_file_is_opened_at_its_start() -> None:
    assert defined(club(), "a.lights.yaml", "bench.decoder", 3) == [("bench.decoder.yaml", "", 0)]
    assert defined(club(), "a.lights.yaml", "club.parts", 3) == [("club.parts.yaml", "", 0)]


def test_where_one_comes_from_is_told_who_can_show_it() -> None:
    made = club(links=True)
    shot = made.snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    params = types.DefinitionParams(**at(made, "a.lights.yaml", "cab lamp]", 3))  # type: ignore[arg-type]
    (link,) = definition.definition(shot, params) or []
    assert isinstance(link, types.LocationLink)
    assert link.origin_selection_range is not None
    assert words(made, FOLDER + "a.lights.yaml", link.origin_selection_range) == "cab lamp"


@pytest.mark.parametrize("text", ["1.5 kohm", "circuit", "vehicle", "forward"])
def test_what_is_no_name_is_nowhere_defined(text: str) -> None:
    assert defined(club(), "a.lights.yaml", text, 1) == []


def test_a_name_that_nobody_defines_leads_nowhere() -> None:
    made = club()
    lay(made, "a.lights.yaml", PLAN.replace("cab lamp]", "car lamp]"))
    assert defined(made, "a.lights.yaml", "car lamp", 2) == []


# --- References -------------------------------------------------------------------------------------------------------


def referred(made: Documents, name: str, text: str, into: int = 0, *, declared: bool = True) -> dict[str, int]:
    context = types.ReferenceContext(include_declaration=declared)
    params = types.ReferenceParams(context=context, **at(made, name, text, into))  # type: ignore[arg-type]
    counts: dict[str, int] = {}
    for each in references.references(made, params) or []:
        counts[each.uri.removeprefix(FOLDER)] = counts.get(each.uri.removeprefix(FOLDER), 0) + 1
    return counts


def test_references_across_files() -> None:
    made = club()
    assert referred(made, "a.lights.yaml", "cab lamp]") == {"a.lights.yaml": 3}
    assert referred(made, "a.lights.yaml", "cab lamp]", declared=False) == {"a.lights.yaml": 2}
    everywhere = {"a.lights.yaml": 1, "b.lights.yaml": 1, "club.parts.yaml": 1}
    assert referred(made, "a.lights.yaml", "warm white") == everywhere
    assert referred(made, "club.parts.yaml", "warm white") == everywhere
    # The key under outputs, the two entries; in the sheet its key, the pair and the register.
    assert referred(made, "b.lights.yaml", "aux3]") == {
        "a.lights.yaml": 3,
        "b.lights.yaml": 3,
        "bench.decoder.yaml": 3,
    }


def test_a_plan_with_another_sheet_means_another_output() -> None:
    made = club()
    lay(made, "other.decoder.yaml", SHEET)
    lay(made, "b.lights.yaml", OTHER.replace("bench.decoder", "other.decoder"))
    assert set(referred(made, "a.lights.yaml", "aux3]")) == {"a.lights.yaml", "bench.decoder.yaml"}


def test_highlights_tell_definitions_from_uses() -> None:
    made = club()
    shot = made.snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    params = types.DocumentHighlightParams(**at(made, "a.lights.yaml", "cab lamp]"))  # type: ignore[arg-type]
    kinds = [each.kind for each in highlights.highlights(shot, params) or []]
    assert kinds == [types.DocumentHighlightKind.Write, *[types.DocumentHighlightKind.Read] * 2]


# --- Other names ------------------------------------------------------------------------------------------------------


def renamed(made: Documents, name: str, text: str, new: str, into: int = 0) -> dict[str, str]:
    """The texts after renaming, of those files that are changed."""
    params = types.RenameParams(new_name=new, **at(made, name, text, into))  # type: ignore[arg-type]
    edit = rename.rename(made, params)
    assert edit is not None
    assert edit.changes is not None
    return {uri.removeprefix(FOLDER): _applied(made, uri, edits) for uri, edits in edit.changes.items()}


def _applied(made: Documents, uri: str, edits: object) -> str:
    shot = made.snapshot(uri)
    assert shot is not None
    assert isinstance(edits, list | tuple)
    return apply(shot.source, [Edit(shot.positions.span(shot.source, each.range), each.new_text) for each in edits])


def test_a_lamp_keeps_its_quotes() -> None:
    assert renamed(club(), "a.lights.yaml", "cab lamp]", "driver's lamp".replace("'", "")) == {
        "a.lights.yaml": PLAN.replace("cab lamp", "drivers lamp")
    }


def test_an_output_is_renamed_in_all_plans_and_in_the_sheet() -> None:
    assert renamed(club(), "a.lights.yaml", "aux3]", "aux9") == {
        name: FILES[name].replace("aux3", "aux9") for name in ("a.lights.yaml", "b.lights.yaml", "bench.decoder.yaml")
    }


def test_an_effect_and_a_part() -> None:
    changed = renamed(club(), "bench.decoder.yaml", "slow fade", "glow")
    assert set(changed) == {"a.lights.yaml", "b.lights.yaml", "bench.decoder.yaml"}
    assert all("slow fade" not in text for text in changed.values())
    assert set(renamed(club(), "a.lights.yaml", "warm white", "LED 3")) == {
        "a.lights.yaml",
        "b.lights.yaml",
        "club.parts.yaml",
    }


def test_versions_go_with_the_edits() -> None:
    made = club(versions=True)
    params = types.RenameParams(new_name="step lamp", **at(made, "a.lights.yaml", "cab lamp]"))  # type: ignore[arg-type]
    edit = rename.rename(made, params)
    assert edit is not None
    (change,) = edit.document_changes or ()
    assert isinstance(change, types.TextDocumentEdit)
    assert change.text_document.version == 1


@pytest.mark.parametrize(
    ("text", "new", "why"),
    [
        ("cab lamp]", "", "it is empty"),
        ("cab lamp]", "3 lamps", "it must start with a letter"),
        ("cab lamp]", "forward", "it is a word of the conditions"),
        ("cab lamp]", "20 mA", "it reads as a quantity"),
        ("cab lamp]", "a: b", '":" may not stand in it'),
        ("aux3]", "white", 'there is an output called "white" already'),
        ("slow fade", "steady", 'there is an effect called "steady" already'),
        ("F3]", "F4", "only lamps, parts, outputs and effects"),
        ("1.5 kohm", "x", "only lamps, parts, outputs and effects"),
    ],
)
def test_what_cannot_be_is_refused(text: str, new: str, why: str) -> None:
    with pytest.raises(RefusedError, match=why.replace("(", r"\(")):
        renamed(club(), "a.lights.yaml", text, new)


def test_steady_is_what_every_decoder_calls_it() -> None:
    with pytest.raises(RefusedError, match="every decoder"):
        renamed(club(), "bench.decoder.yaml", "steady", "constant")


def test_what_is_asked_before() -> None:
    made = club()
    shot = made.snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    params = types.PrepareRenameParams(**at(made, "a.lights.yaml", '"cab lamp"', 3))  # type: ignore[arg-type]
    prepared = rename.prepare_rename(shot, params)
    assert (words(made, shot.uri, prepared.range), prepared.placeholder) == ("cab lamp", "cab lamp")


def test_behind_a_syntax_error_nothing_is_renamed() -> None:
    made = club()
    lay(made, "a.lights.yaml", PLAN + "{")
    with pytest.raises(RefusedError, match="syntax error"):
        renamed(made, "a.lights.yaml", "cab lamp]", "step lamp")


def example_club() -> Documents:
    found = sorted(path for path in EXAMPLES.rglob("*.yaml") if kind_of(path.name) and "mistakes" not in path.parts)
    return documents({path.relative_to(EXAMPLES).as_posix(): path.read_text("utf-8") for path in found})


def test_everything_renamed_says_the_same() -> None:
    """Each lamp, part, output and effect of the example club in turn; findings differ in that name only."""
    made = example_club()
    done = 0
    for uri in made.uris():
        shot = made.snapshot(uri)
        assert shot is not None
        for named in names_in(shot.tree, shot.kind):
            if not named.is_definition or named.what.value not in ("lamp", "part", "effect") or named.text == "steady":
                continue
            if done % 5 == 0:
                _same_after(made, uri, shot, named.span.start)
            done += 1
    assert done > 40


def _same_after(made: Documents, uri: str, shot: Snapshot, offset: int) -> None:
    position = shot.positions.position(shot.source, offset)
    params = types.RenameParams(types.TextDocumentIdentifier(uri), position, "zz other name")
    edit = rename.rename(made, params)
    assert edit is not None
    assert edit.changes
    texts = {each: _applied(made, each, edits) for each, edits in edit.changes.items()}
    before = {name: _rules(made, name) for name in texts}
    again = example_club()
    for each, text in texts.items():
        lay(again, each.removeprefix(FOLDER), text)
    assert {name: _rules(again, name) for name in texts} == before


def _rules(made: Documents, uri: str) -> list[str]:
    shot = made.snapshot(uri)
    assert shot is not None
    return sorted(finding.rule for finding in shot.report.findings)


# --- Outline, links, selections, colours ------------------------------------------------------------------------------


def document(name: str) -> types.TextDocumentIdentifier:
    return types.TextDocumentIdentifier(FOLDER + name)


def test_the_outline() -> None:
    shot = club().snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    found = symbols.symbols(shot, types.DocumentSymbolParams(document("a.lights.yaml")))
    assert [each.name for each in found] == ["vehicle", "decoder", "parts", "lamps", "outputs", "keys"]
    outputs = found[4].children or []
    assert [(each.name, each.detail) for each in outputs] == [("white", "1.5 kohm, cab lamp"), ("aux3", "…")]


def test_symbols_of_the_club() -> None:
    made = club()
    assert {each.name for each in workspace_symbols(made, types.WorkspaceSymbolParams("TIPPER"))} == {"Tipper 😀 9"}
    assert {each.name for each in workspace_symbols(made, types.WorkspaceSymbolParams("warm"))} == {"warm white 0603"}
    assert workspace_symbols(made, types.WorkspaceSymbolParams("no such")) == []


@pytest.mark.parametrize("other", ["gone.parts.yaml", '"a\\0b.parts.yaml"'])
def test_links_lead_to_files_that_are_there(other: str) -> None:
    made = club()
    lay(made, "a.lights.yaml", PLAN.replace("[club.parts.yaml]", f"[club.parts.yaml, {other}]"))
    shot = made.snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    found = links.links(shot, types.DocumentLinkParams(document("a.lights.yaml")))
    assert [words(made, shot.uri, each.range) for each in found] == ["bench.decoder.yaml", "club.parts.yaml"]


def test_a_selection_grows() -> None:
    made = club()
    shot = made.snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    place = at(made, "a.lights.yaml", "cab lamp]", 2)["position"]
    assert isinstance(place, types.Position)
    (grown,) = selection.selection_ranges(shot, types.SelectionRangeParams(document("a.lights.yaml"), [place]))
    said = []
    step: types.SelectionRange | None = grown
    while step is not None:
        said.append(words(made, shot.uri, step.range))
        step = step.parent
    assert said[:4] == [
        "cab lamp",
        "[1.5 kohm, cab lamp]",
        "circuit: [1.5 kohm, cab lamp]",
        "{circuit: [1.5 kohm, cab lamp]}",
    ]
    assert said[-1] == PLAN


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_colours(encoding: Encoding) -> None:
    shot = club(encoding).snapshot(FOLDER + "a.lights.yaml")
    assert shot is not None
    assert ("cab lamp", "variable") in coloured(shot)
    assert ("1.5 kohm", "number") in coloured(shot)
    assert ("forward", "keyword") in coloured(shot)
    assert ("warm white 0603", "class") in coloured(shot)


def coloured(shot: Snapshot) -> list[tuple[str, str]]:
    data = tokens(shot, types.SemanticTokensParams(types.TextDocumentIdentifier(shot.uri))).data
    line = start = 0
    found = []
    for lines, units, length, kind, _ in zip(*[iter(data)] * 5, strict=True):
        line, start = line + lines, units if lines else start + units
        place = types.Range(types.Position(line, start), types.Position(line, start + length))
        found.append((shot.positions.span(shot.source, place).text, LEGEND.token_types[kind]))
    return found


# --- Everywhere -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("vehicles/*.yaml")), ids=lambda path: path.name)
def test_nothing_fails_at_any_place(path: Path) -> None:
    made = example_club()
    uri = FOLDER + path.relative_to(EXAMPLES).as_posix()
    shot = made.snapshot(uri)
    assert shot is not None
    identifier = types.TextDocumentIdentifier(uri)
    asked = [each for each in FEATURES if isinstance(each, Feature) and each.method.startswith("textDocument/")]
    positional = {
        types.TEXT_DOCUMENT_DEFINITION: types.DefinitionParams,
        types.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT: types.DocumentHighlightParams,
    }
    assert any(each.method in positional for each in asked)
    for offset in range(0, len(shot.source.text) + 1, 3):
        position = shot.positions.position(shot.source, offset)
        for feature in asked:
            if feature.method in positional:
                feature.answer(shot, positional[feature.method](identifier, position))  # type: ignore[abstract]
        selection.selection_ranges(shot, types.SelectionRangeParams(identifier, [position]))


def test_a_text_that_breaks_off_is_no_matter() -> None:
    for end in range(0, len(PLAN), 7):
        shot = snapshot(PLAN[:end], "plan.lights.yaml", {"bench.decoder.yaml": SHEET})
        symbols.symbols(shot, types.DocumentSymbolParams(types.TextDocumentIdentifier(shot.uri)))
        coloured(shot)
