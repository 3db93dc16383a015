"""The programming list as a table for spreadsheets: a row a CV, in writing order."""

from __future__ import annotations

from lampwright.analysis.programming import Programming, Setting
from lampwright.analysis.programming.listing import COMMANDS
from lampwright.harmless import visible
from lampwright.model.lighting import LightingPlan
from lampwright.rule.cv_meanings import Words, words_of

_HEAD = ("cv", "value", "hex", "bits", "mask", "cv31", "cv32", "default", "read first", "meaning")


def render_cvs_csv(plan: LightingPlan, programming: Programming) -> str:
    """The list, its heading first, with a line end after each row."""
    words = words_of(plan, programming)
    rows = [_HEAD, *(_row(setting, words) for setting in programming.settings)]
    return "".join(f"{','.join(map(_cell, row))}\n" for row in rows)


def _row(setting: Setting, words: Words) -> tuple[object, ...]:
    return (
        setting.cv,
        setting.value,
        f"{setting.value:02X}",
        f"{setting.value:08b}",
        setting.mask,
        *(setting.page or ("", "")),
        _default(setting),
        "yes" if setting.must_be_read_first else "no",
        # No name may begin a cell, where a spreadsheet would take it for a formula.
        f"CV{setting.cv}: {visible(words.of(setting))}",
    )


def _default(setting: Setting) -> int | str:
    if setting.default is None:
        return "" if setting.cv in COMMANDS else "unknown"
    return setting.default


def _cell(value: object) -> str:
    """A cell by RFC 4180: in quotation marks where it holds what divides cells."""
    text = str(value)
    return '"' + text.replace('"', '""') + '"' if any(mark in text for mark in ',"\n\r') else text
