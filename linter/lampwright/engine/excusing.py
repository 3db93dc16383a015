"""An allowance for a finding, put where it excuses that one and as few others as can be. Opens and writes nothing.

Where a comment may stand in YAML is hard to foresee and easy to try: what a place would make of the text is judged.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from lampwright.diagnostics import Finding, Report
from lampwright.engine.allowances import allowances
from lampwright.engine.fixing import Judge
from lampwright.records import dataclass, replace
from lampwright.syntax import Tree, entry_starts, parse
from lampwright.syntax.layout import before_spaces, line_break, line_end, line_start, past_spaces
from lampwright.text import Edit, Source, apply

_WIDEST = 120


@dataclass(frozen=True, slots=True)
class Excuse:
    """What is to be excused, and why: the findings of `rule` that begin on `line`, or only that at `column` of it."""

    rule: str
    line: int
    column: int | None
    reason: str

    def speaks_of(self, finding: Finding, source: Source) -> bool:
        """Whether it means a finding."""
        place = source.position(finding.span.start)
        is_there = finding.span.source is source and place.line == self.line
        return is_there and finding.rule == self.rule and self.column in (None, place.column)


def excused(source: Source, meant: Sequence[Finding], excuse: Excuse, judge: Judge) -> Source | None:
    """`source` with a comment by which the findings `meant`, all of them open, are excused; None if none can be put."""
    edit = _excusing(source, meant, excuse, judge, joins=True)
    return replace(source, text=apply(source, [edit])) if edit is not None else None


def to_be_excused(source: Source, meant: Finding, judge: Judge) -> Edit | None:
    """The edit that puts a comment for `meant`, without the reason, which has to be written behind it.

    Until then nothing is excused, and the rule useless-allowance asks for it. An allowance that the line has already
    would lend its reason, so that this is one of its own.
    """
    # It must be as wide as a reason would be, so that the line can still be read when that is written.
    stand_in = "because it is meant to be so"
    place = source.position(meant.span.start)
    edit = _excusing(source, [meant], Excuse(meant.rule, place.line, place.column, stand_in), judge, joins=False)
    return replace(edit, text=edit.text.replace(f" -- {stand_in}", " --")) if edit is not None else None


def _excusing(source: Source, meant: Sequence[Finding], excuse: Excuse, judge: Judge, *, joins: bool) -> Edit | None:
    """The edit by which the findings `meant` are excused, where it excuses least.

    With `joins`, an allowance that the line has already is the place for it.
    """
    before, tree = judge(source), parse(source)
    joined = _joined(tree, excuse) if joins else None
    worth: dict[tuple[int, bool, int], Edit] = {}
    for number, edit in enumerate([joined] if joined is not None else _places(tree, meant[0], excuse)):
        changed = replace(source, text=apply(source, [edit]))
        after = judge(changed)
        if _is_right(before, after, meant):
            # After that counts whether it can be read without scrolling, and how near it is.
            is_wide = len(changed.line(changed.position(edit.span.start).line)) > _WIDEST
            worth[_number_excused(after), is_wide, number] = edit
    return worth[min(worth)] if worth else None


def _is_right(before: Report, after: Report, meant: Sequence[Finding]) -> bool:
    old, new = _open(before), _open(after)
    return not new - old and not Counter(map(_about, meant)) - (old - new)


def _open(report: Report) -> Counter[tuple[str, str, tuple[str, ...], str]]:
    return Counter(_about(finding) for finding in report.findings if finding.allowed is None)


def _about(finding: Finding) -> tuple[str, str, tuple[str, ...], str]:
    return finding.span.source.name, finding.rule, finding.path, finding.culprit


def _number_excused(report: Report) -> int:
    return sum(finding.allowed is not None for finding in report.findings)


# --- Where it may stand -----------------------------------------------------------------------------------------------


def _places(tree: Tree, finding: Finding, excuse: Excuse) -> Iterator[Edit]:
    """What can be tried: behind the line, above it, above each entry around it."""
    source, at = tree.source, finding.span.start
    comment = f"# lampwright: allow {excuse.rule} -- {excuse.reason}"
    end = line_end(source.text, at)
    gap = "  "[: max(0, 2 - (end - before_spaces(source.text, end)))]
    yield Edit(source.span(end, end), f"{gap}{comment}")
    starts = [at, *reversed(entry_starts(tree, finding.span))]
    for start in dict.fromkeys(line_start(source.text, start) for start in starts):
        indent = source.text[start : past_spaces(source.text, start)]
        yield Edit(source.span(start, start), f"{indent}{comment}{line_break(source.text)}")


def _joined(tree: Tree, excuse: Excuse) -> Edit | None:
    """The edit that names the rule in the allowance that the line has already, and gives its reason there too."""
    given, _ = allowances(tree)
    source = tree.source
    here = [each for each in given if source.position(each.comment.span.start).line == excuse.line]
    here = [each for each in here if not each.comment.own_line]
    if not here:
        return None
    last = here[-1]
    behind = source.text[last.span.end : last.comment.span.end]
    # It may be named there already, without the reason that it needs.
    name = "" if any(each.rule == excuse.rule for each in here) else f", {excuse.rule}"
    if excuse.reason == last.reason:
        return Edit(source.span(last.span.end, last.span.end), name)
    reason = f"{last.reason}; {excuse.reason}" if last.reason else excuse.reason
    # The dashes stay where a reason stands behind them.
    dashes = behind[: behind.find("--") + 2] if "--" in behind else " --"
    return Edit(source.span(last.span.end, last.comment.span.end), f"{name}{dashes} {reason}")
