"""What a change adds: the findings of now without those of then. Knows both as reports; how they came about, not."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from lampwright.diagnostics import Finding, Report, Severity
from lampwright.records import replace
from lampwright.text import Source


def added(
    now: Report, then: Report, file_now: Callable[[Source], Hashable], file_then: Callable[[Source], Hashable]
) -> Report:
    """`now` without the findings that `then` had already; those that have a higher level now are new.

    A finding is known again by its file and its fingerprint, in which the second of equal findings is another one. So
    three where there were two are one that is new. `file_now` and `file_then` give the same for the same file,
    whatever it was called. An allowed finding is none, then as now.
    """
    levels: dict[tuple[Hashable, str], Severity] = {}
    for finding in then.findings:
        if finding.allowed is None:
            levels[file_then(finding.span.source), finding.fingerprint] = finding.level

    def is_known(finding: Finding) -> bool:
        level = levels.get((file_now(finding.span.source), finding.fingerprint))
        return finding.allowed is None and level is not None and level >= finding.level

    kept = tuple(finding for finding in now.findings if not is_known(finding))
    return replace(now, findings=kept, known=(now.known or 0) + len(now.findings) - len(kept))
