"""`lampwright bench`: reads one plan, makes the sheet that lies beside the soldering iron."""

from __future__ import annotations

from pathlib import Path

from lampwright.account.bench import BenchSheet, bench_sheet
from lampwright.cli.checking import DONE, FOUND, INCOMPLETE
from lampwright.cli.printing import complain, print_result
from lampwright.cli.programming import read_job
from lampwright.files import Files
from lampwright.rule.phrases import counted


def run_bench(path: str, form: str, output: str | None) -> int:
    """Print the sheet of the plan at `path` in `form`, "html", "markdown" or "json", or write it to the file `output`.

    It is made of a plan with errors as well, and says so at its top. Raises OSError, worded, if it cannot be written.
    """
    job = read_job(path, Files(Path.cwd()))
    if job is None:
        return INCOMPLETE
    sheet = bench_sheet(job.name, job.plan, job.programming, job.report, job.inexpressible)
    text = _rendered(sheet, form)
    if output is None:
        print_result(text)
    else:
        from lampwright.files.delivering import write_whole

        write_whole(Path(output), text)
        complain(f"the bench sheet of {job.name} is in {output}")
    if sheet.errors:
        complain(f"{job.name}: {counted(len(sheet.errors), 'error')} in it, named at the top of the sheet")
    return FOUND if sheet.errors else DONE


def _rendered(sheet: BenchSheet, form: str) -> str:
    # Nobody waits for the forms that he did not ask for.
    match form:
        case "json":
            from lampwright.render.bench_as_json import render_bench_json

            return render_bench_json(sheet)
        case "markdown":
            from lampwright.render.bench_as_markdown import render_bench_markdown

            return render_bench_markdown(sheet)
    from lampwright.render.bench_as_html import render_bench_html
    from lampwright.render.wiring_as_svg import wiring_pictures

    return render_bench_html(sheet, wiring_pictures(sheet.plan))
