"""A report as a SARIF 2.1.0 log (OASIS, errata 01), for services and editors that show what analyses found.

Columns count UTF-16 code units, which is what most readers take for granted, and the log says so. What could not be
decided is a result of kind `open`; what an allowance excuses is a result that is suppressed.
"""

from __future__ import annotations

from urllib.parse import quote

from lampwright import __version__
from lampwright.account.objects import summary_object, written
from lampwright.account.pages import page_of
from lampwright.diagnostics import Failure, Finding, Fix, Note, Report, Undecided
from lampwright.harmless import visible
from lampwright.patterns import pattern
from lampwright.rule import Rule
from lampwright.rules import RULES
from lampwright.text import Edit, Span

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_BASE = "%SRCROOT%"


def render_sarif(report: Report, pages: str | None = None) -> str:
    """The log, with one run and a line end. It holds neither time nor absolute path, so that logs can be compared.

    `pages` is the address of the rules' pages, for links to them.
    """
    rules = _rules_that_ran(report)
    numbers = {rule.name: number for number, rule in enumerate(rules)}
    results = [_finding(finding, numbers) for finding in report.findings]
    results += [_undecided(item, numbers) for item in report.undecided]
    run = {
        "tool": {"driver": _driver(rules, pages)},
        "invocations": [_invocation(report)],
        "originalUriBaseIds": {_BASE: {"description": {"text": "The folder that the command was run in."}}},
        "artifacts": _artifacts(report),
        "results": results,
        "columnKind": "utf16CodeUnits",
        # A lone carriage return ends a line for us, but not by default.
        "newlineSequences": ["\r\n", "\n", "\r"],
        "properties": {"summary": summary_object(report)},
    }
    return f"{written({'$schema': _SCHEMA, 'version': '2.1.0', 'runs': [run]}, indent=2)}\n"


# --- What ran ---------------------------------------------------------------------------------------------------------


def _rules_that_ran(report: Report) -> list[Rule]:
    """All but those that the settings leave out; one that some folder leaves out but that has spoken did run."""
    spoke = {each.rule for each in report.findings} | {each.rule for each in report.undecided}
    return [rule for rule in RULES if rule.name not in report.ignored or rule.name in spoke]


def _driver(rules: list[Rule], pages: str | None) -> dict[str, Any]:
    return {
        "name": "Lampwright",
        "version": __version__,
        "semanticVersion": __version__,
        "rules": [_descriptor(rule, pages) for rule in rules],
    }


def _descriptor(rule: Rule, pages: str | None) -> dict[str, Any]:
    page = rule.page.strip()
    address = {"helpUri": page_of(pages, rule.name)} if pages is not None else {}
    return {
        "id": rule.name,
        "name": "".join(word.capitalize() for word in rule.name.split("-")),
        "shortDescription": {"text": _literal(rule.summary)},
        "fullDescription": {"text": _literal(" ".join(page.partition("\n\nBad:")[0].split()))},
        # Headings, paragraphs and indented examples: a page is Markdown as it is.
        "help": {"text": page, "markdown": page},
        **address,
        "defaultConfiguration": {"level": rule.level.word},
    }


def _invocation(report: Report) -> dict[str, Any]:
    ignored = [
        {"level": "note", "message": {"text": f"The rule {name} is ignored by the settings."}}
        for name in report.ignored
    ]
    return {
        "executionSuccessful": not report.failures,
        "toolExecutionNotifications": [_failure(failure) for failure in report.failures],
        "toolConfigurationNotifications": ignored,
    }


def _failure(failure: Failure) -> dict[str, Any]:
    rule = {"associatedRule": {"id": failure.rule}} if failure.rule else {}
    where = {"physicalLocation": {"artifactLocation": _artifact(failure.file)}}
    return {"level": "error", "message": _message(failure.text), "locations": [where], **rule}


def _artifacts(report: Report) -> list[dict[str, Any]]:
    names = sorted(source.name for source in report.sources)
    return [{"location": _artifact(name), "roles": ["analysisTarget"]} for name in names]


