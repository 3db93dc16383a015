"""Every feature: one file a feature, and one line here for each. Features never import each other."""

from __future__ import annotations

from lampwright_lsp.feature import Command, Feature, WorkspaceFeature
from lampwright_lsp.features import (
    code_actions,
    code_lens,
    completion,
    definition,
    folding,
    highlights,
    hover,
    inlay_hints,
    links,
    references,
    rename,
    selection,
    symbols,
    tokens,
    workspace_symbols,
)

# One line for each, so that several can be added at a time.
FEATURES: tuple[Feature | WorkspaceFeature, ...] = (
    code_actions.FEATURE,
    code_actions.RESOLVE,
    folding.FEATURE,
    definition.FEATURE,
    references.FEATURE,
    highlights.FEATURE,
    rename.FEATURE,
    rename.PREPARE,
    symbols.FEATURE,
    workspace_symbols.FEATURE,
    links.FEATURE,
    selection.FEATURE,
    tokens.FEATURE,
    completion.FEATURE,
    hover.FEATURE,
    inlay_hints.FEATURE,
    code_lens.FEATURE,
)  # fmt: skip

COMMANDS: tuple[Command, ...] = (
    code_actions.APPLY,
)  # fmt: skip
