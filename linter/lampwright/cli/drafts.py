"""What is asked for each kind of new file, and the texts that come of the answers, the best one first.

Reads what a new plan refers to; writes nothing.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from lampwright.analysis.programming.vehicle import HIGHEST_LONG
from lampwright.cli.asking import Question
from lampwright.cli.checking import Run, said_of
from lampwright.diagnostics import Finding
from lampwright.engine import RULE_NAMES, Refusal
from lampwright.engine.documents import read_document
from lampwright.kinds import Kind, kind_of
from lampwright.model.circuit import Led
from lampwright.model.decoder import Decoder, DecoderOutput
from lampwright.model.lowering.catalogue import Catalogue
from lampwright.plan.lighting import SCALES, SHELLS
from lampwright.plan.names import fault_of_name
from lampwright.plan.settings import SERIES
from lampwright.plan.sheet import INTERFACES
from lampwright.records import dataclass, replace
from lampwright.render.catalogue_to_fill import render_catalogue_to_fill
from lampwright.render.plan_to_fill import GENERIC_LAMP, HeadlampsToFill, OutputToFill, PlanToFill, render_plan_to_fill
from lampwright.render.settings_to_fill import render_settings_to_fill
from lampwright.render.sheet_to_fill import render_sheet_to_fill
from lampwright.rule.phrases import listed
from lampwright.syntax.quoting import scalar
from lampwright.units import Dimension, say

Answers = Mapping[str, str]
Judge = Callable[[str], Sequence[Finding]]
"""What is found in a text, if that is the new file."""

WIRES = ("white", "yellow", "green", "violet")
"""The outputs of a decoder of which nothing is known: the colour code of S-9.1.1 for the first four."""
BETWEEN = "\0"
"""What stands behind each item that an option gave: no path has it in it, while some have commas."""
_MOST_LAMPS_TRIED = 5
_SAFE = "2.7 kohm 1/2 W"
"""Where the voltage is not known: 7 mA and 0.14 W with a white LED at 22 V, the most that S-9.1 allows on any track."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A kind of new file: what it is called by default, what is asked for it, and what comes of that.

    `texts` takes the answers, the folder of the new file, the run and a judge.
    """

    kind: Kind
    usual_name: str
    questions: Callable[[Run], tuple[Question, ...]]
    texts: Callable[[Answers, Path, Run, Judge], Iterator[str]]


def parts_of(answer: str) -> list[str]:
    """The items of an answer that is a list: with commas between, or as options gave them one by one."""
    return [part.strip() for part in answer.split(BETWEEN if BETWEEN in answer else ",") if part.strip()]


# --- Plans ------------------------------------------------------------------------------------------------------------


def _plan_questions(run: Run) -> tuple[Question, ...]:
    return (
        Question("name", "What the vehicle is called", _needed),
        Question("scale", f"Scale: {', '.join(SCALES)}; or nothing", _one_of(SCALES)),
        Question("address", "Address: 1 to 10239; or nothing", _fault_of_address),
        Question("shell", f"Shell: {', '.join(SHELLS)}; or nothing", _one_of(SHELLS)),
        Question("decoder", "Decoder sheet, a file; or nothing", _readable(run, Kind.DECODER_SHEET)),
        Question(
            "parts", "Parts catalogues, files with commas between; or nothing", _readable(run, Kind.PARTS_CATALOGUE)
        ),
    )


def _plans(answers: Answers, folder: Path, run: Run, judge: Judge) -> Iterator[str]:
    """With headlamps that are right by all rules, as far as such are found, and at last without any."""
    decoder = _meaning(answers["decoder"], Kind.DECODER_SHEET, run)
    outputs = decoder.outputs.values() if isinstance(decoder, Decoder) else ()
    empty = PlanToFill(
        name=answers["name"],
        scale=answers["scale"] or None,
        address=int(answers["address"]) if answers["address"] else None,
        shell=answers["shell"] or None,
        decoder=_reference(answers["decoder"], folder) if answers["decoder"] else None,
        parts=[_reference(each, folder) for each in parts_of(answers["parts"])],
        outputs=tuple(map(_to_fill, outputs)) or tuple(map(OutputToFill, WIRES)),
        headlamps=None,
    )
    label = run.governance.settings(folder / f"new{Kind.LIGHTING_PLAN.value}").keys.get(0, "Headlamps")
    for lamp in _lamps(parts_of(answers["parts"]), run):
        for rail in (False, True):
            headlamps = HeadlampsToFill(lamp, "", rail, label)
            resistor = _resistor(judge(render_plan_to_fill(replace(empty, headlamps=headlamps)))) or _SAFE
            yield render_plan_to_fill(replace(empty, headlamps=replace(headlamps, resistor=resistor)))
    yield render_plan_to_fill(empty)


def _lamps(parts: Sequence[str], run: Run) -> Iterator[str]:
    """The LEDs of the catalogues, then one as most are; in the form of the plan."""
    catalogues = [_meaning(each, Kind.PARTS_CATALOGUE, run) for each in parts]
    named = [
        name
        for each in catalogues
        if isinstance(each, Catalogue)
        for name, data in each.lamps.items()
        if isinstance(data, Led)
    ]
    yield from (f"{{part: {scalar(name)}}}" for name in named[:_MOST_LAMPS_TRIED])
    yield GENERIC_LAMP


def _resistor(findings: Sequence[Finding]) -> str | None:
    """The resistor that the rule for LEDs without one would put in."""
    fixes = [fix for each in findings if each.rule == "unprotected-led" for fix in each.fixes]
    return fixes[0].edits[0].text.strip(" ,") if fixes else None


def _to_fill(output: DecoderOutput) -> OutputToFill:
    if output.logic_level is not None or not output.level_is_readable:
        return OutputToFill(output.name, "it commands other things, and feeds no lamp", feeds_lamps=False)
    limit = output.limit
    return OutputToFill(output.name, f"at most {say(limit.usual, Dimension.CURRENT)}" if limit is not None else "")


def _meaning(given: str, kind: Kind, run: Run) -> object:
    source = run.files.source(Path(given)) if given else Refusal("missing")
    return None if isinstance(source, Refusal) else read_document(source, kind, RULE_NAMES).meaning


def _reference(given: str, folder: Path) -> str:
    """How a file in `folder` refers to the file that the user names from where he is."""
    path = Path(given)
    return Path(os.path.relpath(os.path.realpath(path.parent), os.path.realpath(folder)), path.name).as_posix()


# --- The other kinds --------------------------------------------------------------------------------------------------


def _sheet_questions(_: Run) -> tuple[Question, ...]:
    return (
        Question("name", "What the decoder is called", _needed),
        Question("interface", f"Plug: {', '.join(INTERFACES)}; or nothing", _one_of(INTERFACES)),
        Question("outputs", "Outputs in the order of their numbers", _fault_of_outputs, ", ".join(WIRES)),
    )


def _sheets(answers: Answers, _: Path, __: Run, ___: Judge) -> Iterator[str]:
    outputs = parts_of(answers["outputs"]) or WIRES
    yield render_sheet_to_fill(answers["name"], answers["interface"] or None, outputs)


def _catalogue_questions(_: Run) -> tuple[Question, ...]:
    return (Question("resistors", "Resistors that you have, such as 1 kohm, 4k7; or nothing", _anything),)


def _catalogues(answers: Answers, _: Path, __: Run, ___: Judge) -> Iterator[str]:
    yield render_catalogue_to_fill(parts_of(answers["resistors"]))


def _settings_questions(_: Run) -> tuple[Question, ...]:
    return (
        Question("track", "Voltage on the track, such as 14.5 V; or nothing", _anything),
        Question("resistors", f"Series of resistors: {', '.join(SERIES)}; or nothing", _one_of(SERIES)),
    )


def _settings(answers: Answers, _: Path, __: Run, ___: Judge) -> Iterator[str]:
    yield render_settings_to_fill(answers["track"] or None, answers["resistors"] or None)


DRAFTS: Mapping[str, Draft] = {
    "plan": Draft(Kind.LIGHTING_PLAN, "", _plan_questions, _plans),
    "decoder": Draft(Kind.DECODER_SHEET, "", _sheet_questions, _sheets),
    "parts": Draft(Kind.PARTS_CATALOGUE, "club", _catalogue_questions, _catalogues),
    "settings": Draft(Kind.SETTINGS, "", _settings_questions, _settings),
}
"""Each kind by the word that stands behind `new`."""


# --- Why an answer will not do ----------------------------------------------------------------------------------------


def _anything(_: str) -> str:
    return ""


def _needed(answer: str) -> str:
    return "" if answer else "it needs a name"


def _one_of(words: Sequence[str]) -> Callable[[str], str]:
    return lambda answer: "" if answer in ("", *words) else f"it is one of {listed(words, 'and')}"


def _fault_of_address(answer: str) -> str:
    is_whole = answer.isascii() and answer.isdecimal() and len(answer) < 9
    fits = not answer or (is_whole and 1 <= int(answer) <= HIGHEST_LONG)
    return "" if fits else f"it is a whole number from 1 to {HIGHEST_LONG}"


def _fault_of_outputs(answer: str) -> str:
    names = parts_of(answer)
    bad = next((name for name in names if fault_of_name(name) is not None), None)
    if bad is not None:
        return f'"{bad}" can be no name: letters, digits, spaces, hyphens and full stops'
    twice = next((name for name in names if names.count(name) > 1), None)
    return f"{twice} stands there twice" if twice is not None else ""


def _readable(run: Run, kind: Kind) -> Callable[[str], str]:
    def fault(answer: str) -> str:
        for each in parts_of(answer) if kind is Kind.PARTS_CATALOGUE else [answer] * bool(answer):
            source = run.files.source(Path(each))
            if kind_of(Path(each).name) is not kind:
                return f"{each}: its name must end in {kind.value}"
            if isinstance(source, Refusal):
                return f"{each}: {said_of(source)}"
        return ""

    return fault
