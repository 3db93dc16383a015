"""`lampwright check`: finds the files, has each checked, prints one report."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from lampwright.cli.printing import complain, print_result
from lampwright.diagnostics import Failure, Report, Severity
from lampwright.engine import Refusal, check, merge_reports
from lampwright.files import Files, find
from lampwright.plan.kinds import kind_of
from lampwright.render.as_text import render_text, visible
from lampwright.settings import Governance
from lampwright.text import Source

DONE, FOUND, INCOMPLETE = 0, 1, 2
"""Exit statuses: no error-level finding; at least one; the command could not do all its work."""

_KINDS = "lighting plan, decoder sheet, parts catalogue or settings file"
_REFUSALS = {
    "missing": "there is no such file",
    "permission": "you have no permission to read it",
    "no-file": "is no regular file",
}


def run_check(paths: list[str], form: str, stdin_name: str) -> int:
    """Check `paths` (none: the working directory) and print the report in `form`, "text" or "json"."""
    report = _Run(stdin_name).report(paths or ["."])
    for failure in report.failures:
        rule = f"rule {failure.rule} failed: " if failure.rule is not None else ""
        complain(visible(f"{failure.file}: {rule}{failure.text}"))
    if form == "json":
        from lampwright.render.as_json import render_json

        print_result(render_json(report))
    else:
        print_result(render_text(report, colour=_wants_colour()))
    if report.failures:
        return INCOMPLETE
    wrong = any(finding.level is Severity.ERROR and finding.allowed is None for finding in report.findings)
    return FOUND if wrong else DONE


def _wants_colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


@dataclass(slots=True)
class _Run:
    """One run of the command: what is read, and what could not be done."""

    stdin_name: str
    files: Files = field(default_factory=lambda: Files(Path.cwd()))
    failures: list[Failure] = field(default_factory=list)

    def report(self, paths: list[str]) -> Report:
        governance = Governance(self.files)
        reports = [self._check(path, governance) for path in self._each(paths, governance)]
        return merge_reports([*reports, Report(failures=tuple(self.failures))])

    def _check(self, path: Path, governance: Governance) -> Report:
        """What is found in the file at `path`, and in the settings that govern it."""
        settings = governance.settings(path)
        sources = (self.files.source(path), governance.source(path))
        found = dict.fromkeys(source for source in sources if isinstance(source, Source))
        return merge_reports(check(source, settings, self.files.load) for source in found)

    def _each(self, paths: list[str], governance: Governance) -> Iterator[Path]:
        """Every file to be checked, once."""
        seen: set[str] = set()
        for given in paths:
            failed, found = len(self.failures), False
            for path in self._below(given, governance):
                found = True
                real = os.path.realpath(path)
                if real not in seen:
                    seen.add(real)
                    yield path
            if not found and len(self.failures) == failed:
                self._fail(given, f"holds no {_KINDS}")

    def _below(self, given: str, governance: Governance) -> Iterator[Path]:
        path = Path(self.stdin_name if given == "-" else given)
        if given == "-" and kind_of(path.name) is not None:
            self.files.given(path, sys.stdin.buffer.read())
            yield path
        elif given != "-" and path.is_dir():
            yield from find(path, governance.is_excluded, lambda folder, why: self._fail(str(folder), why))
        elif isinstance(refused := self.files.source(path), Refusal):
            self._fail(given, _REFUSALS.get(refused.reason, refused.reason))
        elif kind_of(path.name) is None:
            self._fail(given, f"by its name {path.name} is no {_KINDS}")
        else:
            yield path

    def _fail(self, path: str, why: str) -> None:
        self.failures.append(Failure(None, path, why))
