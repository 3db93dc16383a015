"""New files: right whatever is asked for, true to every name, never in the place of another, and none if one stops."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pexpect
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from command import PLAN, SECONDS, SHEET, Command, environment, lay
from lampwright.cli.drafts import DRAFTS
from lampwright.engine import Refusal
from lampwright.files.writing import create_whole
from lampwright.plan.lighting import SCALES, SHELLS
from lampwright.plan.settings import SERIES
from lampwright.plan.sheet import INTERFACES
from lampwright.render.plan_to_fill import OutputToFill, PlanToFill, render_plan_to_fill
from lampwright.render.sheet_to_fill import render_sheet_to_fill
from lampwright.syntax.quoting import scalar
from seam import report

EXAMPLES = Path(__file__).parent.parent / "examples"
LOGIC_ALONE = "name: x\noutputs: {aux 1: {number: 1, logic-level: 5 V}}\n"
FIXED = """\
outputs: {white: {number: 1}, yellow: {number: 2}}
keys: {highest: 4, mapping: fixed, fixed: {F0: [{output: yellow}]}}
"""
REGULATED = "common: {regulated: 3.5 V}\noutputs: {white: {number: 1, limit: 1 mA}}\n"
ODD_NAMES = 'outputs: {"no": {number: 1}, "7 up": {number: 2}, Licht vorn: {number: 3}}\n'
SHEETS = {
    **{path.name: path.read_text("utf-8") for path in (EXAMPLES / "decoders").iterdir()},
    "logic.decoder.yaml": LOGIC_ALONE,
    "fixed.decoder.yaml": FIXED,
    "regulated.decoder.yaml": REGULATED,
    "odd.decoder.yaml": ODD_NAMES,
    "bench-six.decoder.yaml": SHEET,
}
CATALOGUE = {"club.parts.yaml": (EXAMPLES / "club.parts.yaml").read_text("utf-8")}
YAML_ITSELF = YAML(typ="safe", pure=True)


@pytest.fixture
def club(command: Command) -> Command:
    lay({**SHEETS, **CATALOGUE})
    return command


def made(command: Command, *arguments: str) -> str:
    """The new file, which is taken away again; the command must have made just that, and said so in a line."""
    before = set(Path().rglob("*"))
    outcome = command("new", *arguments)
    assert (outcome.status, outcome.err) == (0, "")
    (path,) = set(Path().rglob("*")) - before
    assert outcome.out == f"{path.as_posix()} is written; fill it in, and see what `lampwright check` says\n"
    found = command.json(str(path)).json
    loud = [
        each["message"] for each in found["findings"] if each["level"] != "note" and each["file"] == path.as_posix()
    ]
    assert loud == []
    text = path.read_text("utf-8")
    path.unlink()
    return text


def options(**given: str | None) -> list[str]:
    return [part for name, value in given.items() if value is not None for part in (f"--{name}", value)]


def enabled(text: str) -> str:
    """The file with all its proposals."""
    return "".join(line.removeprefix("#:") for line in text.splitlines(keepends=True))


# --- Right, whatever is asked for -------------------------------------------------------------------------------------


@pytest.mark.parametrize("scale", [None, *SCALES])
@pytest.mark.parametrize("parts", [None, "club.parts.yaml"])
def test_a_new_plan_is_right_with_every_sheet(club: Command, scale: str | None, parts: str | None) -> None:
    for sheet in (None, *SHEETS):
        text = made(club, "plan", "--name", "x", *options(scale=scale, decoder=sheet, parts=parts))
        plan = YAML_ITSELF.load(text)
        assert plan["vehicle"].get("scale") == scale
        assert plan["decoder"] == sheet or sheet is None
        assert plan.get("parts") == ([parts] if parts else None)
        assert plan["keys"] or sheet in {"logic.decoder.yaml", "fixed.decoder.yaml", "regulated.decoder.yaml"}


@pytest.mark.parametrize("address", [None, "1", "127", "128", "10239"])
@pytest.mark.parametrize("shell", [None, *SHELLS])
def test_a_new_plan_has_what_was_said(club: Command, address: str | None, shell: str | None) -> None:
    for name in (None, "Ore hauler 12"):
        vehicle = YAML_ITSELF.load(made(club, "plan", "a", *options(name=name, address=address, shell=shell)))[
            "vehicle"
        ]
        said = {"name": name or "a", "address": int(address) if address else None, "shell": shell}
        assert vehicle == {key: value for key, value in said.items() if value is not None}


def test_a_new_plan_has_the_outputs_of_its_sheet(club: Command) -> None:
    text = made(
        club, "plan", "--name", "x", "--scale", "HO", "--decoder", "grit-six.decoder.yaml", "--parts", "club.parts.yaml"
    )
    plan = YAML_ITSELF.load(text)
    assert plan["lamps"] == {name: {"part": "warm white 0805"} for name in ("front headlamp", "rear headlamp")}
    assert list(plan["outputs"]) == ["white", "yellow"]
    assert plan["keys"]["F0"]["turns-on"] == [
        {"output": "white", "when": "forward"},
        {"output": "yellow", "when": "reverse"},
    ]
    whole = YAML_ITSELF.load(enabled(text))
    assert list(whole["outputs"]) == ["white", "yellow", "green", "violet", "brown"]
    # A wire of logic level feeds no lamp.
    assert "#   aux6: it commands other things, and feeds no lamp\n" in text


def test_the_convention_of_the_house_is_kept(club: Command) -> None:
    lay({"lampwright.yaml": 'keys: {F0: "Lamps: all"}\nlevels: {key-off-convention: error}\n'})
    text = made(club, "plan", "--name", "x", "--scale", "N", "--decoder", "bench-six.decoder.yaml")
    assert YAML_ITSELF.load(text)["keys"]["F0"]["label"] == "Lamps: all"


def test_lamps_return_to_a_rail_where_the_plug_has_no_common_wire(club: Command) -> None:
    plan = YAML_ITSELF.load(made(club, "plan", "--name", "x", "--scale", "N", "--decoder", "pebble-four.decoder.yaml"))
    assert {output["return"] for output in plan["outputs"].values()} == {"rail"}


@pytest.mark.parametrize("interface", [None, *INTERFACES])
@pytest.mark.parametrize("outputs", [None, "white", "white, yellow,brown", "Licht vorn, no, 7 up, aux.1"])
def test_a_new_sheet_is_right(command: Command, interface: str | None, outputs: str | None) -> None:
    text = made(command, "decoder", "--name", "Bench six", *options(interface=interface, outputs=outputs))
    for each in (text, enabled(text)):
        sheet = YAML_ITSELF.load(each)
        names = [name.strip() for name in (outputs or "white, yellow, green, violet").split(",")]
        assert list(sheet["outputs"]) == names
        assert [output["number"] for output in sheet["outputs"].values()] == list(range(1, len(names) + 1))
        assert report(each, "a.decoder.yaml").findings == ()
    assert YAML_ITSELF.load(text).get("interface") == interface


@pytest.mark.parametrize("resistors", [None, "1.5 kohm", "1 kohm, 4k7,470R", "820 ohm,"])
def test_a_new_catalogue_is_right(command: Command, resistors: str | None) -> None:
    text = made(command, "parts", *options(resistors=resistors))
    listed = [{"value": each.strip()} for each in (resistors or "").split(",") if each.strip()]
    assert YAML_ITSELF.load(text).get("resistors") == (listed or None)
    assert report(enabled(text), "a.parts.yaml").findings == ()
    assert set(YAML_ITSELF.load(enabled(text))) == {"parts-catalogue", "lamps", "resistors"}


@pytest.mark.parametrize("track", [None, "14.5 V", "13 V to 16 V"])
@pytest.mark.parametrize("series", [None, *SERIES])
def test_new_settings_are_right(command: Command, track: str | None, series: str | None) -> None:
    text = made(command, "settings", *options(track=track, resistors=series))
    loaded = YAML_ITSELF.load(text)
    assert loaded == {
        "lampwright": 1,
        **({"supply": {"track": track}} if track else {}),
        **({"resistors": series} if series else {}),
    }
    assert report(enabled(text), "lampwright.yaml").findings == ()


@pytest.mark.parametrize("scale", [None, "N", "G"])
@pytest.mark.parametrize("sheet", [None, "grit-six.decoder.yaml", "ledge-nine.decoder.yaml", "odd.decoder.yaml"])
def test_all_proposals_of_a_plan_together_are_a_plan(club: Command, scale: str | None, sheet: str | None) -> None:
    text = enabled(made(club, "plan", "--name", "x", *options(scale=scale, decoder=sheet)))
    found = report(text, files=SHEETS).findings
    # What a key can reach is a matter of the decoder, and what suits the vehicle one of the vehicle.
    but = {"unreachable-output", "key-out-of-reach"}
    assert [each.message for each in found if each.rule not in but and each.level.word == "error"] == []


# --- True to every name -----------------------------------------------------------------------------------------------

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(lambda text: text.strip())


@given(NAMES)
@settings(max_examples=500, deadline=None)
def test_every_text_comes_back_from_yaml(text: str) -> None:
    for written in (f"a: {scalar(text)}\n", f"a: {{b: [{scalar(text)}, c]}}\n", f"{scalar(text)}: a\n"):
        assert "\n" not in written[:-1]
        loaded = YAML_ITSELF.load(StringIO(written))
        found = loaded.get("a", loaded)
        assert found in (text, {"b": [text, "c"]}, {text: "a"})
        (line,) = written.splitlines()
        assert line.isprintable()


@given(NAMES, st.lists(NAMES, min_size=1, max_size=4, unique=True))
@settings(max_examples=200, deadline=None)
def test_names_stand_in_new_files_as_they_are(name: str, others: list[str]) -> None:
    outputs = [OutputToFill(each) for each in others]
    empty = PlanToFill(name, None, None, None, f"{name}.decoder.yaml", others, outputs, None)
    plan = YAML_ITSELF.load(render_plan_to_fill(empty))
    assert plan["vehicle"]["name"] == name
    assert plan["decoder"] == f"{name}.decoder.yaml"
    assert plan["parts"] == others
    sheet = YAML_ITSELF.load(enabled(render_sheet_to_fill(name, None, others)))
    assert sheet["name"] == name
    assert list(sheet["outputs"]) == others == list(sheet["registers"][0]["cv"])


@pytest.mark.parametrize(
    "name",
    ["a: b", "# no", "'", '"', "- x", "no", "0805", "1e3", "Ω 車", "a\nb: 1", "x\r\n---\n", "{a}", "\\n", "\x1b[2J"],
)
def test_names_of_the_command_line_stand_in_the_file(command: Command, name: str) -> None:
    assert YAML_ITSELF.load(made(command, "plan", "a", "--name", name))["vehicle"]["name"] == name.strip()
    assert YAML_ITSELF.load(made(command, "decoder", "a", "--name", name))["name"] == name.strip()


@pytest.mark.parametrize("folder", ["a, b'c\"d: e", "Ä #1", "x"])
def test_paths_are_written_as_the_new_file_needs_them(command: Command, folder: str) -> None:
    lay(
        {
            f"{folder}/bench-six.decoder.yaml": SHEET,
            f"{folder}/drawer 1.parts.yaml": "",
            "plans/x": "",
            "lampwright.yaml": "",
        }
    )
    text = made(command, "plan", "plans", "--name", "Crane 6", "--decoder", f"{folder}/bench-six.decoder.yaml")
    assert YAML_ITSELF.load(text)["decoder"] == f"../{folder}/bench-six.decoder.yaml"
    text = made(command, "plan", f"{folder}/crane", "--name", "Crane 6", "--parts", f"{folder}/drawer 1.parts.yaml")
    assert YAML_ITSELF.load(text)["parts"] == ["drawer 1.parts.yaml"]


@pytest.mark.parametrize(
    ("arguments", "file"),
    [
        (["plan", "--name", "Saddle tank 5"], "saddle-tank-5.lights.yaml"),
        (["plan", "--name", "Größe: 車/Ω"], "grösse-車-ω.lights.yaml"),
        (["plan", "--name", "../../x"], "x.lights.yaml"),
        (["plan", "--name", "?!"], "new.lights.yaml"),
        (["plan", "crane"], "crane.lights.yaml"),
        (["plan", "crane.lights.yaml"], "crane.lights.yaml"),
        (["plan", "fleet/", "--name", "Crane"], "fleet/crane.lights.yaml"),
        (["decoder", "fleet/bench-six"], "fleet/bench-six.decoder.yaml"),
        (["parts"], "club.parts.yaml"),
        (["parts", "drawer.parts.yaml"], "drawer.parts.yaml"),
        (["settings"], "lampwright.yaml"),
        (["settings", "fleet"], "fleet/lampwright.yaml"),
    ],
)
def test_a_new_file_is_called_as_one_would_call_it(command: Command, arguments: list[str], file: str) -> None:
    lay({"fleet/x": ""})
    outcome = command("new", *arguments)
    assert (outcome.status, outcome.err) == (0, "")
    assert Path(file).is_file()


# --- Refused, in one line, and nothing is written ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["plan"], "it needs a name: say it with --name"),
        (["plan", "a", "--name", "x", "--scale", "H0"], "--scale: it is one of Z, N, TT, HO, S, O and G"),
        (["plan", "a", "--address", "-3"], "--address: it is a whole number from 1 to 10239"),
        (["plan", "a", "--address", "²"], "--address: it is a whole number from 1 to 10239"),
        (["plan", "a", "--address", "20000"], "--address: it is a whole number from 1 to 10239"),
        (["plan", "a", "--address", "0"], "--address: it is a whole number from 1 to 10239"),
        (["plan", "a", "--shell", "wood"], "--shell: it is one of plastic, resin and metal"),
        (["plan", "a", "--decoder", "none.decoder.yaml"], "--decoder: none.decoder.yaml: there is no such file"),
        (["plan", "a", "--decoder", "a.yaml"], "--decoder: a.yaml: its name must end in .decoder.yaml"),
        (["plan", "a", "--decoder", "../out.decoder.yaml"], "--decoder: ../out.decoder.yaml: there is no such file"),
        (["plan", "a", "--parts", "x.parts.yaml"], "--parts: x.parts.yaml: there is no such file"),
        (["plan", "a.decoder.yaml"], "a.decoder.yaml: its name must end in .lights.yaml"),
        (["plan", "a.yml"], "a.yml: its name must end in .lights.yaml"),
        (["plan", "none/a"], "none/a.lights.yaml: there is no such folder to put it into"),
        (["plan", "there.lights.yaml"], "there.lights.yaml: something of that name is there already"),
        (["plan", "there"], "there.lights.yaml: something of that name is there already"),
        (["plan", "dangling"], "dangling.lights.yaml: something of that name is there already"),
        (["decoder", "a", "--outputs", "a:b"], '--outputs: "a:b" can be no name'),
        (["decoder", "a", "--outputs", "a, b, a"], "--outputs: a stands there twice"),
        (["decoder", "a", "--interface", "NEM 1"], "--interface: it is one of"),
        (["parts", "--resistors", "12 V"], "club.parts.yaml: "),
        (["settings", "--track", "14,5 V"], "lampwright.yaml: "),
        (["settings", "house"], "house: its name must be lampwright.yaml"),
    ],
)
def test_what_will_not_do_is_one_line(command: Command, arguments: list[str], words: str) -> None:
    lay({"there.lights.yaml": PLAN})
    Path("dangling.lights.yaml").symlink_to("nowhere")
    before = sorted(Path().iterdir())
    outcome = command("new", *arguments)
    assert (outcome.status, outcome.out) == (2, "")
    (line,) = outcome.err.splitlines()
    assert line.startswith(f"lampwright: {words}")
    assert sorted(Path().iterdir()) == before
    assert Path("there.lights.yaml").read_text("utf-8") == PLAN


def test_a_folder_that_is_write_protected_is_one_line(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    outcome = command("new", "plan", "a")
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err == "lampwright: a.lights.yaml: you have no permission to write it or into its folder\n"


# --- Never in the place of another ------------------------------------------------------------------------------------


@pytest.mark.parametrize("has_second_names", [True, False])
def test_of_several_at_once_one_makes_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, has_second_names: bool
) -> None:
    path = tmp_path / "a"
    if not has_second_names:
        monkeypatch.setattr(Path, "hardlink_to", _refuse)
    assert create_whole(path, b"first") is None
    assert create_whole(path, b"second") == Refusal("exists")
    assert path.read_bytes() == b"first"
    assert path.stat().st_mode & 0o777 == 0o666 & ~_mask()
    assert [each.name for each in tmp_path.iterdir()] == ["a"]


def _refuse(*_: object) -> None:
    raise PermissionError(errno.EPERM, "Operation not permitted")


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


@pytest.mark.parametrize("failing", ["os.fsync", "os.fdopen"])
def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(failing, full)
    assert create_whole(tmp_path / "a", b"x") == Refusal("no space left on device")
    assert list(tmp_path.iterdir()) == []


def test_two_processes_do_not_both_make_it(tmp_path: Path) -> None:
    line = [sys.executable, "-m", "lampwright", "new", "plan", "a", "--name"]
    starts = [
        subprocess.Popen(
            [*line, f"n{number}"], cwd=tmp_path, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        for number in range(4)
    ]
    statuses = [process.wait(SECONDS) for process in starts]
    assert sorted(statuses) == [0, 2, 2, 2]
    name = YAML_ITSELF.load(tmp_path / "a.lights.yaml")["vehicle"]["name"]
    assert name == f"n{statuses.index(0)}"
    assert [each.name for each in tmp_path.iterdir()] == ["a.lights.yaml"]


# --- Asking -----------------------------------------------------------------------------------------------------------


@pytest.fixture
def terminal(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[pexpect.spawn]:
    """The command in a terminal, with the arguments of the test's mark."""
    lay({"bench-six.decoder.yaml": SHEET}, tmp_path)
    arguments = ["-m", "lampwright", "new", *request.param]
    process = pexpect.spawn(
        sys.executable, arguments, cwd=str(tmp_path), env=environment(), encoding="utf-8", timeout=SECONDS
    )
    yield process
    process.close(force=True)


