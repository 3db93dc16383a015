"""The one plan that a command is for: read with all that it refers to, or one line that says why not."""

from __future__ import annotations

from pathlib import Path

from lampwright.cli.checking import REFUSALS
from lampwright.cli.printing import complain
from lampwright.diagnostics import Refusal
from lampwright.engine import plan_of
from lampwright.files import Files
from lampwright.kinds import Kind, kind_of
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.records import dataclass
from lampwright.settings import Governance
from lampwright.text import Source


@dataclass(frozen=True, slots=True)
class ReadPlan:
    """A plan that could be read: the file as it is shown, its text, the settings that govern it."""

    name: str
    source: Source
    settings: Settings
    governance: Governance
    plan: LightingPlan


def read_plan(given: str, files: Files) -> ReadPlan | None:
    """The plan in the file `given`; None after a complaint if there is none that can be read."""
    source = read_source(given, files)
    if source is None:
        return None
    path, governance = Path(given), Governance(files)
    name = files.shown(path)
    if kind_of(path.name) is not Kind.LIGHTING_PLAN:
        complain(f"{name}: this is no lighting plan, whose name would end in .lights.yaml")
        return None
    settings = governance.settings(path)
    plan = plan_of(source, settings, files.load)
    if plan is None:
        complain(f"{name}: there is no plan in it that can be read; `lampwright check` says why")
        return None
    return ReadPlan(name, source, settings, governance, plan)


def read_source(given: str, files: Files) -> Source | None:
    """The file `given`; None after a complaint if it cannot be had."""
    if not given:
        complain("an empty path names no file")
        return None
    path = Path(given)
    source = files.source(path)
    if isinstance(source, Refusal):
        complain(f"{files.shown(path)}: {REFUSALS.get(source.reason, source.reason)}")
        return None
    return source
