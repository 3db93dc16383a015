"""Findings become what editors underline: the same places and words as those of `lampwright check`."""

from __future__ import annotations

from lsprotocol import types

from lampwright.account.pages import page_of
from lampwright.diagnostics import Finding, Severity
from lampwright_lsp.client import Client
from lampwright_lsp.documents import Found

SOURCE = "lampwright"

_LEVELS = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.WARNING: types.DiagnosticSeverity.Warning,
    Severity.NOTE: types.DiagnosticSeverity.Information,
}
_WITHOUT_EFFECT = {"useless-allowance", "covered-entry"}
"""Rules whose findings are about text that changes nothing; editors show it faded."""


def diagnostics(found: Found, client: Client) -> list[types.Diagnostic]:
    """What is wrong in one file, without what a comment allows."""
    return [_diagnostic(each, found, client) for each in found.findings if each.allowed is None]


def _diagnostic(finding: Finding, found: Found, client: Client) -> types.Diagnostic:
    pages = client.preferences.pages
    return types.Diagnostic(
        range=client.positions.range(finding.span),
        message=finding.message,
        severity=_LEVELS[finding.level],
        code=finding.rule,
        code_description=types.CodeDescription(page_of(pages, finding.rule)) if pages else None,
        source=SOURCE,
        tags=[types.DiagnosticTag.Unnecessary] if finding.rule in _WITHOUT_EFFECT else None,
        related_information=_related(finding, found, client) or None,
        data=finding.fingerprint,
    )


def _related(finding: Finding, found: Found, client: Client) -> list[types.DiagnosticRelatedInformation]:
    return [
        types.DiagnosticRelatedInformation(
            types.Location(found.uris[note.span.source], client.positions.range(note.span)), note.message
        )
        for note in finding.notes
    ]
