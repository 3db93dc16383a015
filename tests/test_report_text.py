"""What is printed for people, and what a terminal gets that a pipe does not."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
import wcwidth

from command import BURNING, PLAN, SECONDS, SHEET, Command, environment, lay
from lampwright.account.columns import _character_width
from lampwright.diagnostics import Finding, Fix, Note, Report, Undecided
from lampwright.harmless import visible
from lampwright.render.as_json import render_json
from lampwright.render.as_text import WIDTH, render_text
from lampwright.text import Source

ROOT = Path(__file__).parent.parent

# --- For people -------------------------------------------------------------------------------------------------------

SEVERAL = """\
vehicle: {name: Quarry switcher 7}
supply: {track: 14.5 V}
decoder: bench-six.decoder.yaml
lamps:
  spare lamp: {bulb: {voltage: 12 V, current: 40 mA}}  # lampwright: allow unwired-lamp -- not fitted yet
  front headlamp: {led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp, front headlamp]}
keys: {}
"""


def test_the_text_shows_line_culprit_other_places_fixes_and_a_summary(command: Command) -> None:
    lay({"a.lights.yaml": SEVERAL, "bench-six.decoder.yaml": SHEET.replace("limit: 100 mA, ", "")})
    lay({"lampwright.yaml": "levels: {duplicate-key: ignore, missing-unit: ignore}\n"})
    outcome = command("check", "a.lights.yaml")
    assert outcome.status == 1
    # The line of two findings and of the other place of the second one; a list of what could not be told; the sums.
    assert (
        outcome.out
        == """\
a.lights.yaml:8:57: error: the lamp "front headlamp" is wired a second time here [twice-wired-lamp]
    8 |   white: {circuit: [1.5 kohm 1/4 W 5 %, front headlamp, front headlamp]}
      |                                                         ^^^^^^^^^^^^^^
      |                                         -------------- the first time here

Not decided:
  a.lights.yaml:8:3: lacks a key that turns anything on
      dark-output
  a.lights.yaml:8:3: lacks a limit of this output on the decoder sheet
      overloaded-output

