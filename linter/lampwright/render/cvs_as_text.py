"""The programming list as a person reads it who has only the decoder's manual beside it: one line a CV, in order."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from lampwright.account.sayings import meaning_of
from lampwright.account.words import place
from lampwright.analysis.programming import Programming, Setting
from lampwright.analysis.programming.listing import COMMANDS, RESET
from lampwright.analysis.programming.rcn_pages import ByOutputMatrix, ByOutputNumbers
from lampwright.analysis.programming.vehicle import CONFIGURATION, DEFAULT_ADDRESS, unsayable_consist_keys
from lampwright.diagnostics import Finding, Undecided
from lampwright.harmless import visible, visible_name
from lampwright.model.lighting import LightingPlan
from lampwright.model.vehicle import Address
from lampwright.rule.cv_meanings import Words, words_of
from lampwright.rule.phrases import counted, quoted
from lampwright.rule.programming import SECOND_HAND, said_keys

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
    for caution in _cautions(plan, programming):
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
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _cautions(plan: LightingPlan, programming: Programming) -> Iterator[str]:
    vehicle = plan.vehicle
    if vehicle.set is not None:
        yield (
            f"Put this vehicle on the programming track alone: another one of the set {quoted(vehicle.set.text)} may"
            " have the same address and would obey every write on the main. Where they cannot be parted, lock the other"
            " one first: a decoder takes writes only while its CV15 and CV16 are equal."
        )
    if RESET in programming.settings:
        yield _of_reset(vehicle.address)
    yield (
        "Write on the programming track, in this order, and hold each line against the decoder's own manual first: the"
        " list is as right as the decoder sheet."
    )
    yield (
        "A default is what the CV holds on delivery, by the decoder sheet or by S-9.2.2; unknown is what neither says."
    )
    if programming.method is not None and programming.method.is_second_hand:
        assumed = isinstance(programming.method, ByOutputMatrix | ByOutputNumbers)
        order = "; that forward comes before reverse on its page is an assumption" if assumed else ""
        yield f"The mapping of keys behind CV96 is {SECOND_HAND}{order}."
    if any(setting.must_be_read_first for setting in programming.settings):
        yield "Where it says to read first, read the CV, change only what is named, and write it back."
    if vehicle.reversed:
        yield f"CV{CONFIGURATION} turns the decoder round: its forward, also here below, is reverse for this vehicle."
    if vehicle.consist is not None and (keys := unsayable_consist_keys(vehicle.consist)):
        yield f"No CV lets {said_keys(keys)} alone obey the consist: beyond F12 it is eight keys or none."


def _of_reset(address: Address | None) -> str:
    until = "and the plan names no other" if address is None else "until the list gives it another one"
    return (
        f"CV{RESET.cv} = {RESET.value} is a reset (RCN-226, read second-hand): all that was ever programmed into the"
        " decoder is lost, not its lights alone. Write it only if the decoder's manual says so, and on the programming"
        f" track only. From then on the address is {DEFAULT_ADDRESS}, {until}."
    )


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
