"""A report as JSON Lines: one object a line, for programs that read while it is written and for line-wise tools.

`kind` says what an object is: finding, undecided, failure, and on the last line the summary. The rest of each object is
what the JSON report says of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright import __version__
from lampwright.account.objects import failure_object, finding_object, summary_object, undecided_object, written
from lampwright.diagnostics import Report

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def render_json_lines(report: Report) -> str:
    """The report, a line end after each object. No line end stands within one."""
    return "".join(f"{written(each)}\n" for each in _objects(report))


def _objects(report: Report) -> Iterator[dict[str, Any]]:
    for finding in report.findings:
        yield {"kind": "finding", **finding_object(finding)}
    for item in report.undecided:
        yield {"kind": "undecided", **undecided_object(item)}
    for failure in report.failures:
        yield {"kind": "failure", **failure_object(failure)}
    yield {"kind": "summary", "lampwright": __version__, "format": 1, **summary_object(report)}
