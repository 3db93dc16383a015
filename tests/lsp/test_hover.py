"""What an editor shows of a thing: the figures are those of the command, and nothing is said where there is nothing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lsprotocol import types
from markdown_it import MarkdownIt

from lampwright.kinds import kind_of
from lampwright.text import Encoding, Source
from lampwright_lsp.client import Preferences
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.features.code_lens import code_lens
from lampwright_lsp.features.hover import hover
from lampwright_lsp.features.inlay_hints import inlay_hints
from lampwright_lsp.unchanged import unchanged
from lsp_seam import FOLDER, documents, lay, snapshot

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SHEET = """\
decoder-sheet: 1
name: Bench six
common: {drop: 1.4 V}
limits: {outputs-together: 500 mA}
outputs:
  white: {number: 1, limit: 100 mA}
  aux3: {number: 2, limit: 100 mA}
keys: {highest: 28, mapping: function-matrix}
effects:
  steady: {code: 0}
  slow fade: {code: 3, rate: 30 to 120 per minute}
registers:
  - {cv: {white: 115, aux3: 116}, holds: [{what: effect, bits: 0 to 3}]}
"""
# 14.5 V less 1.4 V leave 13.1 V; less 3.1 V at 10 mA are 10 V on 1 kohm: 10 mA and 100 mW.
PLAN = """\
vehicle: {name: Tipper 9, address: 2112}
supply: {track: 14.5 V}
decoder: bench.decoder.yaml
lamps:
  cab lamp: {led: {forward-voltage: 3.1 V, at: 10 mA, current: 10 mA, maximum-current: 20 mA, colour: warm white}}
  <b>spare*: {bulb: {voltage: 12 V, current: 40 mA}}
outputs:
  # lampwright: allow overdriven-led -- only for the page
  white: {circuit: [1 kohm 1/2 W 5 %, cab lamp], effect: slow fade}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: [forward, not F3]}]}