1 error, 0 warnings, 0 notes in 3 files; 1 allowed; 2 not decided; rules ignored: duplicate-key, missing-unit
"""
    )


def report(
    text: str, *places: tuple[str, str], other: str = "", fixes: tuple[Fix, ...] = (), name: str = "a"
) -> Report:
    """One finding at the first of `places`, a piece of `text` with a message, and notes at the others."""
    sources = [Source(name, text), Source("other", other)]

    def note(piece: str, message: str) -> Note:
        source = next(source for source in sources if piece in source.text)
        at = source.text.index(piece)
        return Note(source.span(at, at + len(piece)), message)

    first, *notes = [note(*place) for place in places]
    found = Finding(first.span, first.message, tuple(notes), fixes, rule="unknown-key")
    return Report((sources[0],), (found,))


def body(printed: str) -> list[str]:
    """Without the sums."""
    return printed.partition("\n\n")[0].splitlines()


def test_a_line_is_printed_once_with_all_its_places() -> None:
    text, other = "one: two, three\nfour: five\n", "six: seven\n"
    places = [
        ("two", "m"),
        ("three", "a"),
        ("five", "b"),
        ("four", "c"),
        ("six", "d"),
        ("seven", "e"),
        ("one", "f"),
        ("two", "g"),
    ]
    assert body(render_text(report(text, *places, other=other), colour=False)) == [
        "a:1:6: error: m [unknown-key]",
        "    1 | one: two, three",
        "      |      ^^^",
        "      |           ----- a",
        "      | --- f",
        "      |      --- g",
        "    2 | four: five",
        "      |       ---- b",
        "      | ---- c",
        "      other:1:1",
        "    1 | six: seven",
        "      | --- d",
        "      |      ----- e",
    ]


@pytest.mark.parametrize("width", [60, 80, 100, 120])
@pytest.mark.parametrize("before", [0, 1, 30, 50, 70, 90, 110, 500, 100_000])
@pytest.mark.parametrize("after", [0, 5, 60, 100_000])
def test_a_line_is_cut_to_the_terminal_and_the_culprit_stays_in_it(width: int, before: int, after: int) -> None:
    text = f"{'x' * before}CULPRIT{'y' * after}"
    _, line, marks, beside = body(
        render_text(report(text, ("CULPRIT", ""), ("CULPRIT", "a word")), colour=False, width=width)
    )
    assert len(line) <= width
    assert line[marks.index("^") : marks.rindex("^") + 1] == "CULPRIT"
    assert len(beside) <= width or before + 7 + 8 < width
    assert beside.replace("a word", "").strip("| ") == "-------"
    assert ("…" in line) == (len(text) + 8 > width)


def test_wide_characters_do_not_push_a_line_out_of_the_terminal() -> None:
    text = f"{'車' * 200}CULPRIT{'車' * 200}"
    lines = body(render_text(report(text, ("CULPRIT", "m")), colour=False, width=80))
    assert 60 < sum(2 if character == "車" else 1 for character in lines[1]) <= 80
    assert "CULPRIT" in lines[1]


def test_characters_are_as_wide_as_terminals_take_them_to_be() -> None:
    # The outside reference is the PyPI library wcwidth. Left out is what terminals do not agree upon: marks with a
    # column of their own (Mc), halves of flags, and the symbols that became wide with Unicode 16.
    disputed = re.compile("[\U0001f1e6-\U0001f1ff\u2630-\u2637\u268a-\u268f\u4dc0-\u4dff\U0001d300-\U0001d376]")
    wrong = [
        f"{number:04x}"
        for number in range(0x110000)
        if visible(character := chr(number)) == character
        and unicodedata.category(character) != "Mc"
        and not disputed.match(character)
        and wcwidth.wcwidth(character) != _character_width(character)
    ]
    assert wrong == []


@pytest.mark.parametrize("mark", ["\u0301", "\u20dd", "\ufe0f", "\u0e31", "\u094d", "\u0301\u0302\u0303"])
def test_marks_that_stand_on_a_letter_take_no_column(mark: str) -> None:
    lines = body(render_text(report(f"e{mark}: CULPRIT", ("CULPRIT", "m")), colour=False))
    assert lines[2] == "      |    ^^^^^^^"


def test_something_of_what_stands_before_a_culprit_is_shown_with_it() -> None:
    text = f"{'x' * 200}before CULPRIT{'y' * 200}"
    assert "before CULPRIT" in body(render_text(report(text, ("CULPRIT", "m")), colour=False, width=80))[1]


def test_two_places_of_one_long_line_are_shown_where_each_is() -> None:
    text = f"ONE{' x' * 300}TWO"
    lines = body(render_text(report(text, ("ONE", "m"), ("TWO", "n"), ("ONE", "o")), colour=False, width=80))
    shown = [line for line in lines if line.startswith("    1 | ")]
    assert [("ONE" in line, "TWO" in line) for line in shown] == [(True, False), (False, True), (True, False)]


@pytest.mark.parametrize(
    ("text", "piece", "shown", "marks"),
    [
        ("a: Ω\n", "Ω", "a: Ω", "   ^"),
        ("a: 車x\n", "x", "a: 車x", "     ^"),
        ("a: 車x\n", "車", "a: 車x", "   ^^"),
        ("e\u0301: x\n", "x", "e\u0301: x", "   ^"),
        ("\ta: x\n", "x", "→a: x", "    ^"),
        ("a: \x1b[31mx\n", "x", "a: \\u001b[31mx", "             ^"),
        ("a\u202e: x\n", "x", "a\\u202e: x", "         ^"),
        ("a: x  \r\n", "x", "a: x", "   ^"),
        ("a: \U0001f686\n", "\U0001f686", "a: \U0001f686", "   ^^"),
        ("a: [x,\n y]\n", "[x,\n y]", "a: [x,", "   ^^^"),
    ],
)
def test_marks_stand_under_what_the_eye_sees(text: str, piece: str, shown: str, marks: str) -> None:
    lines = body(render_text(report(text, (piece, "m")), colour=False))
    assert lines[1:] == [f"    1 | {shown}", f"      | {marks}"]


def test_nothing_that_a_file_says_reaches_the_terminal_as_a_command() -> None:
    nasty = "\x1b[2J\x07\r\n\x9b31m\u202e\u2066\u2028\ud800"
    text = f"a: {nasty.replace(chr(13), '').replace(chr(10), '')}\n"
    source = Source(f"x{nasty}", text)
    found = Finding(source.span(3, 5), nasty, (Note(source.span(0, 1), nasty),), (Fix(nasty, ()),), rule="unknown-key")
    printed = render_text(Report((source,), (found,), (Undecided(source.span(0, 1), nasty, "dim-led"),)), colour=False)
    assert not re.search("[^\\n -~…→]", printed)
    assert len(printed.splitlines()) == 11
    assert not re.search("[^\\n -~]", render_json(Report((source,), (found,))).replace("\\u", ""))


def test_what_lacks_the_same_in_one_file_is_said_once() -> None:
    source, other = Source("a", "x\n" * 30), Source("b", "x\n")
    items = [
        Undecided(source.span(2 * line, 2 * line + 1), "a bulb", rule)
        for line in range(30)
        for rule in ("dim-led", "dim-bulb")
    ]
    items += [Undecided(source.span(0, 1), "a lamp", "dim-led"), Undecided(other.span(0, 1), "a bulb", "dim-led")]
    printed = render_text(Report((source, other), (), tuple(items)), colour=False)
    assert printed.splitlines()[:7] == [
        "Not decided:",
        "  a:1:1: lacks a bulb (also lines 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 19 more)",
        "      dim-led, dim-bulb",
        "  a:1:1: lacks a lamp",
        "      dim-led",
        "  b:1:1: lacks a bulb",
        "      dim-led",
    ]
    assert printed.endswith("62 not decided\n")


# --- In a terminal ----------------------------------------------------------------------------------------------------


def in_terminal(*arguments: str, folder: Path, **variables: str) -> str:
    """What a terminal of 100 columns gets to see."""
    master, slave = pty.openpty()
    line = [sys.executable, "-m", "lampwright", *arguments]
    with subprocess.Popen(
        line, cwd=folder, stdout=slave, stdin=slave, env=environment(**{"COLUMNS": "100", **variables})
    ) as process:
        os.close(slave)
        seen = b""
        while True:
            try:
                piece = os.read(master, 65536)
            except OSError:
                # So Linux says that the other end was closed.
                break
            if not piece:
                break
            seen += piece
        process.wait(SECONDS)
    os.close(master)
    return seen.decode().replace("\r\n", "\n")


def test_colour_is_for_terminals_and_never_with_no_color(tmp_path: Path, command: Command) -> None:
    lay({"a.lights.yaml": BURNING})
    plain = command("check").out
    # As wide as what is printed elsewhere, so that lines end where they do there.
    wide = {"COLUMNS": str(WIDTH)}
    coloured = in_terminal("check", folder=tmp_path, **wide)
    assert "\x1b[1;31merror:\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert in_terminal("check", folder=tmp_path, NO_COLOR="1", **wide) == plain
    assert in_terminal("check", folder=tmp_path, TERM="dumb", **wide) == plain
    assert "\x1b" in in_terminal("check", folder=tmp_path, NO_COLOR="")
    assert "\x1b" not in in_terminal("check", "--format", "json", folder=tmp_path)


def test_a_long_line_fits_the_terminal(tmp_path: Path) -> None:
    lay(
        {
            "a.lights.yaml": PLAN.replace("{circuit: [1.5", f"{{{' ' * 200}circuit: [1.5").replace(
                "front headlamp]", "frnt]"
            )
        },
        tmp_path,
    )
    seen = in_terminal("check", folder=tmp_path, NO_COLOR="1")
    frame = [line for line in seen.splitlines() if " | " in line]
    assert "frnt" in frame[0]
    assert max(map(len, frame)) <= 100
    assert max(map(len, in_terminal("explain", folder=tmp_path).splitlines())) <= 100