def answer(process: pexpect.spawn, *answers: tuple[str, str]) -> None:
    for question, words in answers:
        process.expect_exact(question)
        process.sendline(words)


@pytest.mark.parametrize("terminal", [["plan"]], indirect=True)
def test_one_is_asked_for_all_and_again_after_a_slip(terminal: pexpect.spawn, tmp_path: Path) -> None:
    answer(
        terminal,
        ("What the vehicle is called: ", ""),
        ("it needs a name", "Ore hauler: 12"),
        ("Scale: ", "H0"),
        ("it is one of", "HO"),
        ("Address: ", "2107"),
        ("Shell: ", ""),
        ("Decoder sheet", "bench.decoder.yaml"),
        ("there is no such file", "bench-six.decoder.yaml"),
        ("Parts catalogues", ""),
    )
    terminal.expect_exact("ore-hauler-12.lights.yaml is written")
    terminal.expect(pexpect.EOF)
    plan = YAML_ITSELF.load(tmp_path / "ore-hauler-12.lights.yaml")
    assert plan["vehicle"] == {"name": "Ore hauler: 12", "scale": "HO", "address": 2107}
    assert plan["decoder"] == "bench-six.decoder.yaml"


@pytest.mark.parametrize("terminal", [["decoder", "--name", "Six", "--interface", "NEM 652"]], indirect=True)
def test_one_is_not_asked_for_what_was_said_and_enter_takes_what_is_usual(
    terminal: pexpect.spawn, tmp_path: Path
) -> None:
    answer(terminal, ("Outputs in the order of their numbers [white, yellow, green, violet]: ", ""))
    terminal.expect(pexpect.EOF)
    assert "called" not in terminal.before
    assert len(YAML_ITSELF.load(tmp_path / "six.decoder.yaml")["outputs"]) == 4


