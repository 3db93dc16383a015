"""A bench sheet as a Markdown page, for a club's notes: lists with boxes, tables of readings.

Whatever a plan says stands in a code span, where Markdown has no markup, no links, no HTML and no mentions of people.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.account.bench import BenchSheet, CvLine, KeyLine
from lampwright.account.bench_meter import MeterTable
from lampwright.account.bench_order import CAUTIONS, conditions, notes, steps
from lampwright.account.bench_sayings import when, wrong_rows
from lampwright.account.sayings import said_look, said_product, said_value, spread_of
from lampwright.account.states import OutputAccount
from lampwright.account.words import place
from lampwright.harmless import code_span
from lampwright.rule.phrases import counted, listed
from lampwright.units import Dimension, say

BAR = "\\|"


def render_bench_markdown(sheet: BenchSheet) -> str:
    """The page, with a line end."""
    lines = [f"# Bench sheet: {code_span(sheet.title)}", "", f"Plan: {code_span(sheet.name)}", ""]
    lines += _banner(sheet)
    lines += ["## Order of work", ""]
    lines += [f"- [ ] **{step.title}.** {_plain(step.text)}" for step in steps(sheet)]
    lines += ["", "## Take care", "", *(f"- {caution}" for caution in CAUTIONS), ""]
    lines += ["## Which lamp burns when", "", *_states(sheet), ""]
    lines += [
        "## What the meter should read",
        "",
        f"{conditions(sheet)}.",
        "",
        *(f"- {note}" for note in notes(sheet)),
        "",
    ]
    for table in sheet.meters:
        lines += [*_table(table), ""]
    for output, lacks in sheet.unmeasured.items():
        lines += [f"- {code_span(output)} cannot be told, for lack of {lacks}", ""]
    lines += _programming(sheet)
    if sheet.keys:
        lines += ["## For the throttle", "", *map(_key, sheet.keys), ""]
    return "\n".join(lines[:-1]) + "\n"


def _plain(words: str) -> str:
    """Words of ours in which names of a plan may stand: as a code span where they hold anything but letters."""
    return words if all(each.isalnum() or each in " ,.;:()%'-°" for each in words) else code_span(words)


def _banner(sheet: BenchSheet) -> Iterator[str]:
    if not sheet.errors:
        return
    yield from (f"## Do not build this yet: the plan has {counted(len(sheet.errors), 'error')}", "")
    for finding in sheet.errors:
        yield f"- {code_span(place(finding.span))} **{finding.rule}**: {code_span(finding.message)}"
    yield ""


# --- States -----------------------------------------------------------------------------------------------------------


def _states(sheet: BenchSheet) -> Iterator[str]:
    yield from _row(["output", "lamps", "burns", "when"])
    yield from _row(["---"] * 4)
    for output, account in sheet.states.outputs.items():
        lamps = ", ".join(map(code_span, account.lamps)) if account.lamps else "–"
        for burns, condition in _looks(account):
            yield from _row([code_span(output), lamps, burns, condition])


def _looks(account: OutputAccount) -> Iterator[tuple[str, str]]:
    if account.lacks is not None:
        yield f"cannot be told, for lack of {account.lacks}", "–"
    elif not account.lit:
        yield "never", "–"
    for lit in account.lit:
        yield code_span(said_look(lit.look)), " or ".join(said_product(product) for product in lit.products)


# --- Readings ---------------------------------------------------------------------------------------------------------


def _table(table: MeterTable) -> Iterator[str]:
    yield f"### {listed([code_span(output.name) for output in table.outputs])}"
    yield ""
    for output in table.outputs:
        yield f"- [ ] {code_span(output.name)}: {code_span(when(output))}"
    feed = "rail" if table.on_rail else "common"
    yield ""
    yield from _row(["", f"{feed} to output", *(code_span(row.name) for row in table.rows), "current"])
    yield from _row(["---", *["--:"] * (len(table.rows) + 2)])
    volts = [table.supply, *(row.facts.voltage for row in table.rows)]
    usual = [said_value(each.usual, Dimension.VOLTAGE) for each in volts]
    yield from _row(
        ["as measured" if table.is_measured else "planned", *usual, said_value(table.current.usual, Dimension.CURRENT)]
    )
    spread = [spread_of(each, Dimension.VOLTAGE) for each in volts]
    yield from _row(["range", *spread, spread_of(table.current, Dimension.CURRENT)])
    if table.is_switched:
        shown = [say(row.average, Dimension.VOLTAGE) if row.average is not None else "–" for row in table.rows]
        yield from _row(["average on a meter", "–", *shown, "–"])
    for row in wrong_rows(table):
        nothing = [""] * (len(table.rows) + 1)
        cells = row.cells or (f"switch off at once: {code_span(row.too_much)}", *nothing)
        yield from _row([code_span(row.causes), *cells])


def _row(cells: Sequence[str]) -> Iterator[str]:
    """A row of a table; in it a bar needs a backslash, also in code."""
    yield f"| {' | '.join([cell.replace('|', BAR) for cell in cells])} |"


# --- Lists ------------------------------------------------------------------------------------------------------------


def _programming(sheet: BenchSheet) -> Iterator[str]:
    if not sheet.cvs:
        return
    yield from ("## Programming list", "")
    yield from (f"- {_plain(caution)}" for caution in sheet.cautions)
    yield ""
    if sheet.inexpressible:
        yield from ("Cannot be programmed:", "")
        yield from (f"- {code_span(place(each.span))}: {code_span(each.message)}" for each in sheet.inexpressible)
        yield ""
    yield from map(_write, sheet.cvs)
    yield ""


def _write(line: CvLine) -> str:
    each = " each" if len(line.settings) > 1 else ""
    return f"- [ ] CV{line.numbers} = {line.value}{each}: {code_span(line.meaning)}"


def _key(key: KeyLine) -> str:
    label = key.label if key.label is not None else ", ".join(key.lamps)
    held = " (hold)" if key.momentary else ""
    return f"- **{key.name}** {code_span(label) if label else '–'}{held}"
