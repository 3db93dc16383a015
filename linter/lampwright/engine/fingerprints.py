"""Gives each finding a key by which it is known again in a later report, although lines have moved."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lampwright.diagnostics import Finding
from lampwright.records import replace
from lampwright.syntax import Tree, path_at
from lampwright.text import Source, Span


def fingerprinted(trees: Mapping[Source, Tree], findings: list[Finding]) -> Iterator[Finding]:
    """Each finding with a key made of rule, keys on the way and culprit; of equal ones the second is another one.

    So it is unique in its file, and stable when anything above is added or moved. Neither list indices nor the layout
    count, and not the message: its figures change with the house supply.
    """
    if not findings:
        return
    # A plan without findings does not wait for the cryptography that this loads.
    from hashlib import sha256

    seen: dict[str, int] = {}
    for finding in sorted(findings, key=lambda finding: (finding.span.start, finding.rule)):
        path = _path(trees, finding.span)
        content = "\0".join((finding.rule, "\0".join(path), finding.culprit))
        count = seen[content] = seen.get(content, 0) + 1
        key = sha256(f"{content}\0{count}".encode("utf-8", "surrogatepass")).hexdigest()[:16]
        yield replace(finding, fingerprint=key, path=path)


def _path(trees: Mapping[Source, Tree], span: Span) -> tuple[str, ...]:
    tree = trees.get(span.source)
    return tuple(step for step in path_at(tree, span) if isinstance(step, str)) if tree is not None else ()