@pytest.mark.parametrize("terminal", [["plan", "--name", "x", "--no-questions"]], indirect=True)
def test_one_who_wants_no_questions_gets_none(terminal: pexpect.spawn) -> None:
    terminal.expect(pexpect.EOF)
    assert terminal.before.startswith("x.lights.yaml is written")


@pytest.mark.parametrize("terminal", [["plan", "crane"]], indirect=True)
@pytest.mark.parametrize(("key", "status"), [("\x03", 130), ("\x04", 2)], ids=["Ctrl-C", "Ctrl-D"])
@pytest.mark.parametrize("questions", [0, 1, 4])
def test_who_stops_has_written_nothing(
    terminal: pexpect.spawn, tmp_path: Path, key: str, status: int, questions: int
) -> None:
    answer(terminal, *[("called [crane]: ", ""), ("Scale", "N"), ("Address", "3"), ("Shell", "metal")][:questions])
    terminal.expect_exact(["What the vehicle", "Scale", "Address", "Shell", "Decoder"][questions])
    terminal.expect_exact(": ")
    terminal.send(key)
    terminal.expect(pexpect.EOF)
    terminal.close()
    assert terminal.exitstatus == status
    assert "Traceback" not in terminal.before
    assert [each.name for each in tmp_path.iterdir()] == ["bench-six.decoder.yaml"]


def test_the_kinds_are_those_that_are_read() -> None:
    assert len({draft.kind for draft in DRAFTS.values()}) == len(DRAFTS) == 4
