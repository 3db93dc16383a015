"""Everything that is printed of a plan besides the findings: each account of it in each of its forms."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from lampwright.account.bench import bench_sheet
from lampwright.account.figures import plan_figures
from lampwright.account.fleet_page import fleet_page
from lampwright.account.orders import OrderList
from lampwright.account.states import plan_states
from lampwright.analysis.needs import plan_needs
from lampwright.analysis.ordering import Demand, Spares, order_of
from lampwright.analysis.programming import after_reset, programming_facts
from lampwright.cli.programming import RULES
from lampwright.diagnostics import Report, Severity
from lampwright.model.lighting import LightingPlan
from lampwright.render.bench_as_html import render_bench_html
from lampwright.render.bench_as_json import render_bench_json
from lampwright.render.bench_as_markdown import render_bench_markdown
from lampwright.render.cvs_as_csv import render_cvs_csv
from lampwright.render.cvs_as_json import render_cvs_json
from lampwright.render.cvs_as_packets import render_cvs_packets
from lampwright.render.cvs_as_text import render_cvs_text
from lampwright.render.figures_as_json import render_figures_json
from lampwright.render.figures_as_text import render_figures_text
from lampwright.render.fleet_as_csv import render_fleet_csv
from lampwright.render.fleet_as_html import render_fleet_html
from lampwright.render.fleet_as_json import render_fleet_json
from lampwright.render.fleet_as_markdown import render_fleet_markdown
from lampwright.render.fleet_as_text import render_fleet_text
from lampwright.render.order_as_csv import render_order_csv
from lampwright.render.order_as_json import render_order_json
from lampwright.render.order_as_markdown import render_order_markdown
from lampwright.render.order_as_text import render_order_text
from lampwright.render.states_as_grid import render_states_grid
from lampwright.render.states_as_json import render_states_json
from lampwright.render.states_as_text import render_states_text
from lampwright.render.wiring_as_svg import wiring_pictures
from lampwright.render.wiring_as_text import Manner, render_wiring_text


class Printed(NamedTuple):
    """What a command prints, which one, and how it has to be read: as "json", "csv", "html" or "text"."""

    command: str
    form: str
    text: str


def accounts(name: str, plan: LightingPlan, report: Report, turn: int) -> Iterator[Printed]:
    """Accounts of the plan in the file `name`, of which `report` was found: one of them at each turn.

    The sheet for the bench is made of every plan without errors. It takes as long as all others, so that plans with
    errors, of which it is made as well, have one at each twelfth turn.
    """
    kinds = (_figures, _states, _cvs, _order, _fleet)
    yield from kinds[turn % 5](name, plan, report)
    if turn % 12 == 0 or not has_errors(report):
        yield from _bench(name, plan, report)


def _figures(name: str, plan: LightingPlan, _: Report) -> Iterator[Printed]:
    figures = plan_figures(plan)
    yield Printed("figures", "json", render_figures_json(name, figures))
    yield Printed("figures", "text", render_figures_text(name, plan, figures))
    yield Printed("wiring", "text", render_wiring_text(name, plan, Manner()))


def _states(name: str, plan: LightingPlan, _: Report) -> Iterator[Printed]:
    states = plan_states(plan)
    yield Printed("states", "json", render_states_json(name, states))
    yield Printed("states", "text", render_states_text(name, plan, states))
    yield Printed("states as grid", "text", render_states_grid(name, plan, states))


def _cvs(name: str, plan: LightingPlan, report: Report) -> Iterator[Printed]:
    facts = programming_facts(plan)
    inexpressible = [each for each in report.findings if each.allowed is None and each.rule in RULES]
    undecided = [each for each in report.undecided if each.rule in RULES]
    yield Printed("cvs", "json", render_cvs_json(name, plan, facts, inexpressible))
    yield Printed("cvs", "csv", render_cvs_csv(plan, facts))
    yield Printed("cvs", "text", render_cvs_text(name, plan, after_reset(facts), inexpressible, undecided))
    yield Printed("packets", "text", render_cvs_packets(plan, facts, None))


def _bench(name: str, plan: LightingPlan, report: Report) -> Iterator[Printed]:
    inexpressible = [each for each in report.findings if each.allowed is None and each.rule in RULES]
    sheet = bench_sheet(name, plan, programming_facts(plan), report, inexpressible)
    yield Printed("bench", "html", render_bench_html(sheet, wiring_pictures(plan)))
    yield Printed("bench", "json", render_bench_json(sheet))
    yield Printed("bench", "markdown", render_bench_markdown(sheet))


def _order(name: str, plan: LightingPlan, _: Report) -> Iterator[Printed]:
    vehicle = plan.vehicle.name
    demand = Demand(name, vehicle.text if vehicle is not None else None, plan_needs(plan))
    listed = OrderList(order_of([demand], Spares(number=1)), (), ())
    yield Printed("order", "json", render_order_json(listed))
    yield Printed("order", "csv", render_order_csv(listed))
    yield Printed("order", "text", render_order_text(listed))
    yield Printed("order", "markdown", render_order_markdown(listed))


def _fleet(name: str, plan: LightingPlan, report: Report) -> Iterator[Printed]:
    page = fleet_page(report, {name: plan})
    yield Printed("fleet", "html", render_fleet_html(page))
    yield Printed("fleet", "json", render_fleet_json(page))
    yield Printed("fleet", "csv", render_fleet_csv(page))
    yield Printed("fleet", "text", render_fleet_text(page))
    yield Printed("fleet", "markdown", render_fleet_markdown(page))


def has_errors(report: Report) -> bool:
    """Whether anything in it has to be put right first."""
    return any(each.level is Severity.ERROR and each.allowed is None for each in report.findings)
