"""The files for build services in examples/ci: right by their schemas, and each of their commands run in a club's repository.

What the services provide (a checkout, Python, variables, the shell) stands in here; the commands are the real ones.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from ruamel.yaml import YAML

from command import BURNING, PLAN, lay
from lampwright import __version__
from released import ROOT, SECONDS, outside
from repository import commit, git, start

FOLDER = ROOT / "examples" / "ci"
GITHUB, GITLAB, SHELL = FOLDER / "github-actions.yml", FOLDER / "gitlab.yml", FOLDER / "check-branch.sh"


# --- What they say ----------------------------------------------------------------------------------------------------


def test_every_file_is_tested_here() -> None:
    assert set(FOLDER.iterdir()) == {GITHUB, GITLAB, SHELL}


@pytest.mark.parametrize(("path", "schema"), [(GITHUB, "vendor.github-workflows"), (GITLAB, "vendor.gitlab-ci")])
def test_the_services_would_read_them(path: Path, schema: str) -> None:
    line = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, str(path)]
    done = subprocess.run(line, capture_output=True, text=True, check=False, timeout=SECONDS)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("path", [GITHUB, GITLAB, SHELL], ids=lambda path: path.name)
def test_where_the_package_comes_from_is_a_placeholder_with_our_version(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.count("PLACEHOLDER") == 1
    (source,) = re.findall(r"git\+https://[^\s}]+", text)
    assert source == f"git+https://git.example.org/lampwright@v{__version__}"


def test_actions_are_pinned_to_a_major_version() -> None:
    uses = [step["uses"] for step in steps() if "uses" in step]
    assert [each.partition("@")[0] for each in uses] == [
        "actions/checkout",
        "actions/setup-python",
        "github/codeql-action/upload-sarif",
    ]
    assert all(re.fullmatch(r"[\w/-]+@v\d+", each) for each in uses)


def test_the_script_is_one_for_every_shell() -> None:
    shellcheck = shutil.which("shellcheck")
    if shellcheck is None:
        pytest.skip("shellcheck is not installed")
    done = subprocess.run([shellcheck, str(SHELL)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "")


# --- A club and its service -------------------------------------------------------------------------------------------


class Outcome(NamedTuple):
    """What of a job failed, what its deciding check printed, and the folder that it ran in."""

    failed: list[str]
    told: str
    folder: Path


@dataclass
class Service:
    """A club's repository at a service: `main` with an old mistake that is known, `branch`, which changes something."""

    origin: Path
    desk: Path
    environment: Mapping[str, str]

    def propose(self, files: Mapping[str, str]) -> None:
        """A branch with these files; meanwhile others have put another mistake into main."""
        git("checkout", "-q", "-b", "branch")
        lay(files)
        commit("A branch")
        git("checkout", "-q", "main")
        lay({"meanwhile.lights.yaml": BURNING})
        commit("Meanwhile")
        git("push", "-q", "origin", "main", "branch")

    def land(self, files: Mapping[str, str]) -> None:
        """These files on main."""
        lay(files)
        commit("On main")
        git("push", "-q", "origin", "main")

    def clone(self, name: str, *fetch: str) -> Path:
        """A checkout as services make it: nothing but what was fetched, and no branch."""
        folder = self.desk.parent / name
        folder.mkdir()
        git("-C", str(folder), "init", "-q")
        git("-C", str(folder), "remote", "add", "origin", self.origin.as_uri())
        git("-C", str(folder), "fetch", "-q", "origin", *fetch)
        git("-C", str(folder), "checkout", "-q", "--detach", "FETCH_HEAD")
        return folder

    def run(self, line: list[str], folder: Path, **variables: str) -> subprocess.CompletedProcess[str]:
        environment = {**self.environment, **variables}
        options: dict[str, Any] = {"capture_output": True, "text": True, "timeout": SECONDS}
        return subprocess.run(line, check=False, cwd=folder, env=environment, **options)


@pytest.fixture
def service(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, wheel: Path, reachable_index: Path) -> Service:
    """`pip` and what it installs are those of an environment of their own, which is what `setup-python` gives."""
    monkeypatch.chdir(tmp_path)
    Path("desk").mkdir()
    monkeypatch.chdir("desk")
    lay({"old.lights.yaml": BURNING, "lampwright.yaml": "exclude: [attic/]\n", "attic/x.lights.yaml": BURNING})
    known = subprocess.run([sys.executable, "-m", "lampwright", "baseline", "known-findings.jsonl"], check=False)
    assert known.returncode == 0
    start()
    git("clone", "-q", "--bare", ".", "../origin.git")
    git("remote", "add", "origin", "../origin.git")
    path = f"{reachable_index / 'bin'}{os.pathsep}{os.environ['PATH']}"
    return Service(tmp_path / "origin.git", tmp_path / "desk", outside(PATH=path, LAMPWRIGHT=str(wheel)))


# --- GitHub -----------------------------------------------------------------------------------------------------------


