"""Every feature: one file a feature, and one line here for each. Features never import each other."""

from __future__ import annotations

from lampwright_lsp.feature import Command, Feature, WorkspaceFeature
from lampwright_lsp.features import code_actions, folding

# One line for each, so that several can be added at a time.
FEATURES: tuple[Feature | WorkspaceFeature, ...] = (
    code_actions.FEATURE,
    code_actions.RESOLVE,
    folding.FEATURE,
)  # fmt: skip

COMMANDS: tuple[Command, ...] = ()
