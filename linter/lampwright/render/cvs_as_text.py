"""The programming list as a person reads it who has only the decoder's manual beside it: one line a CV, in order."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from lampwright.account.cv_cautions import cautions
from lampwright.account.sayings import meaning_of
from lampwright.account.words import place
from lampwright.analysis.programming import Programming, Setting
from lampwright.analysis.programming.listing import COMMANDS
from lampwright.diagnostics import Finding, Undecided
from lampwright.harmless import no_command, visible, visible_name
from lampwright.model.lighting import LightingPlan
from lampwright.rule.cv_meanings import Words, words_of
from lampwright.rule.phrases import counted

WIDTH = 120


def render_cvs_text(
    name: str,
    plan: LightingPlan,
    programming: Programming,
    findings: Sequence[Finding],
    undecided: Sequence[Undecided],
    width: int = WIDTH,
) -> str:
    """The list for the plan in file `name`, with what cannot be programmed and what nobody can tell."""
    words = words_of(plan, programming)
    lines = [f"{visible_name(name)}: {counted(len(programming.settings), 'CV')} in writing order", ""]
    for caution in cautions(plan, programming):
        lines += textwrap.wrap(visible(caution), width, initial_indent="- ", subsequent_indent="  ")
    lines += ["", f"{'CV':>6}  {'default':>10}  {'value':>5}  hex  {'bits':<9}  meaning"]
    for setting in programming.settings:
        lines += _row(setting, words, width)
    if findings:
        lines += ["", "Cannot be programmed:"]
        lines += (f"  {place(finding.span)}: {visible(finding.message)} [{finding.rule}]" for finding in findings)
    if undecided:
        lines += ["", "Not decided:"]
        lines += dict.fromkeys(f"  {place(item.span)}: lacks {visible(item.lacks)}" for item in undecided)
    return "\n".join(no_command(line.rstrip()) for line in lines) + "\n"


def _row(setting: Setting, words: Words, width: int) -> list[str]:
    value = f"{setting.value:>5}  {setting.value:02X}   {setting.value >> 4:04b} {setting.value & 15:04b}"
    start = f"{setting.cv:>6}  {_default(setting):>10}  {value}  "
    return textwrap.wrap(
        visible(meaning_of(setting, words)), width, initial_indent=start, subsequent_indent=" " * len(start)
    )


def _default(setting: Setting) -> str:
    """What the CV holds on delivery, or why nobody can say; nothing where that is no matter."""
    if setting.must_be_read_first:
        return "read first"
    if setting.default is None:
        return "" if setting.cv in COMMANDS else "unknown"
    return str(setting.default)
