"""`lampwright figures`: reads one plan, prints what every resistor, lamp and output of it carries."""

from __future__ import annotations

import os
from pathlib import Path

from lampwright.account.figures import plan_figures
from lampwright.cli.checking import DONE, INCOMPLETE
from lampwright.cli.plans import read_plan
from lampwright.cli.printing import columns, print_result, shows, terminal_width
from lampwright.files import Files
from lampwright.render.figures_as_json import render_figures_json
from lampwright.render.figures_as_text import WIDTH, render_figures_text
from lampwright.render.wiring_as_text import Manner, render_wiring_text


def run_figures(path: str, form: str) -> int:
    """Print the figures of the plan at `path` in `form`, "text" or "json", or its "wiring"."""
    read = read_plan(path, Files(Path.cwd()))
    if read is None:
        return INCOMPLETE
    if form == "wiring":
        print_result(render_wiring_text(read.name, read.plan, _manner()))
        return DONE
    figures = plan_figures(read.plan)
    if form == "json":
        print_result(render_figures_json(read.name, figures))
    else:
        print_result(render_figures_text(read.name, read.plan, figures, columns(WIDTH)))
    return DONE


def _manner() -> Manner:
    """What standard output can show: all of it but colours, unless it is a terminal that says otherwise."""
    width = terminal_width()
    if width is None:
        return Manner()
    has_colour = not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    return Manner(has_colour, shows("─┬▷⊗"), width)