# --- Results ----------------------------------------------------------------------------------------------------------


def _finding(finding: Finding, numbers: dict[str, int]) -> dict[str, Any]:
    result: dict[str, Any] = {
        **_rule(finding.rule, numbers),
        "kind": "fail",
        "level": finding.level.word,
        "message": _message(finding.message),
        "locations": [{"physicalLocation": _physical(finding.span)}],
        "partialFingerprints": {"lampwright/v1": finding.fingerprint},
        "suppressions": _suppressions(finding),
    }
    if finding.notes:
        result["relatedLocations"] = [_related(number, note) for number, note in enumerate(finding.notes, 1)]
    if finding.fixes:
        result["fixes"] = [_fix(fix) for fix in finding.fixes]
    return result


def _undecided(item: Undecided, numbers: dict[str, int]) -> dict[str, Any]:
    return {
        **_rule(item.rule, numbers),
        "kind": "open",
        "level": "none",
        "message": _message(f"not decided: lacks {item.lacks}"),
        "locations": [{"physicalLocation": _physical(item.span)}],
        "suppressions": [],
    }


def _suppressions(finding: Finding) -> list[dict[str, Any]]:
    """Why a finding is excused. All results of a run have this list or none (3.27.23), so that most are empty."""
    return [] if finding.allowed is None else [{"kind": "inSource", "justification": visible(finding.allowed)}]


def _rule(name: str, numbers: dict[str, int]) -> dict[str, Any]:
    return {"ruleId": name, "ruleIndex": numbers[name]} if name in numbers else {"ruleId": name}


def _related(number: int, note: Note) -> dict[str, Any]:
    return {"id": number, "physicalLocation": _physical(note.span), "message": _message(note.message)}


def _fix(fix: Fix) -> dict[str, Any]:
    by_file: dict[str, list[Edit]] = {}
    for edit in fix.edits:
        by_file.setdefault(edit.span.source.name, []).append(edit)
    changes = [
        {"artifactLocation": _artifact(name), "replacements": [_replacement(edit) for edit in edits]}
        for name, edits in by_file.items()
    ]
    return {"description": _message(fix.title), "artifactChanges": changes, "properties": {"sure": fix.sure}}


def _replacement(edit: Edit) -> dict[str, Any]:
    inserted = {"insertedContent": {"text": edit.text}} if edit.text else {}
    return {"deletedRegion": _region(edit.span), **inserted}


# --- Places and words -------------------------------------------------------------------------------------------------


def _physical(span: Span) -> dict[str, Any]:
    return {"artifactLocation": _artifact(span.source.name), "region": _region(span)}


def _region(span: Span) -> dict[str, int]:
    """Lines and columns from 1, the end exclusive."""
    source = span.source
    return {
        "startLine": source.position(span.start).line,
        "startColumn": source.units_before(span.start, "utf-16") + 1,
        "endLine": source.position(span.end).line,
        "endColumn": source.units_before(span.end, "utf-16") + 1,
    }


def _artifact(name: str) -> dict[str, str]:
    """A file as a URI (RFC 3986), relative to the base unless it lies on another drive."""
    data = _bytes(name)
    if _DRIVE.match(name):
        return {"uri": f"file:///{quote(data, safe='/:')}"}
    return {"uri": quote(data), "uriBaseId": _BASE}


_DRIVE = pattern("[A-Za-z]:/")


def _bytes(name: str) -> bytes:
    """The bytes of a name; one that is no UTF-8 has lone surrogates, as os.fsdecode makes them."""
    try:
        return name.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return name.encode("utf-8", "surrogatepass")


def _message(text: str) -> dict[str, str]:
    return {"text": _literal(visible(text))}


def _literal(text: str) -> str:
    """`text` so that no name in it is a link or a placeholder, which SARIF messages may have (3.11.5 and 3.11.6)."""
    return _PLACEHOLDER.sub(r"{{\1}}", _LINK.sub(r"\\[\1\\](", text))


_LINK = pattern(r"\[([^\[\]]*)\]\(")
_PLACEHOLDER = pattern(r"\{([0-9]+)\}")
