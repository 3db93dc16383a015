"""Reports to print: one with a part of every kind, one with nothing, and each format by its name."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from lampwright.cli.reporting import FORMATS
from lampwright.diagnostics import Failure, Finding, Fix, Note, Report, Severity, Undecided
from lampwright.render.as_text import render_text
from lampwright.text import Edit, Source, Span

NAMES = tuple(FORMATS)


def render(form: str, report: Report) -> str:
    """The report in a form, as it is printed where there is no terminal."""
    if form == "text":
        return render_text(report, colour=False)
    name = form.replace("-", "_")
    renderer: Callable[[Report], str] = getattr(import_module(f"lampwright.render.as_{name}"), f"render_{name}")
    return renderer(report)


def everything(hostile: str = "lamp 1", name: str = "plans/a b.lights.yaml", *, many: int = 1) -> Report:
    """A report with all kinds of things in it; `hostile` stands wherever a file or a person may have put it."""
    plan = Source(name, f"vehicle: x\nlamps: [one, two] # {hostile}\nkeys: \U0001f686 Ω F0\n")
    sheet = Source("sheet.decoder.yaml", "limit: 5 mA\n")

    def at(piece: str, source: Source = plan) -> Span:
        start = source.text.index(piece)
        return source.span(start, start + len(piece))

    def found(span: Span, rule: str, level: Severity, **more: Any) -> Finding:
        key = f"{rule}-{level}-{more.get('number', 0)}"
        more.pop("number", None)
        message = more.pop("message", f'the lamp "{hostile}" is wrong')
        return Finding(span, message, rule=rule, level=level, fingerprint=key, **more)

    fix = Fix(
        f"Use {hostile}", (Edit(at("one"), hostile), Edit(at("two"), ""), Edit(sheet.span(0, 0), "# new\n")), sure=True
    )
    notes = (Note(at("two"), f"not {hostile}"), Note(at("5 mA", sheet), "the limit"))
    findings = [
        found(at("one"), "overdriven-led", Severity.ERROR, notes=notes, fixes=(fix,), data={"current": 0.005}),
        found(at("two"), "unwired-lamp", Severity.WARNING, allowed=f"because {hostile}"),
        *(found(at("F0"), "unwired-lamp", Severity.WARNING, number=number) for number in range(many)),
        found(at("lamps: ").to(at("keys")), "implausible-value", Severity.NOTE),
        found(plan.span(len(plan.text), len(plan.text)), "missing-key", Severity.ERROR),
        found(at("limit", sheet), "misspelt-unit", Severity.ERROR),
    ]
    return Report(
        sources=(sheet, plan, Source("clean.parts.yaml", "")),
        findings=tuple(findings),
        undecided=(Undecided(at("x"), f"a value for {hostile}", "overloaded-output"),),
        failures=(
            Failure(None, name, f"cannot read {hostile}"),
            Failure("unlit-string", "sheet.decoder.yaml", hostile),
        ),
        ignored=("duplicate-key",),
    )


def clean() -> Report:
    """Two files and nothing to say of them."""
    return Report(sources=(Source("b.lights.yaml", "a"), Source("a.lights.yaml", "b")))
