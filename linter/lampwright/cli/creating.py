"""`lampwright new`: a file to be filled in, made of what is asked or said. It is checked before it is written.

What is there already is never touched; who stops while he is asked has changed nothing.
"""

from __future__ import annotations

import re
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path

from lampwright.cli.asking import Question, answered, may_ask
from lampwright.cli.checking import DONE, INCOMPLETE, REFUSALS, Run, tell_failures
from lampwright.cli.drafts import BETWEEN, DRAFTS, Draft
from lampwright.cli.printing import complain, print_result
from lampwright.diagnostics import Finding, Report, Severity
from lampwright.files import Files, is_folder
from lampwright.harmless import visible
from lampwright.kinds import Kind, kind_of
from lampwright.settings import Governance

_LONGEST_NAME = 60


def run_new(options: Namespace) -> int:
    """Make the file that `options` ask for; the exit status is returned."""
    draft = DRAFTS[options.kind]
    files = Files(Path.cwd())
    run = Run("", files, Governance(files))
    try:
        answers = _answers(options, draft, run)
    except EOFError:
        complain("nothing was written")
        return INCOMPLETE
    path = _target(answers["path"], draft, answers) if answers is not None else None
    return _make(path, answers, draft, run) if path is not None and answers is not None else INCOMPLETE


def _make(path: Path, answers: dict[str, str], draft: Draft, run: Run) -> int:
    name = run.files.shown(path)
    text, wrong = _best(draft.texts(answers, path.parent, run, lambda text: _findings(text, path, run)), path, run)
    if wrong:
        complain(f"{name}: {wrong[0].message}; nothing was written")
        return INCOMPLETE
    from lampwright.files.writing import create_whole

    refused = create_whole(path, text.encode("utf-8"))
    if refused is not None:
        complain(f"{name}: {REFUSALS.get(refused.reason, refused.reason)}")
        return INCOMPLETE
    print_result(f"{visible(name)} is written; fill it in, and see what `lampwright check` says\n")
    return DONE


# --- What is wanted ---------------------------------------------------------------------------------------------------


def _answers(options: Namespace, draft: Draft, run: Run) -> dict[str, str] | None:
    """What was said or is answered; None after a complaint if something of it will not do."""
    questions = draft.questions(run)
    given = {each.name: _said(getattr(options, each.name)) for each in questions}
    given = {name: said for name, said in given.items() if said}
    path = options.path or ""
    faults = [(f"--{each.name}", each.fault(given[each.name])) for each in questions if each.name in given]
    faults += [(path, _fault_of_path(path, draft))]
    for where, fault in faults:
        if fault:
            complain(f"{where}: {fault}")
            return None
    stem = Path(path).name.removesuffix(draft.kind.value)
    usual = {"name": stem if path and not is_folder(Path(path)) else ""}
    if options.no_questions or not may_ask():
        return _without_asking(questions, {**usual, **given}, path)
    asked = [each if each.name not in usual else _with_usual(each, usual[each.name]) for each in questions]
    return {**answered(asked, given), "path": path}


def _said(value: str | list[str] | None) -> str:
    return "".join(f"{each}{BETWEEN}" for each in value) if isinstance(value, list) else (value or "").strip()


def _with_usual(question: Question, usual: str) -> Question:
    return Question(question.name, question.words, question.fault, usual)


def _without_asking(questions: tuple[Question, ...], given: dict[str, str], path: str) -> dict[str, str] | None:
    answers = {each.name: given.get(each.name) or each.usual for each in questions}
    for each in questions:
        if each.fault(answers[each.name]):
            complain(f"{each.fault(answers[each.name])}: say it with --{each.name}")
            return None
    return {**answers, "path": path}


# --- Where it goes ----------------------------------------------------------------------------------------------------


def _fault_of_path(given: str, draft: Draft) -> str:
    """Why no new file of that kind can go there, as far as the name tells."""
    if not given or is_folder(Path(given)):
        return ""
    path = Path(given)
    other = kind_of(path.name) is not draft.kind and (kind_of(path.name) or path.suffix in {".yaml", ".yml"})
    if other or (draft.kind is Kind.SETTINGS and path.name != draft.kind.value):
        return f"its name must {'be' if draft.kind is Kind.SETTINGS else 'end in'} {draft.kind.value}"
    is_there = path.exists() or path.is_symlink()
    return REFUSALS["exists"] if is_there else ""


def _target(given: str, draft: Draft, answers: dict[str, str]) -> Path:
    """The path of the new file: as it is given, with its end, or in the folder that is given, called by its name."""
    end = draft.kind.value
    path = Path(given)
    if given and not is_folder(path):
        return path if kind_of(path.name) is draft.kind else path.with_name(f"{path.name}{end}")
    if draft.kind is Kind.SETTINGS:
        return path / end
    return path / f"{_as_file_name(answers.get('name', '')) or draft.usual_name or 'new'}{end}"


def _as_file_name(name: str) -> str:
    """`name` in small letters and digits with hyphens between: "Saddle tank 5" is saddle-tank-5."""
    return "-".join(re.findall(r"[^\W_]+", name.casefold()))[:_LONGEST_NAME].strip("-")


# --- What stands in it ------------------------------------------------------------------------------------------------


def _best(texts: Iterator[str], path: Path, run: Run) -> tuple[str, list[Finding]]:
    """The first text that has no error and no warning, else the last; and the errors that this has."""
    text, wrong = "", []
    for text in texts:
        found = _findings(text, path, run)
        wrong = [each for each in found if each.level is Severity.ERROR]
        if all(each.level is Severity.NOTE for each in found):
            break
    return text, wrong


def _findings(text: str, path: Path, run: Run) -> list[Finding]:
    """What is found in the new file itself, if that is its text."""
    source = run.files.given(path, text.encode("utf-8", "surrogatepass"))
    report = run.judge(source)
    tell_failures(Report(failures=report.failures))
    return [each for each in report.findings if each.span.source is source]
