"""A bench sheet as one HTML page that asks for nothing else: to press keys on, to print, to tick off with a pencil."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lampwright.account.bench import BenchSheet
from lampwright.account.bench_order import CAUTIONS, steps
from lampwright.account.words import place
from lampwright.harmless import visible_name
from lampwright.render.bench_as_html.lists import keys_section, programming_section
from lampwright.render.bench_as_html.markup import data, name, text
from lampwright.render.bench_as_html.meter import meter_section
from lampwright.render.bench_as_html.script import SCRIPT
from lampwright.render.bench_as_html.states import states_data, states_section
from lampwright.render.bench_as_html.style import STYLE
from lampwright.rule.circumstances import at_supply
from lampwright.rule.phrases import counted

POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)
"""The page asks nothing of anybody, whatever should stand in it."""


def render_bench_html(sheet: BenchSheet, pictures: Mapping[str, str]) -> str:
    """The page, with a line end. `pictures` has an SVG of the wiring for each output, by name, trusted as it is."""
    title = f"Bench sheet: {text(sheet.title)}"
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{title}</title>",
            f"<style>{STYLE}</style>",
            "</head>",
            "<body>",
            *_head(sheet),
            "<main>",
            *_order(sheet),
            *_wiring(pictures),
            '<div class="pair">',
            *states_section(sheet),
            *keys_section(sheet),
            "</div>",
            *meter_section(sheet),
            *programming_section(sheet),
            "</main>",
            *_script(sheet),
            "</body>",
            "</html>",
            "",
        ]
    )


def _script(sheet: BenchSheet) -> Iterator[str]:
    if sheet.states.outputs:
        yield data("bench-data", states_data(sheet))
        yield f"<script>{SCRIPT}</script>"


def _head(sheet: BenchSheet) -> Iterator[str]:
    address = sheet.plan.vehicle.address
    facts = [
        name(visible_name(sheet.name)),
        f"address {address.number}" if address is not None else "no address in the plan",
        text(at_supply(sheet.plan, "usual") or "no supply voltage known"),
    ]
    yield f"<header><h1>Bench sheet: {name(sheet.title)}</h1><p>{' · '.join(facts)}</p></header>"
    yield from _banner(sheet)
    others = [f"{counted(sheet.open_findings, 'finding')} below the level of an error"] if sheet.open_findings else []
    others += [f"{sheet.undecided} not decided"] if sheet.undecided else []
    if others:
        yield f'<p class="aside">Besides: {"; ".join(others)}; <code>lampwright check</code> says more.</p>'


def _banner(sheet: BenchSheet) -> Iterator[str]:
    if not sheet.errors:
        return
    wrong = counted(len(sheet.errors), "error")
    yield f'<section class="banner" role="alert"><h2>Do not build this yet: the plan has {wrong}</h2><ul>'
    for finding in sheet.errors:
        yield f"<li>{name(place(finding.span))}: {name(finding.message)} [{text(finding.rule)}]</li>"
    yield "</ul><p>All that follows is as good as the plan.</p></section>"


def _order(sheet: BenchSheet) -> Iterator[str]:
    yield '<section class="order"><div><h2>Order of work</h2><ol>'
    for step in steps(sheet):
        yield f'<li><label><input type="checkbox"> <b>{text(step.title)}.</b></label> {name(step.text)}</li>'
    yield '</ol></div><div class="care"><h2>Take care</h2><ul>'
    yield from (f"<li>{text(caution)}</li>" for caution in CAUTIONS)
    yield "</ul></div></section>"


def _wiring(pictures: Mapping[str, str]) -> Iterator[str]:
    if not pictures:
        return
    yield '<section class="wiring"><h2>Wiring</h2><div class="pictures">'
    for output, picture in pictures.items():
        yield f"<figure><figcaption>{name(output)}</figcaption>{picture}</figure>"
    yield "</div></section>"
