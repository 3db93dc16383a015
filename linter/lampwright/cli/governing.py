"""`lampwright settings`: what governs a file, and where each setting comes from."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from lampwright.cli.checking import DONE, FOUND, INCOMPLETE, Run, tell_failures
from lampwright.cli.places import line_of_finding
from lampwright.cli.printing import print_aside, print_result
from lampwright.diagnostics import Refusal, Report, Severity
from lampwright.engine.governing import Setting, governing
from lampwright.files import SETTINGS_NAME, Files, exists, is_folder
from lampwright.harmless import visible
from lampwright.settings import Governance
from lampwright.text import Span

_DEFAULTS = {
    "scale": "default (the normal voltage of the scale in S-9.1; 10 % either way is common practice)",
    "practice": "default (common practice)",
    "handbook": "default (design rule of the handbooks)",
    "iec": "default (the class of E24 in IEC 60063), unless a catalogue says otherwise",
    "rule": "default (of the rule)",
    "none": "default (nothing)",
    "unread": "cannot be read, so that what depends on it is not decided",
}


def run_settings(path: str, form: str) -> int:
    """Print the settings that govern `path`, a file or what stands in a folder, in `form`, "text" or "json"."""
    files = Files(Path.cwd())
    run = Run("", files, Governance(files))
    given = Path(path)
    if not path or not exists(given):
        run.fail(given, "there is no such file")
        return _end(run, Report())
    governed = given / SETTINGS_NAME if is_folder(given) else given
    file = run.governance.file(governed)
    source = files.source(file) if file is not None else None
    if isinstance(source, Refusal):
        run.fail(Path(str(file)), source.reason)
        return _end(run, Report())
    settings = governing(source, run.governance.settings(governed))
    shown = files.shown(file) if file is not None else None
    if form == "json":
        print_result(_json(files.shown(given), shown, settings))
    else:
        print_result("".join(f"{visible(line)}\n" for line in _lines(files.shown(given), shown, settings)))
    return _end(run, run.judge(source) if source is not None else Report())


def _end(run: Run, report: Report) -> int:
    """Say what is wrong with the settings themselves, and how it went."""
    tell_failures(Report(failures=tuple(run.failures)))
    wrong = [each for each in report.findings if each.level is Severity.ERROR and each.allowed is None]
    for finding in wrong:
        print_aside(line_of_finding(finding))
    if run.failures:
        return INCOMPLETE
    return FOUND if wrong else DONE


def _lines(path: str, file: str | None, settings: tuple[Setting, ...]) -> Iterator[str]:
    yield f"{path} is governed by {file or f'no {SETTINGS_NAME}'}"
    usual = [each for each in settings if each.default == "rule" and each.span is None]
    rows = [(each.name, each.said or "-", _origin(each)) for each in settings if each not in usual]
    widths = [max(len(row[column]) for row in rows) for column in (0, 1)]
    yield from (f"{name:<{widths[0]}}  {said:<{widths[1]}}  {origin}" for name, said, origin in rows)
    yield f"levels of {len(usual)} other rules: as `lampwright explain` lists them"


def _origin(setting: Setting) -> str:
    if setting.default is None and setting.span is not None:
        place = _place(setting.span)
        return f"{place['file']}:{place['line']}"
    default = _DEFAULTS[setting.default or "none"]
    if setting.span is None or setting.default == "unread":
        return default
    return f"{default}, since line {_place(setting.span)['line']} cannot be read"


def _json(path: str, file: str | None, settings: tuple[Setting, ...]) -> str:
    listed = [
        {
            "name": setting.name,
            "value": setting.value,
            "text": setting.said,
            "from": _place(setting.span) if setting.span is not None and setting.default is None else None,
            "default": _DEFAULTS[setting.default] if setting.default is not None else None,
        }
        for setting in settings
    ]
    document = {"format": 1, "file": path, "settings-file": file, "settings": listed}
    return json.dumps(document, indent=2, allow_nan=False) + "\n"


def _place(span: Span) -> dict[str, Any]:
    position = span.source.position(span.start)
    return {"file": span.source.name, "line": position.line, "column": position.column}
