"""What there is to say of a whole plan, above its first line: findings, the worst current, the number of CVs."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol import types

from lampwright.account.words import LEVELS, counted
from lampwright.analysis.together import Together
from lampwright.diagnostics import Report
from lampwright.units import Dimension, say
from lampwright_lsp.documents import Snapshot
from lampwright_lsp.feature import Feature

_TOP = types.Range(types.Position(0, 0), types.Position(0, 0))


def code_lens(snapshot: Snapshot, _params: types.CodeLensParams) -> list[types.CodeLens] | None:
    """Titles without a command: there is nothing to be run, only to be read.

    While the text cannot be read, the findings are those of now, and the rest is what it was.
    """
    good = snapshot.good
    if good.plan is None or not snapshot.client.preferences.code_lens:
        return None
    titles = [_findings(snapshot, snapshot.report), *(_sums(good) if not good.tree.broken else ())]
    return [types.CodeLens(_TOP, types.Command(title=title, command="")) for title in titles]


FEATURE = Feature(types.TEXT_DOCUMENT_CODE_LENS, code_lens, types.CodeLensOptions(resolve_provider=False))


def _sums(snapshot: Snapshot) -> Iterator[str]:
    together, decoder = snapshot.context.together, snapshot.context.plan.decoder
    if isinstance(together, Together) and together.outputs:
        limit = decoder.outputs_together if decoder is not None else None
        most = f" of {say(limit.usual, Dimension.CURRENT)}" if limit is not None else ""
        yield f"at most {say(together.current.highest, Dimension.CURRENT)}{most} together"
    settings = snapshot.context.programming.settings
    if settings:
        yield counted(len(settings), "CV")


def _findings(snapshot: Snapshot, report: Report) -> str:
    own = [each for each in report.findings if each.allowed is None and each.span.source is snapshot.source]
    counts = [(sum(each.level is level for each in own), level.word) for level in LEVELS]
    return ", ".join(counted(number, word) for number, word in counts if number) or "no findings"
