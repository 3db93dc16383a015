"""`lampwright figures`: reads one plan, prints what every resistor, lamp and output of it carries."""

from __future__ import annotations

from pathlib import Path

from lampwright.account.figures import plan_figures
from lampwright.cli.checking import DONE, INCOMPLETE
from lampwright.cli.plans import read_plan
from lampwright.cli.printing import print_result, terminal_width
from lampwright.files import Files
from lampwright.render.figures_as_json import render_figures_json
from lampwright.render.figures_as_text import WIDTH, render_figures_text


def run_figures(path: str, form: str) -> int:
    """Print the figures of the plan at `path` in `form`, "text" or "json"."""
    read = read_plan(path, Files(Path.cwd()))
    if read is None:
        return INCOMPLETE
    figures = plan_figures(read.plan)
    if form == "json":
        print_result(render_figures_json(read.name, figures))
    else:
        print_result(render_figures_text(read.name, read.plan, figures, terminal_width() or WIDTH))
    return DONE
