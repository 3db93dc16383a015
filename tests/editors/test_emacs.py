"""A real Emacs with our mode: what a person sees there, and what is in the files when they were saved."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from editor_seam import EDITORS, ROOT, Desk, fenced, installed

PAGE = EDITORS / "emacs" / "README.md"
SCRIPT = Path(__file__).with_name("drive.el")
# There the name of the part stands where none may stand, or in a version that is not read.
UNREAD = {"mistakes/wrong-shape.lights.yaml", "mistakes/unsupported-version.lights.yaml"}
PLAN = "mistakes/unprotected-led.lights.yaml"


@pytest.fixture
def emacs() -> str:
    package = "apt-get install emacs-nox elpa-eglot elpa-yaml-mode"
    found = installed("emacs", package)
    # Without --batch's -q: what the distribution has set up is needed.
    line = [found, "--batch", "--eval", "(progn (package-initialize) (require 'eglot) (require 'yaml-mode))"]
    if subprocess.run(line, capture_output=True, check=False, timeout=60).returncode:
        pytest.skip(f"Emacs has no eglot or no yaml-mode; {package}")
    return found


def test_a_day_in_emacs(emacs: str, tmp_path: Path) -> None:
    desk = Desk(tmp_path).set_up()
    folder = desk.home / ".emacs.d"
    (folder / "lisp").mkdir(parents=True)
    (folder / "lisp" / "lampwright.el").write_bytes((EDITORS / "emacs" / "lampwright.el").read_bytes())
    (init,) = fenced(PAGE, "elisp")
    (folder / "init.el").write_text(init, "utf-8")
    said = desk.said([emacs, "--batch", "-l", str(SCRIPT)], INIT=str(folder / "init.el"))

    # An unrelated YAML file keeps its mode and starts nothing; of ours, each kind does, and all share one server.
    assert said["other"] == ["yaml-mode"]
    assert said["other is served"] == [None]
    assert said["served"] == ["lampwright.yaml", "club.parts.yaml", "decoders/grit-six.decoder.yaml", PLAN]
    assert len(desk.servers()) == 1

    message = 'lampwright [unprotected-led]: nothing limits the current of the LED "front headlamp"'
    assert said["diagnostic"] == [[message, "front headlamp", "eglot-error"]]
    assert "at output white" in said["hover"][0]
    assert said["definition"] == ["decoders/grit-six.decoder.yaml"]
    assert said["offered"] == ["Put in 1.5 kohm 1/4 W"]
    assert said["left"] == [[]]
    assert said["completion"][0][0] == "1.5 kohm 1/4 W"

    # A lamp is renamed in its plan, a part in every file of the club, and nothing else has changed.
    assert said["asked"] == ["before it changes other files"]
    for path in (ROOT / "examples").rglob("*.yaml"):
        name = str(path.relative_to(ROOT / "examples"))
        expected = path.read_text("utf-8")
        if name not in UNREAD:
            expected = expected.replace("warm white 0805", "soft white 0805")
        if name == PLAN:
            expected = expected.replace("[front headlamp]", "[1.5 kohm 1/4 W, front headlamp]")
            expected = expected.replace("front headlamp", "smokebox lamp")
        assert desk.text(name) == expected, name
    assert "rror" not in said["messages"][0], said["messages"]
    assert desk.servers_left() == []
