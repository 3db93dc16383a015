"""A bench sheet as one JSON object, for programs; the help of the command says what it holds."""

from __future__ import annotations

from math import isfinite
from typing import Any

from lampwright.account.bench import BenchSheet, FirstPower, KeyLine
from lampwright.account.bench_faults import MeterFault
from lampwright.account.bench_meter import MeasuredOutput, MeterRow, MeterTable
from lampwright.account.bench_sayings import said_causes, when
from lampwright.account.objects import finding_object, written
from lampwright.account.parts import kind_word, part_bands, part_name
from lampwright.account.plan_objects import setting_object, states_object
from lampwright.account.single_states import LitLamp, StateLine
from lampwright.analysis.electrical.facts import Range
from lampwright.analysis.needs import Need
from lampwright.rule.circumstances import state_data


def render_bench_json(sheet: BenchSheet) -> str:
    """The sheet in SI, with a line end. What is unlimited or unknown is null."""
    document = {
        "format": 1,
        "plan": sheet.name,
        "vehicle": sheet.title,
        "errors": [finding_object(finding) for finding in sheet.errors],
        "first-power": _power(sheet.power),
        "states": [_state(line) for line in sheet.lines],
        "conditions": {output: states_object(each) for output, each in sheet.states.outputs.items()},
        "readings": [_table(table) for table in sheet.meters],
        "unreadable": dict(sheet.unmeasured),
        "parts": [_part(need) for need in sheet.needs.needs],
        "cvs": [setting_object(setting, sheet.words) for setting in sheet.programming.settings],
        "keys": [_key(key) for key in sheet.keys],
    }
    return f"{written(document, indent=2)}\n"


def _power(power: FirstPower) -> dict[str, Any]:
    worst = power.worst
    return {
        "limit": power.limit,
        "worst": _finite(worst.at_most) if worst is not None else None,
        "state": state_data(worst.state) if worst is not None and worst.state is not None else None,
        "lacks": power.lacks,
        "without": list(power.left_out),
    }


def _state(line: StateLine) -> dict[str, Any]:
    return {**state_data(line.state), "lit": {lamp: _lit(each) for lamp, each in line.lit.items()}}


def _lit(lamp: LitLamp) -> dict[str, Any]:
    look, facts = lamp.look, lamp.facts
    values = {"effect": look.effects, "brightness": look.brightness, "rate": look.rates}
    return {
        **{what: each[0] if len(each) == 1 else None for what, each in values.items()},
        "current": _range(facts.current) if facts is not None else None,
        "voltage": _range(facts.voltage) if facts is not None else None,
    }


def _part(need: Need) -> dict[str, Any]:
    return {
        "part": part_name(need.part),
        "kind": kind_word(need.part),
        "quantity": need.quantity,
        "in-stock": need.in_stock,
        "bands": list(part_bands(need.part)),
    }


def _table(table: MeterTable) -> dict[str, Any]:
    return {
        "outputs": [_output(output) for output in table.outputs],
        "measured": table.is_measured,
        "supply": _range(table.supply),
        "current": _range(table.current),
        "elements": [_row(row) for row in table.rows],
        "faults": [_fault(fault, table) for fault in table.faults],
    }


def _output(output: MeasuredOutput) -> dict[str, Any]:
    moment = output.moment
    return {
        "output": output.name,
        "lamps": list(output.lamps),
        "state": state_data(moment.state) if moment is not None else None,
        "steady-and-full": moment.is_full if moment is not None else None,
        "beside": list(moment.beside) if moment is not None else [],
        "when": when(output),
    }


def _row(row: MeterRow) -> dict[str, Any]:
    return {
        "name": row.name,
        "voltage": _range(row.facts.voltage),
        "current": _range(row.facts.current),
        "share-of-time": row.facts.share_of_time,
        "average": row.average,
    }


def _fault(fault: MeterFault, table: MeterTable) -> dict[str, Any]:
    return {
        "what": said_causes(fault.causes, table),
        "voltages": list(fault.voltages),
        "current": _finite(fault.current),
        "too-much": fault.too_much is not None,
    }


def _key(key: KeyLine) -> dict[str, Any]:
    return {"key": key.name, "label": key.label, "momentary": key.momentary, "lamps": list(key.lamps)}


def _range(figures: Range) -> dict[str, float | None]:
    ends = {"lowest": figures.lowest, "usual": figures.usual, "highest": figures.highest}
    return {end: _finite(value) for end, value in ends.items()}


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None
