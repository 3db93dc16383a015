"""`lampwright cvs`: reads one plan, prints what its decoder is to be programmed with, or compares what was read out."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from lampwright.analysis.programming import Programming, after_reset, programming_facts
from lampwright.analysis.programming.comparison import compared
from lampwright.analysis.programming.description import described
from lampwright.analysis.programming.vehicle import HIGHEST_LONG, HIGHEST_SHORT
from lampwright.cli.checking import DONE, FOUND, INCOMPLETE
from lampwright.cli.plans import read_plan, read_source
from lampwright.cli.printing import columns, complain, print_result
from lampwright.diagnostics import Finding, Report, Severity
from lampwright.engine import check
from lampwright.engine.read_back import ReadBack, Stray, read_back
from lampwright.files import Files
from lampwright.model.lighting import LightingPlan
from lampwright.model.vehicle import Address
from lampwright.patterns import pattern
from lampwright.records import dataclass, replace
from lampwright.render.cvs_as_csv import render_cvs_csv
from lampwright.render.cvs_as_json import render_cvs_json
from lampwright.render.cvs_as_packets import render_cvs_packets
from lampwright.render.cvs_as_text import WIDTH, render_cvs_text
from lampwright.render.keys_as_yaml import render_keys_yaml
from lampwright.render.read_back import render_read_back_json, render_read_back_text
from lampwright.text import Source

RULES = (
    "unreachable-output",
    "inexpressible-condition",
    "inexpressible-look",
    "key-out-of-reach",
    "address-out-of-range",
    "cv-out-of-range",
    "cv-claimed-twice",
    "read-only-cv",
)
"""What they find cannot be programmed; what others find can, however wrong it is."""

_MOST_STRAYS = 10
_STRAYS = {
    "no-cv": "is no CV with a value, such as CV35 = 12",
    "cv": "names a CV that there is none of: they are numbered from 1 to 1024",
    "value": "has a value that no CV can hold: the highest is 255",
    "page": "names a page that there is none of: CV31 and CV32 hold 0 to 255",
    "again": "gives a CV another value than it has before in the file",
    "syntax": "cannot be read as YAML or JSON",
}


@dataclass(frozen=True, slots=True)
class Job:
    """A plan that was read, what it takes to program it, and what was found in it."""

    name: str
    plan: LightingPlan
    programming: Programming
    report: Report

    @property
    def inexpressible(self) -> list[Finding]:
        """The findings that say what cannot be programmed."""
        return [each for each in self.report.findings if each.allowed is None and each.rule in RULES]

    @property
    def other_errors(self) -> int:
        """How many errors there are that are no matter of CVs."""
        errors = [each for each in self.report.findings if each.allowed is None and each.level is Severity.ERROR]
        return sum(each.rule not in RULES for each in errors)


def run_cvs(options: Namespace) -> int:
    """Print the list for the plan `options.plan` in `options.format`.

    With `options.reset_first` it begins with a reset. With `options.read_back`, compare the values in that file with
    it, or with `options.as_keys` say what they mean as the keys of a plan.
    """
    fault, address = _fault(options), _address(options.on_main)
    if fault is not None:
        complain(fault)
        return INCOMPLETE
    files = Files(Path.cwd())
    job = read_job(options.plan, files)
    if job is None:
        return INCOMPLETE
    if job.other_errors:
        what = "1 error" if job.other_errors == 1 else f"{job.other_errors} errors"
        complain(f"{job.name}: {what} in it besides; `lampwright check` says more, and the list is as good as the plan")
    if options.read_back is None:
        print_result(_list(_reset(job) if options.reset_first else job, options.format, address))
        return FOUND if job.inexpressible else DONE
    found = _read_back(options.read_back, files)
    if found is None:
        return INCOMPLETE
    status = _describe(job, found) if options.as_keys else _compare(job, found, options.format)
    return INCOMPLETE if found.strays else status


def _fault(options: Namespace) -> str | None:
    """Why these options do not go together."""
    if options.as_keys and options.read_back is None:
        return "--as-keys says what values mean that were read out; name their file with --read-back"
    if options.read_back is not None and options.format not in ("text", "json"):
        return f"a comparison is printed as text or as json, not as {options.format}"
    if options.reset_first and (options.read_back is not None or options.on_main is not None):
        return "--reset-first is for a list that is written on the programming track; leave out {}".format(
            "--read-back" if options.read_back is not None else "--on-main"
        )
    if options.on_main is not None and options.format != "packets":
        return "--on-main goes with --format packets"
    if options.on_main is not None and _address(options.on_main) is None:
        return f'"{options.on_main}" is no address: write 1 to 127, 128 to 10239, or long:112 for a long one below 128'
    return None


_ADDRESS = pattern(r"(?P<long>long:)?(?P<number>[0-9]{1,5})\Z")


def _address(written: str | None) -> Address | None:
    match = _ADDRESS.match(written or "")
    if match is None or not 1 <= int(match["number"]) <= HIGHEST_LONG:
        return None
    number = int(match["number"])
    # It stands in no file; a place is only for those that do.
    nowhere = Source("", written or "").span(0, 0)
    return Address(number, match["long"] is not None or number > HIGHEST_SHORT, nowhere)


def _reset(job: Job) -> Job:
    return replace(job, programming=after_reset(job.programming))


def _list(job: Job, form: str, address: Address | None) -> str:
    match form:
        case "json":
            return render_cvs_json(job.name, job.plan, job.programming, job.inexpressible)
        case "csv":
            return render_cvs_csv(job.plan, job.programming)
        case "packets":
            return render_cvs_packets(job.plan, job.programming, address)
    undecided = [item for item in job.report.undecided if item.rule in RULES]
    width = columns(WIDTH)
    return render_cvs_text(job.name, job.plan, job.programming, job.inexpressible, undecided, width)


def read_job(given: str, files: Files) -> Job | None:
    """The plan in the file `given`, checked and programmed; None after a complaint if that cannot be done."""
    read = read_plan(given, files)
    if read is None:
        return None
    settings = read.governance.settings
    report = check(read.source, read.settings, files.load, govern=lambda other: settings(files.path(other)))
    for failure in report.failures:
        complain(f"{failure.file}: the rule {failure.rule} failed: {failure.text}")
    return None if report.failures else Job(read.name, read.plan, programming_facts(read.plan), report)


# --- Values that were read out ----------------------------------------------------------------------------------------


def _read_back(given: str, files: Files) -> ReadBack | None:
    source = read_source(given, files)
    if source is None:
        return None
    if source.fault is not None:
        complain(f"{source.name}: it is too long, or no text in UTF-8")
        return None
    found = read_back(source)
    _tell_strays(source.name, found)
    return found


def _compare(job: Job, found: ReadBack, form: str) -> int:
    comparison = compared(job.programming.settings, found.values)
    render = render_read_back_json if form == "json" else render_read_back_text
    print_result(render(job.name, job.plan, job.programming, comparison))
    return FOUND if comparison.different else DONE


def _describe(job: Job, found: ReadBack) -> int:
    decoder, method = job.plan.decoder, job.programming.method
    if decoder is None or method is None:
        complain(f"{job.name}: the decoder sheet does not say how keys are mapped, so nobody can tell what they do")
        return INCOMPLETE
    print_result(render_keys_yaml(described(decoder, method, found.values)))
    return DONE


def _tell_strays(name: str, found: ReadBack) -> None:
    for stray in found.strays[:_MOST_STRAYS]:
        complain(f"{name}:{stray.line}: {_shortened(stray)} {_STRAYS[stray.why]}")
    if len(found.strays) > _MOST_STRAYS:
        complain(f"{name}: and {len(found.strays) - _MOST_STRAYS} more such lines")


def _shortened(stray: Stray) -> str:
    return f'"{stray.text if len(stray.text) <= 40 else stray.text[:39] + "…"}"'