def steps() -> list[dict[str, Any]]:
    workflow = YAML(typ="safe").load(GITHUB.read_text("utf-8"))
    (job,) = workflow["jobs"].values()
    listed: list[dict[str, Any]] = job["steps"]
    return listed


def on_github(service: Service, event: str) -> Outcome:
    """The job for "push" or "pull_request". For the latter the service makes a merge of main and the branch."""
    conditions = {
        None: lambda passed: passed,
        "always()": lambda _: True,
        **{
            f"github.event_name == '{each}'": lambda passed, each=each: passed and each == event
            for each in ("push", "pull_request")
        },
    }
    workspace = service.desk.parent / f"github-{event}"
    variables = {"GITHUB_BASE_REF": "main" if event == "pull_request" else "", "GITHUB_STEP_SUMMARY": f"{workspace}.md"}
    given: dict[str, Callable[[Mapping[str, Any]], None]] = {
        "actions/checkout": lambda options: checkout(service, event, int(options.get("fetch-depth", 1))),
        "actions/setup-python": lambda options: float(options["python-version"]) >= 3.11 or pytest.fail("too old"),
        "github/codeql-action/upload-sarif": lambda options: uploaded(workspace / options["sarif_file"]),
    }
    failed: list[str] = []
    told = ""
    for step in steps():
        if not conditions[step.get("if")](not failed):
            continue
        if "uses" in step:
            given[step["uses"].partition("@")[0]](step.get("with", {}))
            continue
        script = workspace.with_suffix(".sh")
        script.write_text(step["run"])
        done = service.run(["bash", "-e", str(script)], workspace, **variables)
        failed += [step["name"]] if done.returncode else []
        told += done.stdout if "github.event_name" in step.get("if", "") else ""
    return Outcome(failed, told, workspace)


def checkout(service: Service, event: str, depth: int) -> None:
    if event == "pull_request":
        git("checkout", "-q", "--detach", "main")
        git("merge", "-q", "--no-edit", "branch")
        git("push", "-q", "origin", "HEAD:refs/pull/1/merge")
    ref = "refs/pull/1/merge" if event == "pull_request" else "main"
    everything = ["+refs/heads/*:refs/remotes/origin/*"]
    folder = service.clone(f"github-{event}", *([f"--depth={depth}"] if depth else everything))
    git("-C", str(folder), "fetch", "-q", *([f"--depth={depth}"] if depth else []), "origin", ref)
    git("-C", str(folder), "checkout", "-q", "--detach", "FETCH_HEAD")


def uploaded(path: Path) -> None:
    if path.is_dir():
        return
    (run,) = json.loads(path.read_text("utf-8"))["runs"]
    assert run["tool"]["driver"]["name"] == "Lampwright"
    assert "old.lights.yaml" in {uri(result) for result in run["results"]}


def uri(result: Mapping[str, Any]) -> str:
    found: str = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    return found


@pytest.mark.parametrize("adds", [False, True])
def test_github_tells_of_what_a_pull_request_adds(service: Service, adds: bool) -> None:
    service.propose({"new.lights.yaml": BURNING if adds else PLAN})
    job = on_github(service, "pull_request")
    errors = re.findall(r"^::error file=([^,]+)", job.told, re.MULTILINE)
    assert (job.failed, errors) == ((["What this branch adds"], ["new.lights.yaml"]) if adds else ([], []))
    page = Path(f"{job.folder}.md").read_text("utf-8")
    # The page is of all that is not known, wherever it came from.
    listed = re.findall(r"^- `([^:`]+):\S+ \*\*", page, re.MULTILINE)
    assert listed == ["meanwhile.lights.yaml", *(["new.lights.yaml"] if adds else [])]


@pytest.mark.parametrize("adds", [False, True])
def test_github_tells_of_what_nobody_knew_of_main(service: Service, adds: bool) -> None:
    service.land({"new.lights.yaml": BURNING if adds else PLAN})
    job = on_github(service, "push")
    errors = re.findall(r"^::error file=([^,]+)", job.told, re.MULTILINE)
    assert (job.failed, errors) == (
        (["What nobody knew of the main branch"], ["new.lights.yaml"]) if adds else ([], [])
    )


@pytest.mark.parametrize(
    ("undone", "failed"),
    [
        # A folder stands where the report is to go.
        ({"lampwright.sarif/notes.txt": ""}, "All findings, for code scanning"),
        ({"known-findings.jsonl": "{"}, "All that is not known, for the summary of the job"),
    ],
)
def test_github_fails_where_work_is_left_undone(service: Service, undone: dict[str, str], failed: str) -> None:
    service.propose(undone)
    assert on_github(service, "pull_request").failed == [failed]


# --- GitLab -----------------------------------------------------------------------------------------------------------


