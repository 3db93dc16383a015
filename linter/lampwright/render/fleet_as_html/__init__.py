"""The fleet's page as HTML that asks for nothing else: to hang up in the clubroom, on A4 landscape."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.account.fleet_page import FleetPage, FleetVehicle
from lampwright.account.fleet_sayings import (
    UNREADABLE,
    said_address,
    said_current,
    said_findings,
    said_parts,
    said_rules,
    said_set,
    said_state,
    said_sums,
    said_title,
)
from lampwright.account.words import place
from lampwright.harmless import visible_name
from lampwright.render.fleet_as_html.keys import keys_section
from lampwright.render.fleet_as_html.markup import listing, name, text
from lampwright.render.fleet_as_html.style import STYLE

POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""The page asks nothing of anybody, whatever should stand in it."""

MOST_ELSEWHERE = 30
"""Findings in other files that are listed; nobody hangs up more."""


def render_fleet_html(page: FleetPage) -> str:
    """The page, with a line end."""
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{text(said_title(page))}</title>",
            f"<style>{STYLE}</style>",
            "</head>",
            "<body>",
            f"<header><h1>{text(said_title(page))}</h1><p>{text(said_sums(page))} in all files</p></header>",
            "<main>",
            *_vehicles(page),
            *keys_section(page),
            *_elsewhere(page),
            "</main>",
            "</body>",
            "</html>",
            "",
        ]
    )


def _vehicles(page: FleetPage) -> Iterator[str]:
    yield '<section><table class="vehicles"><caption>Vehicles</caption><thead><tr>'
    for head in ("Vehicle", "Address", "Findings", "Draws at most", "Needs"):
        yield f'<th scope="col">{head}</th>'
    yield "</tr></thead>"
    for group in page.sets:
        yield "<tbody>"
        title = said_set(group, is_only_one=len(page.sets) == 1)
        if title is not None:
            yield f'<tr class="set"><th scope="rowgroup" colspan="5">{name(title)}</th></tr>'
        for vehicle in group.vehicles:
            yield from _vehicle(vehicle)
        yield "</tbody>"
    yield "</table></section>"


def _vehicle(vehicle: FleetVehicle) -> Iterator[str]:
    file = "" if vehicle.name == vehicle.file else f'<span class="file">{name(visible_name(vehicle.file))}</span>'
    yield f'<tr><th scope="row">{name(vehicle.name)}{file}</th>'
    if vehicle.vehicle is None:
        yield f"<td>–</td>{_findings(vehicle)}"
        yield f'<td colspan="2"><strong>{UNREADABLE}</strong></td></tr>'
        return
    yield f"<td>{text(said_address(vehicle))}</td>{_findings(vehicle)}"
    state = said_state(vehicle)
    aside = f'<span class="aside">{text(state)}</span>' if state else ""
    yield f"<td>{_warned(vehicle, text(said_current(vehicle)))}{aside}</td>"
    yield f"<td>{listing(map(name, said_parts(vehicle))) or 'no parts'}</td></tr>"


def _findings(vehicle: FleetVehicle) -> str:
    counts = text(said_findings(vehicle))
    marked = f"<strong>{counts}</strong>" if vehicle.findings else counts
    return f"<td>{marked}{listing(map(text, said_rules(vehicle)))}</td>"


def _warned(vehicle: FleetVehicle, said: str) -> str:
    return f"<strong>{said}</strong>" if vehicle.load is not None and vehicle.load.share > 1 else said


def _elsewhere(page: FleetPage) -> Iterator[str]:
    if not page.elsewhere:
        return
    yield '<section class="elsewhere"><h2>Findings in sheets, catalogues and settings</h2><ul>'
    for finding in page.elsewhere[:MOST_ELSEWHERE]:
        where, level = name(place(finding.span)), finding.level.word
        yield f"<li>{where}: <strong>{level}</strong>: {name(finding.message)} [{text(finding.rule)}]</li>"
    left = len(page.elsewhere) - MOST_ELSEWHERE
    if left > 0:
        yield f"<li>{left} more; <code>lampwright check</code> lists them.</li>"
    yield "</ul></section>"
