"""How a club takes the tool into an existing repository: each line of the README is run, and does what it promises."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import lampwright
from command import BURNING, PLAN, SPARE, lay, started
from lampwright import __version__
from lampwright.kinds import kind_of
from lampwright.syntax import Mapping, Sequence, parse
from lampwright.text import Source
from released import SECONDS, outside
from repository import commit, git, start

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
TYPED = SPARE.replace("14.5 V", "14,5 V").replace("\n", "\r\n")


def block(name: str) -> str:
    found = re.search(rf"<!-- {name} -->\n(.*?)<!-- end -->", README, re.DOTALL)
    assert found is not None
    return found[1]


def lines(name: str = "adopt") -> list[str]:
    """The commands of a block, one after the other."""
    return [line for part in re.findall(r"```sh\n(.*?)```", block(name), re.DOTALL) for line in part.splitlines()]


@pytest.fixture
def shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, str]:
    """A club's repository with old plans, which it also keeps elsewhere; and where its shell finds the command."""
    for module in ("lampwright", "pre_commit"):
        path = f"PYTHONPATH='{Path(lampwright.__file__).parents[1]}' " if module == "lampwright" else ""
        script = tmp_path / "bin" / module.replace("_", "-")
        lay({str(script): f'#!/bin/sh\n{path}exec "{sys.executable}" -m {module} "$@"\n'})
        script.chmod(0o755)
    (tmp_path / "club").mkdir()
    monkeypatch.chdir(tmp_path / "club")
    lay({"vehicles/old.lights.yaml": BURNING, "vehicles/typed.lights.yaml": TYPED, "attic/x.lights.yaml": BURNING})
    start()
    git("clone", "--quiet", "--bare", ".", "../origin.git")
    git("remote", "add", "origin", "../origin.git")
    git("fetch", "--quiet", "origin")
    return outside(PATH=f"{tmp_path / 'bin'}{os.pathsep}{os.environ['PATH']}")


def run(line: str, shell: dict[str, str]) -> subprocess.CompletedProcess[str]:
    command = ["/bin/sh", "-c", line]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=SECONDS, env=shell)


def test_each_line_of_the_readme_does_what_it_promises(shell: dict[str, str]) -> None:
    for line in lines():
        done = run(line, shell)
        assert done.returncode == 0, f"{line}: {done.stdout}{done.stderr}"
        assert done.stderr == "" or "--show" in line, f"{line}: {done.stderr}"
    # Mended to the byte, known, and kept.
    assert Path("vehicles/typed.lights.yaml").read_bytes() == SPARE.replace("\n", "\r\n").encode()
    assert Path("attic/x.lights.yaml").read_text() == BURNING
    assert len(Path("known-findings.jsonl").read_text().splitlines()) == 3
    assert git("status", "--porcelain") == ""

    # The hook stops a new mistake and lets everything else pass.
    lay({"vehicles/new.lights.yaml": BURNING})
    git("add", "-A")
    stopped = run("git commit -m New", shell)
    assert (stopped.returncode, "unprotected-led" in stopped.stdout + stopped.stderr) == (1, True)
    lay({"vehicles/new.lights.yaml": PLAN})
    assert run("git commit -a -m New", shell).returncode == 0

    # In CI, what the branch adds is found, and nothing else.
    git("checkout", "-q", "-b", "branch")
    (since,) = (line for line in lines() if "--since" in line)
    assert run(since, shell).returncode == 0
    lay({"vehicles/newer.lights.yaml": BURNING})
    commit_anyway("Newer")
    found = run(since, shell)
    assert (found.returncode, found.stdout.count("error:")) == (1, 1)


def commit_anyway(message: str) -> None:
    git("config", "core.hooksPath", os.devnull)
    commit(message)


