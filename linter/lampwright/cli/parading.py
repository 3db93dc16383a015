"""`lampwright fleet`: has all plans checked, reads them, prints the page of the whole club."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.account.fleet_page import FleetPage, fleet_page
from lampwright.account.fleet_sayings import said_sums, said_title
from lampwright.cli.checking import (
    DONE,
    INCOMPLETE,
    NOTHING_KNOWN,
    Manner,
    Run,
    may_deliver,
    report_of,
    run_of,
    tell_failures,
)
from lampwright.cli.printing import complain, print_result, terminal_width
from lampwright.cli.reporting import Delivery
from lampwright.diagnostics import Report
from lampwright.engine import plan_of
from lampwright.files import Files
from lampwright.kinds import Kind, kind_of
from lampwright.model.lighting import LightingPlan

if TYPE_CHECKING:
    from argparse import Namespace


def run_fleet(options: Namespace) -> int:
    """Print the page of the plans that `options.paths` name in `options.format`, or write it to `options.output`.

    Raises OSError, worded for the user, if it cannot be written.
    """
    if not may_deliver(Delivery(output=options.output)):
        return INCOMPLETE
    run = run_of("", Files(Path.cwd()), Manner(not options.no_cache, options.heed_exclude))
    if "-" in options.paths:
        complain("standard input is one file, and no fleet")
        return INCOMPLETE
    report = report_of(run, options.paths, NOTHING_KNOWN)
    tell_failures(report)
    page = fleet_page(report, dict(_plans(run, report)))
    if not page.vehicles:
        if not report.failures:
            complain("there is no lighting plan in what was named")
        return INCOMPLETE
    _deliver(page, options.format, options.output)
    unread = [vehicle.file for vehicle in page.vehicles if vehicle.vehicle is None]
    for file in unread:
        complain(f"{file}: there is no plan in it that can be read; `lampwright check` says why")
    return INCOMPLETE if unread or report.failures else DONE


def _plans(run: Run, report: Report) -> Iterator[tuple[str, LightingPlan]]:
    """What can be read of the plans, by file. The report may be recalled, and then nobody has read them yet."""
    for source in report.sources:
        if kind_of(source.name) is Kind.LIGHTING_PLAN:
            plan = plan_of(source, run.governance.settings(run.files.path(source)), run.files.load)
            if plan is not None:
                yield source.name, plan


def _deliver(page: FleetPage, form: str, output: str | None) -> None:
    text = _rendered(page, form, output)
    if output is None:
        print_result(text)
        return
    from lampwright.files.delivering import write_whole

    write_whole(Path(output), text)
    complain(f"{said_title(page)}, {said_sums(page)}; the page is in {output}")


def _rendered(page: FleetPage, form: str, output: str | None) -> str:
    # Nobody waits for the forms that he did not ask for.
    if form == "text":
        from lampwright.render.fleet_as_text import WIDTH, render_fleet_text

        return render_fleet_text(page, (terminal_width() if output is None else None) or WIDTH)
    text: str = getattr(import_module(f"lampwright.render.fleet_as_{form}"), f"render_fleet_{form}")(page)
    return text