"""


def shot_of(text: str = PLAN, encoding: Encoding = "utf-16", *, markdown: bool = False, **wanted: bool) -> Snapshot:
    formats = [types.MarkupKind.Markdown] if markdown else []
    can = types.HoverClientCapabilities(content_format=formats)
    capabilities = types.ClientCapabilities(text_document=types.TextDocumentClientCapabilities(hover=can))
    files = {"bench.decoder.yaml": SHEET}
    return snapshot(text, "plan.lights.yaml", files, encoding, capabilities, Preferences(**wanted))


def shown(shot: Snapshot, words: str, into: int = 1) -> tuple[str, str] | None:
    """The text that is marked, and what is said of it."""
    position = shot.positions.position(shot.source, shot.source.text.index(words) + into)
    found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(shot.uri), position))
    if found is None:
        return None
    assert isinstance(found.contents, types.MarkupContent)
    assert found.range is not None
    return shot.positions.span(shot.source, found.range).text, found.contents.value


def said(words: str, into: int = 1) -> str:
    found = shown(shot_of(), words, into)
    assert found is not None
    return found[1]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-32"])
def test_a_lamp_in_a_circuit(encoding: Encoding) -> None:
    found = shown(shot_of(PLAN.replace("Tipper", "Tipper 😀"), encoding), "cab lamp]", 3)
    assert found is not None
    assert found[0] == "cab lamp"
    assert "warm white LED, 3.1 V at 10 mA, at most 20 mA" in found[1]
    assert "at output white: 10 mA (" in found[1]
    assert "slow fade" in found[1]
    assert "while F0 is on and F3 is off, forward" in found[1]


def test_a_resistor() -> None:
    found = shown(shot_of(), "1 kohm", 3)
    assert found is not None
    assert found[0] == "1 kohm 1/2 W 5 %"
    assert "current 10 mA (" in found[1]
    assert "heat 100 mW (" in found[1]
    assert "also written 1k or 1000 ohm" in found[1]
    # IEC 60062: 1 and 0 and two noughts more, gold for 5 %.
    assert "bands: brown, black, red, gold" in found[1]


def test_an_output() -> None:
    text = said("white: {circuit")
    assert text.startswith("output white\nnumber 1, limit 100 mA\nthe white wire: front light")
    assert "current 10 mA (" in text
    assert "of 100 mA" in text
    assert "on it: cab lamp" in text


def test_a_key_an_effect_and_the_address() -> None:
    assert said("F0:").startswith("F0 Headlamps\nwhite (cab lamp):\n")
    assert "effect slow fade\n30 per minute to 120 per minute\nusual at white" in said("slow fade")
    # S-9.2.2: 2112 is 8 times 256 and 64; 192 and 8 are 200.
    text = said("2112")
    assert "CV17 = 200" in text
    assert "CV18 = 64" in text
    # S-9.2.2 leaves the other bits of CV29 to what is in the decoder: no value may seem to be all of it.
    assert "CV29, read first: set bit 0, bit 1 and bit 5 as in 34, keep the rest: " in text
    assert "CV29 =" not in text


@pytest.mark.parametrize("written", ["Headlamps", "f0", "F", "F 0", "F99", "Fux3 F9", "", "é"])
def test_what_stands_for_a_key_and_is_none_says_nothing(written: str) -> None:
    shot = shot_of(PLAN.replace("  F0: {label", f'  "{written}": {{label'))
    assert shown(shot, f'"{written}": {{label') is None


def test_a_rule_in_an_allowance() -> None:
    assert said("overdriven-led").startswith("overdriven-led (error at most)\n")


def test_in_the_sheet() -> None:
    made = documents({"bench.decoder.yaml": SHEET})
    shot = made.snapshot(FOLDER + "bench.decoder.yaml")
    assert shot is not None
    found = shown(shot, "white: {number")
    assert found is not None
    assert "CV115 holds its effect" in found[1]


def test_a_register_by_its_number() -> None:
    made = documents({"bench.decoder.yaml": SHEET})
    shot = made.snapshot(FOLDER + "bench.decoder.yaml")
    assert shot is not None
    assert shown(shot, "116") == ("116", "CV116 of output aux3\nbits 0 to 3: the effect, 0 steady, 3 slow fade")


def test_names_with_markup_do_no_harm() -> None:
    found = shown(shot_of(markdown=True), "<b>spare*")
    assert found is not None
    assert r"\<b\>spare\*" in found[1]
    assert "<b>" not in found[1]


@pytest.mark.parametrize(
    "name",
    [
        "http://club.example/x",
        "WWW.club.example",
        "a@club.example",
        "a &lt;b&gt; &amp; c",
        "![x](command:quit)",
        "`code` *star* _line_ ~~gone~~",
        "<img src=x>",
        "1. first",
        "=====",
        "# title | table",
    ],
)
def test_a_name_stands_as_it_is_written(name: str) -> None:
    found = shown(shot_of(PLAN.replace("<b>spare*", f'"{name}"'), markdown=True), name)
    assert found is not None
    tokens = MarkdownIt("gfm-like", {"linkify": False}).parse(found[1])
    assert [each.type for each in tokens] == ["paragraph_open", "inline", "paragraph_close"]
    inline = tokens[1].children or []
    kinds = {each.type for each in inline} - {"text", "text_special", "hardbreak", "strong_open", "strong_close"}
    assert not kinds
    assert "".join(each.content for each in inline).startswith(name)
    # The parser at hand makes no links of bare addresses; what others would look for must not stand there.
    assert not re.search(r"\w:/|www\.|\w@", found[1], re.IGNORECASE)


@pytest.mark.parametrize("words", ["vehicle", "circuit", "only for the page", "supply"])
def test_nothing_is_said_of_nothing(words: str) -> None:
    assert shown(shot_of(), words) is None


def test_other_files_and_broken_ones() -> None:
    assert shown(shot_of(PLAN + "{"), "vehicle") is None
    assert documents({"other.yaml": "a: 1\n"}).snapshot(FOLDER + "other.yaml") is None


# --- While the text cannot be read ------------------------------------------------------------------------------------


def broken(text: str) -> Snapshot:
    """The snapshot of `text`, typed after PLAN was read."""
    made = documents({"plan.lights.yaml": PLAN, "bench.decoder.yaml": SHEET})
    assert made.snapshot(FOLDER + "plan.lights.yaml") is not None
    lay(made, "plan.lights.yaml", text)
    found = made.snapshot(FOLDER + "plan.lights.yaml")
    assert found is not None
    assert found.tree.broken
    return found


@pytest.mark.parametrize("typed", ["", "# a line\n# and another 😀\n"])
def test_a_line_that_is_still_the_same_says_what_it_said(typed: str) -> None:
    # The bracket makes all that follows unreadable.
    found = broken(typed + PLAN.replace("supply: {track", "supply: [{track"))
    for words in ("1 kohm", "cab lamp]", "white: {circuit", "F0:", "slow fade", "overdriven-led", "cab lamp: {led"):
        assert shown(found, words) == shown(shot_of(), words)


def test_a_line_that_was_changed_says_nothing() -> None:
    found = broken(PLAN.replace("white: {circuit: [1 kohm 1/2 W 5 %", "white: {circuit: [[1 kohm 1/2 W 5 %"))
    assert shown(found, "1 kohm") is None
    assert shown(found, "cab lamp]") is None
    assert shown(found, "cab lamp: {led") == shown(shot_of(), "cab lamp: {led")


@given(st.text("ab\n", max_size=8), st.text("ab\n", max_size=8))
def test_what_is_found_again_is_the_same_text(before: str, now: str) -> None:
    older, newer = Source("plan", before), Source("plan", now)
    kept = unchanged(older, newer)
    for offset in range(len(now) + 1):
        then = kept.offset_then(offset)
        if then is not None:
            assert line_around(before, then) == line_around(now, offset)
    for start in range(len(before) + 1):
        for end in range(start, len(before) + 1):
            span = kept.span_now(older.span(start, end))
            assert span is None or span.text == before[start:end]


def test_a_text_that_did_not_change_is_found_again_whole() -> None:
    source = Source("plan", "a\nb\n\nc")
    kept = unchanged(source, source)
    assert [kept.offset_then(offset) for offset in range(7)] == list(range(7))
    assert kept.span_now(source.span(0, 6)) == source.span(0, 6)


def line_around(text: str, offset: int) -> tuple[str, str]:
    """What stands before and behind a place in its line."""
    return text[:offset].rpartition("\n")[2], text[offset:].partition("\n")[0]


# --- Hints ------------------------------------------------------------------------------------------------------------


def hints(shot: Snapshot, lines: tuple[int, int] | None = None) -> list[tuple[int, str]]:
    first, last = lines or (0, 10_000)
    asked = types.Range(types.Position(first, 0), types.Position(last, 0))
    found = inlay_hints(shot, types.InlayHintParams(types.TextDocumentIdentifier(shot.uri), asked))
    return [(hint.position.line, str(hint.label)) for hint in found or []]


def test_what_is_computed_stands_beside_what_is_written() -> None:
    # S-9.2.2: F0 forward is CV33, whose bit 0 is the first output.
    address = [label for line, label in hints(shot_of()) if line == 0]
    assert address[0].startswith("CV17 = 200, CV18 = 64, CV29 in part")
    beside = hints(shot_of(), (8, 11))
    assert (8, "100 mW") in beside
    assert (8, "10 mA") in beside
    assert (8, "CV115, bits 0 to 3 = 3") in beside


def test_a_key_is_no_cause_of_a_cv_that_turns_nothing_on_by_it() -> None:
    # S-9.2.2: forward is CV33, reverse CV34, F1 is CV35.
    nothing = PLAN.replace("only for the page", "the page") + "  F1: {}\n"
    beside = dict(hints(shot_of(nothing, inlay_hints_currents=False, inlay_hints_power=False), (10, 12)))
    assert beside == {10: "CV33 = 1"}
    settings = {each.cv: each.value for each in shot_of(nothing).context.programming.settings}
    assert (settings[33], settings[34], settings[35]) == (1, 0, 0)


def test_each_kind_can_be_switched_off() -> None:
    off = {"inlay_hints_currents": False, "inlay_hints_power": False, "inlay_hints_cvs": False}
    assert hints(shot_of(**off)) == []
    assert not any(label.endswith("mA") for _, label in hints(shot_of(inlay_hints_currents=False)))
    assert not any(label.endswith("mW") for _, label in hints(shot_of(inlay_hints_power=False)))
    assert not any(label.startswith("CV") for _, label in hints(shot_of(inlay_hints_cvs=False)))


def test_only_in_the_range_that_is_asked_for() -> None:
    assert hints(shot_of(), (3, 5)) == []


def test_what_cannot_be_told_is_not_hinted_at() -> None:
    shot = shot_of(PLAN.replace("cab lamp]", "no such lamp]"), inlay_hints_cvs=False)
    assert hints(shot) == []
    assert hints(shot_of("lamps: {}\n")) == []


# --- Above the first line ---------------------------------------------------------------------------------------------


def lenses(shot: Snapshot) -> list[types.CodeLens]:
    return code_lens(shot, types.CodeLensParams(types.TextDocumentIdentifier(shot.uri))) or []


def titles(shot: Snapshot) -> list[str]:
    return [lens.command.title for lens in lenses(shot) if lens.command is not None]


def test_what_there_is_to_say_of_a_plan() -> None:
    found = titles(shot_of())
    assert re.fullmatch(r"at most 1\d\.\d mA of 500 mA together", found[1])
    assert found[2].endswith(" CVs")
    assert titles(shot_of(code_lens=False)) == []
    assert titles(shot_of("lamps: {}\n"))[:1] != ["no findings"]


CLEAN = PLAN.replace("  # lampwright: allow overdriven-led -- only for the page\n", "").replace("1 kohm", "1.2 kohm")
CLEAN = "".join(line for line in CLEAN.splitlines(keepends=True) if "spare" not in line)
CLEAN = CLEAN.replace("[forward, not F3]", "forward")


def test_only_findings_are_counted_that_are_open_and_of_this_file() -> None:
    burning = CLEAN.replace("1.2 kohm 1/2 W 5 %, ", "")
    allowed = burning.replace("slow fade}", "slow fade}  # lampwright: allow unprotected-led -- the shop fits one")
    faulty = {"bench.decoder.yaml": SHEET.replace("500 mA", "500 ma")}
    assert titles(shot_of(CLEAN))[0] == "no findings"
    assert titles(shot_of(burning))[0] == "1 error"
    assert titles(shot_of(allowed))[0] == "no findings"
    assert {each.rule for each in shot_of(allowed).report.findings if each.allowed is not None} == {"unprotected-led"}
    shot = snapshot(CLEAN, "plan.lights.yaml", faulty)
    assert [each.span.source is shot.source for each in shot.report.findings] == [False]
    assert titles(shot)[0] == "no findings"


def test_there_is_nothing_to_be_run() -> None:
    commands = [lens.command for lens in lenses(shot_of())]
    assert len(commands) == 3
    assert all(command is not None and command.command == "" and not command.arguments for command in commands)
    assert all(lens.range.start == lens.range.end == types.Position(0, 0) for lens in lenses(shot_of()))


# --- Above and beside, while the text cannot be read -----------------------------------------------------------------


def test_hints_stay_where_the_lines_are_the_same() -> None:
    # The bracket makes all that follows unreadable.
    found = hints(broken(PLAN.replace("supply: {track", "supply: [{track")))
    assert len(found) == 5
    assert found == hints(shot_of())


def test_hints_move_with_their_lines() -> None:
    found = hints(broken(PLAN.replace("supply: {track", "# a line\n# and another 😀\nsupply: [{track")))
    assert found == [(line + 2 if line else line, label) for line, label in hints(shot_of())]


def test_no_hint_stands_in_a_line_that_was_changed() -> None:
    changed = broken(PLAN.replace("white: {circuit: [1 kohm", "white: {circuit: [[1 kohm"))
    row = next(index for index, line in enumerate(PLAN.split("\n")) if "circuit" in line)
    assert hints(changed) == [hint for hint in hints(shot_of()) if hint[0] != row]
    assert {line for line, _ in hints(shot_of())} > {row}


def test_a_circuit_of_several_lines_of_which_one_was_changed_has_no_current() -> None:
    block = PLAN.replace(
        "{circuit: [1 kohm 1/2 W 5 %, cab lamp], effect: slow fade}", "\n    circuit:\n    - 1 kohm\n    - cab lamp"
    )
    made = documents({"plan.lights.yaml": block, "bench.decoder.yaml": SHEET})
    was = made.snapshot(FOLDER + "plan.lights.yaml")
    assert was is not None
    assert any(label.endswith("mA") for _, label in hints(was))
    lay(made, "plan.lights.yaml", block.replace("- cab lamp", "- [cab lamp"))
    now = made.snapshot(FOLDER + "plan.lights.yaml")
    assert now is not None
    assert [label for _, label in hints(now) if label.endswith(("mA", "mW"))] == ["100 mW"]


def test_sums_stay_and_findings_are_those_of_now() -> None:
    was, now = titles(shot_of()), titles(broken(PLAN.replace("supply: {track", "supply: [{track")))
    assert now == ["1 error", *was[1:]]
    assert was[0] != now[0]
    assert titles(broken("[")) == ["1 error", *was[1:]]


def test_of_a_text_that_could_never_be_read_nothing_is_computed() -> None:
    # Below the bracket there may stand what changes every figure.
    shot = shot_of(PLAN.replace("keys:\n", "keys: [\n"))
    assert shot.tree.broken
    assert shot.plan is not None
    assert hints(shot) == []
    assert titles(shot) == ["2 errors"]
    assert hints(shot_of("[")) == titles(shot_of("[")) == []


# --- Everywhere -------------------------------------------------------------------------------------------------------


def example_club(encoding: Encoding = "utf-16") -> Documents:
    found = [path for path in sorted(EXAMPLES.rglob("*.yaml")) if kind_of(path.name)]
    texts = {path.relative_to(EXAMPLES).as_posix(): path.read_text("utf-8", "replace") for path in found}
    return documents(texts, encoding)


@pytest.mark.parametrize("uri", [uri for uri in example_club().uris() if "mistakes" not in uri])
def test_nothing_fails_at_any_place(uri: str) -> None:
    shot = example_club().snapshot(uri)
    assert shot is not None
    for offset in range(len(shot.source.text) + 1):
        position = shot.positions.position(shot.source, offset)
        found = hover(shot, types.HoverParams(types.TextDocumentIdentifier(uri), position))
        if found is not None and found.range is not None:
            span = shot.positions.span(shot.source, found.range)
            assert span.start <= offset <= span.end


@pytest.mark.parametrize("uri", [uri for uri in example_club().uris() if "mistakes" in uri])
def test_nothing_fails_in_what_is_wrong(uri: str) -> None:
    shot = example_club().snapshot(uri)
    assert shot is not None
    hints(shot)
    titles(shot)
    for offset in range(len(shot.source.text) + 1):
        position = shot.positions.position(shot.source, offset)
        hover(shot, types.HoverParams(types.TextDocumentIdentifier(uri), position))
