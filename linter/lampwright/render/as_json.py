"""A report as one JSON object, in the form that the plan language's page promises to programs."""

from __future__ import annotations

from lampwright import __version__
from lampwright.account.objects import failure_object, finding_object, summary_object, undecided_object, written
from lampwright.diagnostics import Report


def render_json(report: Report) -> str:
    """The report, with a line end."""
    document = {
        "lampwright": __version__,
        "format": 1,
        "findings": [finding_object(finding) for finding in report.findings],
        "undecided": [undecided_object(item) for item in report.undecided],
        "failures": [failure_object(failure) for failure in report.failures],
        "summary": summary_object(report),
    }
    return f"{written(document, indent=2)}\n"
