"""Comments that excuse findings: which there are, what each speaks of, and which comments were meant to be one."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lampwright.diagnostics import Problem
from lampwright.patterns import pattern
from lampwright.records import dataclass
from lampwright.syntax import Comment, Tree, scopes_below
from lampwright.text import Span, nearest

_DIRECTIVE = pattern(r"#\s*lampwright\s*:\s*(?P<verb>[A-Za-z]\w*)\b(?P<names>[^#]*?)(?:\s--(?P<reason>.*))?$")
_MARK = "lampwright"
_NAME = pattern(r"[^\s,]+")


@dataclass(frozen=True, slots=True)
class Allowance:
    """One rule that one comment excuses. `span` is the rule's name in the comment.

    `scope` is the line it stands on or, on a line of its own, what stands below it (None: nothing does).
    """

    comment: Comment
    span: Span
    rule: str
    reason: str
    scope: Span | None


def allowances(tree: Tree) -> tuple[tuple[Allowance, ...], tuple[Problem, ...]]:
    """All allowances of a file, and the comments that were probably meant to be one."""
    if _MARK not in tree.source.text:
        # Most files have none.
        return (), ()
    matches = [(comment, match) for comment in tree.comments if (match := _DIRECTIVE.match(comment.span.text))]
    has_own_line = any(comment.own_line for comment, _ in matches)
    below = scopes_below(tree) if has_own_line else {}
    found: list[Allowance] = []
    problems: list[Problem] = []
    for comment, match in matches:
        if match["verb"] != "allow":
            if nearest(match["verb"], ["allow"]):
                problems.append(useless(comment, comment.span.part(*match.span("verb")), "verb"))
            continue
        scope = below.get(comment) if comment.own_line else _line(comment)
        named = list(_allowances_of(comment, match, scope))
        found += named
        if not named:
            problems.append(useless(comment, comment.span, "no-rule"))
    return tuple(found), tuple(problems)


def useless(comment: Comment, span: Span, reason: str, **data: object) -> Problem:
    """The problem of an allowance that excuses nothing, for the given reason."""
    return Problem("useless-allowance", span, {"reason": reason, "comment": comment, **data})


def _allowances_of(comment: Comment, match: re.Match[str], scope: Span | None) -> Iterator[Allowance]:
    start = match.start("names")
    for name in _NAME.finditer(match["names"]):
        span = comment.span.part(start + name.start(), start + name.end())
        yield Allowance(comment, span, name[0], (match["reason"] or "").strip(), scope)


def _line(comment: Comment) -> Span:
    """What stands on the line of a comment before it."""
    source, start = comment.span.source, comment.span.start
    return source.span(start - source.position(start).column + 1, start)
