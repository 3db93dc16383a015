"""The programming list of a small plan, by CV."""

from __future__ import annotations

import json
from typing import Any

from lampwright.analysis.programming import Programming, Setting
from programming.random_plans import case_of


def sheet(mapping: Any = "function-matrix", outputs: int = 14, **more: Any) -> dict[str, Any]:
    """A sheet with outputs named a1, a2, a3, ... by their numbers, without registers unless some are given."""
    keys = {"mapping": mapping, "highest": "68"} | more.pop("keys", {})
    return {
        "outputs": {f"a{number}": {"number": str(number)} for number in range(1, outputs + 1)},
        "keys": keys,
        "effects": {"steady": {"code": "0"}},
        "registers": [],
        **more,
    }


def programming(keys: dict[str, list[Any]], decoder: dict[str, Any] | None = None, **vehicle: Any) -> Programming:
    """What is known of a plan in which each key turns on a list of entries; an output's name alone is one as well."""
    turned_on = {
        key: [{"output": entry} if isinstance(entry, str) else entry for entry in each] for key, each in keys.items()
    }
    wired = {entry["output"]: {"circuit": []} for each in turned_on.values() for entry in each}
    text = {
        "vehicle": {"name": "Tipper 9", **vehicle},
        "decoder": decoder if decoder is not None else sheet(),
        "lamps": {},
        "outputs": wired,
        "keys": {key: {"turns-on": each} for key, each in turned_on.items()},
    }
    return case_of(json.loads(json.dumps(text))).programming


def values(found: Programming) -> dict[int, int]:
    """The values of all CVs that are on no page."""
    return {
        setting.cv: setting.value for setting in found.settings if setting.page is None and setting.cv not in (31, 32)
    }


def paged(found: Programming) -> dict[tuple[int, int, int], int]:
    """The values of all CVs on pages, by CV31, CV32 and CV."""
    return {(*setting.page, setting.cv): setting.value for setting in found.settings if setting.page is not None}


def setting(found: Programming, cv: int) -> Setting:
    """The one setting of a CV."""
    (only,) = [each for each in found.settings if each.cv == cv]
    return only
