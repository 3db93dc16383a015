"""Editors without a client: the report in lines as Vim and Emacs jump by it, and the schemas as a file or an editor names them."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

from command import lay
from editor_seam import EDITORS, ROOT, SECONDS, Desk, fenced, installed
from lampwright.kinds import Kind, kind_of

HERE = Path(__file__).parent
PAGE = EDITORS / "any" / "README.md"
NAMED = "mistakes/a van, großer.lights.yaml"
# Behind what is no ASCII, a column counts characters, not bytes.
PLAN = """\
vehicle: {name: Größe 9}
decoder: ../decoders/grit-six.decoder.yaml
parts: [../club.parts.yaml]
lamps:
  Lämpchen: {part: warm white 0805}
outputs: {white: {effect: glühend, circuit: [Lämpchen]}}
keys:
  F0: {label: Headlamps, turns-on: [{output: white, when: forward}]}
"""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    desk = Desk(tmp_path).set_up()
    lay({NAMED: PLAN}, desk.club)
    return desk


def found(desk: Desk) -> list[tuple[Path, int, int, str, str]]:
    """What the command finds in the club: file, line, column, level, message."""
    line = [str(desk.folder / "bin" / "lampwright"), "check", "--no-cache", "--format", "json"]
    done = subprocess.run(
        line, cwd=desk.club, env=desk.environment(), capture_output=True, check=False, timeout=SECONDS
    )
    findings = json.loads(done.stdout)["findings"]
    return [
        (
            desk.club / each["file"],
            each["line"],
            each["column"],
            each["level"],
            f"{each['message']} [{each['rule']}]",
        )
        for each in findings
        if not each.get("allowed")
    ]


def test_vim_jumps_to_each_finding(desk: Desk) -> None:
    vim = installed("vim", "apt-get install vim-nox")
    (settings,) = fenced(PAGE, "vim")
    (desk.home / ".vimrc").write_text(settings, "utf-8")
    heard = desk.folder / "heard"
    line = [vim, "-N", "-u", str(desk.home / ".vimrc"), "-n", "-i", "NONE", "-es", "-S", str(HERE / "jump.vim")]
    environment = desk.environment(HEARD=str(heard))
    subprocess.run(line, cwd=desk.club, env=environment, check=True, timeout=SECONDS)
    entries, texts = (json.loads(each) for each in heard.read_text("utf-8").splitlines())
    jumps = [each for each in entries if each[0]]
    assert [(desk.club / name, line, column, level, text) for _, name, line, column, _, level, text in jumps] == [
        (path, line, column, level[0], text) for path, line, column, level, text in found(desk)
    ]
    assert all(is_of_the_screen for _, _, _, _, is_of_the_screen, _, _ in jumps)
    there = [text for entry, text in zip(entries, texts, strict=True) if entry[1] == NAMED]
    assert [text[:8] for text in there] == ["glühend,", "Lämpchen"]
    # The last line says what was not checked; there is nowhere to go from it.
    assert [each[-1].split(":")[0] for each in entries if not each[0]] == ["lampwright"]


def test_emacs_jumps_to_each_finding(desk: Desk) -> None:
    emacs = installed("emacs", "apt-get install emacs-nox")
    (init,) = fenced(PAGE, "elisp")
    (desk.home / "init.el").write_text(init, "utf-8")
    line = [emacs, "--batch", "-l", str(HERE / "jump.el")]
    said = desk.said(line, INIT=str(desk.home / "init.el"), LINE="lampwright check --format line")
    assert said["at"] == [[str(path), line, column] for path, line, column, _, _ in found(desk)]


def test_the_line_that_names_a_schema_changes_no_report(desk: Desk) -> None:
    """Neither what is found in a plan nor where, but for all standing a line further down."""
    before = found(desk)
    first = fenced(PAGE, "yaml")[0]
    plans = list(desk.club.rglob(f"*{Kind.LIGHTING_PLAN.value}"))
    for plan in plans:
        plan.write_bytes(first.encode() + plan.read_bytes())
    moved = [(path, line + (path in plans), column, level, message) for path, line, column, level, message in before]
    assert len(plans) > 60
    assert found(desk) == moved


def test_the_schemas_that_are_named_are_there_and_for_the_files_that_are_ours() -> None:
    (named,) = re.findall(r"\$schema=(\S+)", fenced(PAGE, "yaml")[0])
    assert (ROOT / "examples" / named).is_file()
    (settings,) = fenced(PAGE, "json")
    globs = json.loads(settings)["yaml.schemas"]
    titles = {}
    for path, glob in globs.items():
        kind = kind_of(glob.replace("*", "saddle-tank"))
        titles[kind] = json.loads((ROOT / path).read_text("utf-8"))["title"]
    assert titles == {
        Kind.LIGHTING_PLAN: "Lighting plan",
        Kind.DECODER_SHEET: "Decoder sheet",
        Kind.PARTS_CATALOGUE: "Parts catalogue",
        Kind.SETTINGS: "Settings",
    }
