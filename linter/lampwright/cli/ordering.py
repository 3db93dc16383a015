"""`lampwright order`: checks plans, counts what those without errors need, prints what has to be bought."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from lampwright.account.exchanging import Trial, exchanges
from lampwright.account.orders import LeftOut, OrderList, Suggestions, remarks, sums
from lampwright.analysis.needs import plan_needs
from lampwright.analysis.ordering import Demand, Order, Spares, order_of
from lampwright.cli.checking import (
    DONE,
    FOUND,
    INCOMPLETE,
    Known,
    Manner,
    Run,
    may_deliver,
    report_of,
    run_of,
    tell_failures,
)
from lampwright.cli.printing import complain, print_result, terminal_width
from lampwright.cli.reporting import Delivery
from lampwright.diagnostics import Refusal, Report, Severity
from lampwright.engine import plan_of
from lampwright.files import Files
from lampwright.kinds import Kind, kind_of
from lampwright.model.lighting import LightingPlan
from lampwright.patterns import pattern
from lampwright.records import dataclass, replace
from lampwright.render.order_as_csv import render_order_csv
from lampwright.render.order_as_json import render_order_json
from lampwright.render.order_as_markdown import render_order_markdown
from lampwright.render.order_as_text import WIDTH, render_order_text
from lampwright.text import Source

_SHARE = pattern(r"([0-9]{1,3}(?:\.[0-9]{1,3})?) ?%\Z")
_NUMBER = pattern(r"[0-9]{1,4}\Z")


@dataclass(frozen=True, slots=True, eq=False)
class _Candidate:
    """A plan that may be counted: its text, how many errors are in all that it hangs on, what could be read of it."""

    source: Source
    errors: int
    plan: LightingPlan | None


def run_order(options: Namespace) -> int:
    """Print the order for the plans that `options.paths` name in `options.format`, or write it to a file."""
    spares = read_spares(options.spares)
    if spares is None:
        complain(f'--spares: "{options.spares}" is neither a share such as 10 % nor a whole number')
        return INCOMPLETE
    if not may_deliver(Delivery(output=options.output)):
        return INCOMPLETE
    run = run_of(options.stdin_name, Files(Path.cwd()), Manner(not options.no_cache, options.heed_exclude))
    report = report_of(run, options.paths, Known(options.baseline, options.since))
    tell_failures(report)
    candidates = list(_candidates(run, report))
    if not candidates:
        if not report.failures:
            complain("there is no lighting plan in what was named")
        return INCOMPLETE
    listed = _listed(candidates, spares, despite_errors=options.despite_errors)
    if not options.no_suggestions:
        listed = replace(listed, suggestions=_suggestions(run, listed.order, candidates))
    _deliver(listed, options.format, options.output)
    if report.failures:
        return INCOMPLETE
    return FOUND if listed.left_out or listed.unsure else DONE


def read_spares(written: str) -> Spares | None:
    """How many spares `written` asks for; None if that cannot be told."""
    if match := _SHARE.match(written.strip()):
        return Spares(share=Fraction(match[1]) / 100)
    return Spares(number=int(written)) if _NUMBER.match(written.strip()) else None


# --- The plans --------------------------------------------------------------------------------------------------------


def _candidates(run: Run, report: Report) -> Iterator[_Candidate]:
    """The plans that were checked, in the order of their names."""
    errors: dict[str, int] = {}
    for finding in report.findings:
        if finding.level is Severity.ERROR and finding.allowed is None:
            name = finding.span.source.name
            errors[name] = errors.get(name, 0) + 1
    for source in sorted(report.sources, key=lambda source: source.name):
        if kind_of(source.name) is Kind.LIGHTING_PLAN:
            yield _candidate(run, source, errors)


def _candidate(run: Run, source: Source, errors: dict[str, int]) -> _Candidate:
    path = run.files.path(source)
    names = {source.name}

    def load(asking: Source, reference: str) -> Source | Refusal:
        found = run.files.load(asking, reference)
        if isinstance(found, Source):
            names.add(found.name)
        return found

    governing = run.governance.file(path)
    if governing is not None:
        names.add(run.files.shown(governing))
    plan = plan_of(source, run.governance.settings(path), load)
    return _Candidate(source, sum(errors.get(name, 0) for name in names), plan)


def _listed(candidates: list[_Candidate], spares: Spares, *, despite_errors: bool) -> OrderList:
    counted, left_out, unsure = [], [], []
    for each in candidates:
        name = each.source.name
        if each.errors and not despite_errors:
            left_out.append(LeftOut(name, each.errors))
        elif each.plan is None:
            left_out.append(LeftOut(name, None))
        else:
            needs = plan_needs(each.plan)
            vehicle = each.plan.vehicle.name
            counted.append(Demand(name, vehicle.text if vehicle is not None else None, needs))
            if needs.unknown or not needs.is_complete:
                unsure.append((name, len(needs.unknown)))
    order = order_of(counted, spares)
    return OrderList(order, tuple(left_out), tuple(unsure))


def _suggestions(run: Run, order: Order, candidates: list[_Candidate]) -> Suggestions:
    sources = {each.source.name: each.source for each in candidates}

    def attempt(name: str, text: str) -> Trial | None:
        source = run.files.imagined(Source(name, text), sources[name])
        plan = plan_of(source, run.governance.settings(run.files.path(source)), run.files.load)
        return Trial(source, plan, run.judge(source)) if plan is not None else None

    plans = {each.source.name: each.plan for each in candidates if each.plan is not None}
    return exchanges(order, plans, attempt)


# --- The list ---------------------------------------------------------------------------------------------------------


def _deliver(listed: OrderList, form: str, output: str | None) -> None:
    """Print the list, or write it to the file `output` and say only its sums, on standard error."""
    text = _rendered(listed, form, terminal_width() if output is None else None)
    # A table has no room for what is not in it.
    for remark in remarks(listed) if form == "csv" or output is not None else ():
        complain(remark)
    if output is None:
        print_result(text)
        return
    from lampwright.files.delivering import write_whole

    write_whole(Path(output), text)
    complain(f"{sums(listed)}; the list is in {output}")


def _rendered(listed: OrderList, form: str, width: int | None) -> str:
    match form:
        case "csv":
            return render_order_csv(listed)
        case "json":
            return render_order_json(listed)
        case "markdown":
            return render_order_markdown(listed)
    return render_order_text(listed, width or WIDTH)