def test_pre_commit_takes_the_place_of_the_hook(shell: dict[str, str], released: Path, hook_home: Path) -> None:
    Path("../lampwright").symlink_to(released)
    (written,) = re.findall(r"```yaml\n(.*?)```", block("hooks"), re.DOTALL)
    shell["PRE_COMMIT_HOME"] = str(hook_home)
    for line in lines():
        run(line, shell)
    lay({".pre-commit-config.yaml": written})
    for line in lines("hooks"):
        done = run(line, shell)
        assert done.returncode == 0, f"{line}: {done.stdout}{done.stderr}"
    assert git("status", "--porcelain") == ""

    # What is known passes, what is excluded is left alone; what is new is mended or stopped.
    attic = {"attic/y.lights.yaml": TYPED}
    lay({"vehicles/new.lights.yaml": BURNING, "vehicles/slip.lights.yaml": TYPED, **attic})
    git("add", "-A")
    stopped = run("git commit -m New", shell)
    assert (stopped.returncode, stopped.stderr.count("vehicles/new.lights.yaml:7:21: error")) == (1, 2)
    assert Path("vehicles/slip.lights.yaml").read_bytes() == SPARE.replace("\n", "\r\n").encode()
    assert Path("attic/y.lights.yaml").read_bytes() == TYPED.encode()
    Path("vehicles/new.lights.yaml").unlink()
    lay({"vehicles/slip.lights.yaml": PLAN})
    git("add", "-A")
    assert run("git commit -m New", shell).returncode == 0


def test_the_files_for_ci_go_where_they_say(shell: dict[str, str], released: Path) -> None:
    Path("../lampwright").symlink_to(released)
    for line in lines("ci"):
        done = run(line, shell)
        assert (done.returncode, done.stdout + done.stderr) == (0, ""), line
    copied = {".github/workflows/lighting-plans.yml": "github-actions.yml", ".gitlab-ci.yml": "gitlab.yml"}
    copied |= {"check-branch.sh": "check-branch.sh"}
    assert set(copied.values()) == {path.name for path in (ROOT / "examples" / "ci").iterdir()}
    for name, source in copied.items():
        text = Path(name).read_text("utf-8")
        assert text == (ROOT / "examples" / "ci" / source).read_text("utf-8")
        assert name in text, f"{source} does not say where it goes"


def test_the_section_needs_four_commands() -> None:
    used = {match[1] for line in lines() for match in re.finditer(r"(?:^|exec )lampwright (\w+)", line)}
    assert used == {"settings", "check", "fix", "baseline"}


# --- Hooks ------------------------------------------------------------------------------------------------------------


def listed(text: str) -> list[dict[str, object]]:
    root = parse(Source("x.yaml", text)).root
    assert isinstance(root, Sequence)
    return [dict(each) for each in root if isinstance(each, Mapping)]


def hooks() -> dict[str, dict[str, object]]:
    return {str(hook["id"]): hook for hook in listed((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))}


def test_the_hooks_are_those_that_the_readme_names() -> None:
    assert set(hooks()) == {"lampwright-fix", "lampwright-check", "lampwright-club"}
    assert set(re.findall(r"lampwright-(?:fix|check|club)", block("hooks"))) == set(hooks())
    assert f"rev: v{__version__}" in block("hooks")


@pytest.mark.parametrize("name", sorted(hooks()))
def test_a_hook_takes_our_files_and_no_others(name: str) -> None:
    pattern = re.compile(str(hooks()[name]["files"]))
    for path in (
        "a.lights.yaml", "fleet/b.decoder.yaml", "x/y/c.parts.yaml", "lampwright.yaml", "fleet/lampwright.yaml",
        "d.yaml", ".lights.yaml", "fleet/.lights.yaml", "e.lights.yml", "f.lights.yaml.orig", "mylampwright.yaml", "lampwright.yaml/x",
    ):  # fmt: skip
        assert bool(pattern.search(path)) == (kind_of(path) is not None), path


@pytest.mark.parametrize("name", sorted(hooks()))
def test_a_hook_runs(name: str, tmp_path: Path) -> None:
    hook = hooks()[name]
    lay({"a.lights.yaml": BURNING, "b.lights.yaml": PLAN.replace("14.5 V", "14,5 V")}, tmp_path)
    program, *arguments = str(hook["entry"]).split()
    assert program == "lampwright"
    named = [] if hook.get("pass_filenames") == "false" else ["b.lights.yaml"]
    done = started(*arguments, *named, cwd=tmp_path)
    assert done.returncode == (0 if name == "lampwright-fix" else 1), done.stderr
    text = (tmp_path / "b.lights.yaml").read_text()
    assert (text == PLAN) == (name == "lampwright-fix")
    assert (b"unprotected-led" in done.stdout) == (name == "lampwright-club")
