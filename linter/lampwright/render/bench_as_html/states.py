"""The lamps of a bench sheet, to be switched by keys on the screen, and as a table on paper; and the data behind them.

The data are the conditions of the state table itself, word for word.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lampwright.account.bench import BenchSheet
from lampwright.account.sayings import said_look, said_product
from lampwright.account.states import OutputAccount
from lampwright.analysis.logic.states import LitStates
from lampwright.model.circuit import Bulb, Led
from lampwright.model.keys import STEADY
from lampwright.render.bench_as_html.markup import name, text

_HUES = {
    "red": "#e02020",
    "orange": "#f07010",
    "yellow": "#f0b400",
    "green": "#18a030",
    "blue": "#2060e0",
    "warm white": "#ffc850",
    "cool white": "#b8d8ff",
    "white": "#ffe9a8",
}
_OTHER_HUE = "#ffc850"


def states_data(sheet: BenchSheet) -> dict[str, Any]:
    """What the script of the page evaluates: for each output its looks, and the conditions of each."""
    return {
        "outputs": [
            {
                "name": output,
                "lit": [_lit(output, lit, sheet) for lit in account.lit],
                "undecided": account.lacks is not None,
            }
            for output, account in sheet.states.outputs.items()
        ]
    }


def _lit(output: str, lit: LitStates, sheet: BenchSheet) -> dict[str, Any]:
    look = lit.look
    rate = look.rates[0] if len(look.rates) == 1 else None
    effect = look.effects[0] if len(look.effects) == 1 else None
    return {
        "look": said_look(look),
        "level": max(look.brightness),
        "rate": rate,
        "steady": effect == STEADY,
        "second": (output, effect) in sheet.phases,
        "odd": look.is_at_odds,
        "when": [[[literal.variable, literal.positive] for literal in product] for product in lit.products],
    }


def states_section(sheet: BenchSheet) -> Iterator[str]:
    """Keys and lamps for the screen, and the table for both."""
    yield '<section class="states"><h2>Which lamp burns when</h2>'
    if sheet.states.outputs:
        yield from _controls(sheet)
        yield from _lamps(sheet)
        yield from _table(sheet)
    else:
        yield "<p>The plan has no outputs.</p>"
    yield "</section>"


# --- On the screen ----------------------------------------------------------------------------------------------------


def _controls(sheet: BenchSheet) -> Iterator[str]:
    yield '<div class="screen controls" hidden><div role="group" aria-label="Function keys">'
    for key in sheet.keys:
        label = f" {name(key.label)}" if key.label is not None else ""
        held = " <small>(on while pressed)</small>" if key.momentary else ""
        yield _button(key.name, "true", f"{key.name}{label}{held}", is_pressed=False)
    yield '</div><div role="group" aria-label="Direction">'
    yield _button("forward", "true", "Forward", is_pressed=True)
    yield _button("forward", "false", "Reverse", is_pressed=False)
    yield '</div><div role="group" aria-label="Motion">'
    yield _button("moving", "false", "Stopped", is_pressed=True)
    yield _button("moving", "true", "Moving", is_pressed=False)
    yield "</div></div>"


def _button(variable: str, value: str, label: str, *, is_pressed: bool) -> str:
    pressed = "true" if is_pressed else "false"
    attributes = f'data-variable="{variable}" data-value="{value}" aria-pressed="{pressed}"'
    return f'<button type="button" {attributes}>{label}</button>'


def _lamps(sheet: BenchSheet) -> Iterator[str]:
    yield '<ul class="screen lamps" hidden>'
    for number, (output, account) in enumerate(sheet.states.outputs.items()):
        for lamp in account.lamps or ("",):
            hue = _hue(sheet, lamp)
            shown = name(lamp) if lamp else f"what hangs on {name(output)}"
            yield (
                f'<li data-output="{number}" style="--hue: {hue}"><span class="bulb" aria-hidden="true"></span>'
                f'<span>{shown}<br><small class="how">dark</small></span></li>'
            )
    yield '</ul><p class="screen" role="status" id="lit" hidden></p>'


def _hue(sheet: BenchSheet, lamp: str) -> str:
    kind = sheet.plan.lamps[lamp].kind if lamp in sheet.plan.lamps else None
    match kind:
        case Led(colour=str(colour)):
            return _HUES.get(colour, _OTHER_HUE)
        case Bulb():
            return _HUES["warm white"]
    return _OTHER_HUE


# --- On paper ---------------------------------------------------------------------------------------------------------


def _table(sheet: BenchSheet) -> Iterator[str]:
    yield "<table><thead><tr>"
    yield from (f'<th scope="col">{head}</th>' for head in ("output", "lamps", "burns", "when"))
    yield "</tr></thead><tbody>"
    for output, account in sheet.states.outputs.items():
        rows = list(_rows(account))
        hangs = name(", ".join(account.lamps)) if account.lamps else "no lamp of the plan"
        hangs = "its lamps cannot all be read" if account.lamps is None else hangs
        span = f' rowspan="{len(rows)}"' if len(rows) > 1 else ""
        first, *others = rows
        yield f'<tr><th scope="row"{span}>{name(output)}</th><td{span}>{hangs}</td>{first}</tr>'
        yield from (f"<tr>{row}</tr>" for row in others)
    yield "</tbody></table>"
    if sheet.states.loose:
        yield f"<p>On no output: {name(', '.join(sheet.states.loose))}.</p>"


def _rows(account: OutputAccount) -> Iterator[str]:
    if account.lacks is not None:
        yield f'<td colspan="2">cannot be told, for lack of {text(account.lacks)}</td>'
    elif not account.lit:
        yield (
            '<td colspan="2">never: no state turns it on</td>'
            if account.is_named
            else '<td colspan="2">nothing turns it on</td>'
        )
    for lit in account.lit:
        said = " or ".join(said_product(product) for product in lit.products)
        yield f"<td>{name(said_look(lit.look))}</td><td>{text(said)}</td>"
