"""`lampwright states`: reads one plan, prints which of its lamps burns when, and how."""

from __future__ import annotations

from pathlib import Path

from lampwright.account.states import plan_states
from lampwright.cli.checking import DONE, INCOMPLETE
from lampwright.cli.plans import read_plan
from lampwright.cli.printing import columns, print_result, shows
from lampwright.files import Files
from lampwright.render.states_as_grid import WIDTH as GRID_WIDTH
from lampwright.render.states_as_grid import render_states_grid
from lampwright.render.states_as_json import render_states_json
from lampwright.render.states_as_text import WIDTH, render_states_text


def run_states(path: str, form: str) -> int:
    """Print the state table of the plan at `path` in `form`, "text", "grid" or "json"."""
    read = read_plan(path, Files(Path.cwd()))
    if read is None:
        return INCOMPLETE
    states = plan_states(read.plan)
    if form == "json":
        print_result(render_states_json(read.name, states))
    elif form == "grid":
        width, has_signs = columns(GRID_WIDTH), shows("●→←·")
        print_result(render_states_grid(read.name, read.plan, states, width, has_signs=has_signs))
    else:
        print_result(render_states_text(read.name, read.plan, states, columns(WIDTH)))
    return DONE