def on_gitlab(service: Service, event: str) -> Outcome:
    """The one job whose rules hold for "push" (on main) or "merge_request_event" (on the head of the branch)."""
    document = YAML(typ="safe").load(GITLAB.read_text("utf-8"))
    is_branch = event == "merge_request_event"
    holds = {
        '$CI_PIPELINE_SOURCE == "merge_request_event"': is_branch,
        "$CI_COMMIT_BRANCH == $CI_DEFAULT_BRANCH": not is_branch,
    }
    jobs = [{**document[each["extends"]], **each} for each in document.values() if "extends" in each]
    (job,) = (job for job in jobs if any(holds[rule["if"]] for rule in job["rules"]))
    variables = {"CI_PIPELINE_SOURCE": event, "CI_DEFAULT_BRANCH": "main"}
    variables |= {"CI_MERGE_REQUEST_TARGET_BRANCH_NAME": "main"} if is_branch else {"CI_COMMIT_BRANCH": "main"}
    assert document["variables"]["GIT_DEPTH"] == "0"
    folder = service.clone(f"gitlab-{event}", "branch" if is_branch else "main")
    done = service.run(
        ["bash", "-eo", "pipefail", "-c", "\n".join([*job["before_script"], *job["script"]])], folder, **variables
    )
    assert job["artifacts"]["when"] == "always"
    report = folder / job["artifacts"]["reports"]["codequality"]
    if not report.is_dir():
        assert "old.lights.yaml" in {each["location"]["path"] for each in json.loads(report.read_text("utf-8"))}
    return Outcome(["the script"] if done.returncode else [], done.stdout, folder)


@pytest.mark.parametrize("event", ["merge_request_event", "push"])
@pytest.mark.parametrize("adds", [False, True])
def test_gitlab_tells_of_what_is_new(service: Service, event: str, adds: bool) -> None:
    change = {"new.lights.yaml": BURNING if adds else PLAN}
    if event == "push":
        service.land(change)
    else:
        service.propose(change)
    job = on_gitlab(service, event)
    errors = re.findall(r"^(\S+?):\d+:\d+: error", job.told, re.MULTILINE)
    assert (job.failed, errors) == ((["the script"], ["new.lights.yaml"]) if adds else ([], []))


@pytest.mark.parametrize("event", ["merge_request_event", "push"])
def test_gitlab_fails_where_work_is_left_undone(service: Service, event: str) -> None:
    undone = {"lampwright-quality.json/notes.txt": ""}
    if event == "push":
        service.land(undone)
    else:
        service.propose(undone)
    assert on_gitlab(service, event).failed == ["the script"]


# --- Any other --------------------------------------------------------------------------------------------------------


@pytest.fixture
def made_already(tmp_path: Path, reachable_index: Path) -> str:
    """A PATH with a `python3` that makes no environment, but gives one that is there: that saves seconds."""
    give = f'#!/bin/sh\n[ "$1 $2" = "-m venv" ] && rmdir "$3" && exec ln -s "{reachable_index}" "$3"\nexit 9\n'
    lay({"shim/python3": give}, tmp_path)
    (tmp_path / "shim" / "python3").chmod(0o755)
    return f"{tmp_path / 'shim'}{os.pathsep}{os.environ['PATH']}"


def by_script(service: Service, *arguments: str, **variables: str) -> tuple[Outcome, int]:
    """What the script says of the branch, and its status."""
    folder = service.clone("elsewhere", "+refs/heads/*:refs/remotes/origin/*")
    git("-C", str(folder), "checkout", "-q", "branch")
    done = service.run(["sh", str(SHELL), *arguments], folder, **variables)
    return Outcome(["the script"] if done.returncode else [], done.stdout, folder), done.returncode


@pytest.mark.parametrize("adds", [False, True])
def test_the_script_tells_of_what_a_branch_adds(service: Service, made_already: str, adds: bool) -> None:
    service.propose({"new.lights.yaml": BURNING if adds else PLAN})
    # Once all of it is real.
    arguments, variables = ((), {}) if adds else (("origin/main",), {"PATH": made_already})
    job, status = by_script(service, *arguments, **variables)
    errors = re.findall(r"^(\S+?):\d+:\d+: error", job.told, re.MULTILINE)
    assert (status, errors) == ((1, ["new.lights.yaml"]) if adds else (0, []))
    report = (job.folder / "lampwright-junit.xml").read_text("utf-8")
    assert ("new.lights.yaml:7" in report, "old.lights.yaml:7" in report) == (adds, False)


@pytest.mark.parametrize("lost", ["the baseline", "the package", "the branch"])
def test_the_script_says_when_work_is_left_undone(service: Service, made_already: str, lost: str) -> None:
    service.propose({"known-findings.jsonl": "{"} if lost == "the baseline" else {})
    arguments = ["origin/nowhere"] if lost == "the branch" else []
    variables = {"LAMPWRIGHT": "./nowhere.whl"} if lost == "the package" else {}
    job, status = by_script(service, *arguments, PATH=made_already, **variables)
    assert (status, "error:" in job.told) == (2, False)
