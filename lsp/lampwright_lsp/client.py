"""What the server knows of its client: what it can do, how it counts, and what its user prefers."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

from lsprotocol import types

from lampwright.account.pages import fault_of_pages
from lampwright_lsp.convert import Positions

SECTION = "lampwright"
"""The name of our part of a client's settings."""


@dataclass(frozen=True, slots=True)
class Preferences:
    """What a user can switch off, all on by default, as `lampwright.inlayHints.currents` in the client's settings.

    `pages` is where the pages of the rules stand, with {rule} for the name; empty if they stand nowhere.
    """

    inlay_hints_currents: bool = True
    inlay_hints_power: bool = True
    inlay_hints_cvs: bool = True
    code_lens: bool = True
    workspace_diagnostics: bool = True
    pages: str = ""


@dataclass(frozen=True, slots=True)
class Client:
    """A client, as it is now."""

    capabilities: types.ClientCapabilities = field(default_factory=types.ClientCapabilities)
    positions: Positions = field(default_factory=Positions)
    preferences: Preferences = field(default_factory=Preferences)

    def can(self, path: str) -> bool:
        """Whether the capability is there that the client calls so, as in `workspace.diagnostics.refresh_support`."""
        value: Any = self.capabilities
        for name in path.split("."):
            value = getattr(value, name, None)
        return bool(value)

    @property
    def asks(self) -> bool:
        """Whether it asks for findings; one that cannot be asked to ask again is told of them, if it listens."""
        if self.can("workspace.diagnostics.refresh_support") or not self.can("text_document.publish_diagnostics"):
            return self.can("text_document.diagnostic")
        return False


def preferences_of(settings: object) -> Preferences:
    """What a client's settings say, with our section around or without; what is of the wrong kind says nothing."""
    if isinstance(settings, Mapping) and isinstance(settings.get(SECTION), Mapping):
        settings = settings[SECTION]
    usual = Preferences(pages=os.environ.get("LAMPWRIGHT_PAGES", ""))
    given = {each.name: _at(settings, each.name) for each in fields(Preferences)}
    said: dict[str, Any] = {name: value for name, value in given.items() if type(value) is type(getattr(usual, name))}
    preferences = replace(usual, **said)
    return replace(preferences, pages="") if fault_of_pages(preferences.pages) else preferences


NAMES = {
    "inlay_hints_currents": ("inlayHints", "currents"),
    "inlay_hints_power": ("inlayHints", "power"),
    "inlay_hints_cvs": ("inlayHints", "cvs"),
    "code_lens": ("codeLens",),
    "workspace_diagnostics": ("workspaceDiagnostics",),
    "pages": ("pages",),
}
"""What each preference is called in a client's settings, step by step."""


def _at(settings: object, name: str) -> object:
    for step in NAMES[name]:
        settings = settings.get(step) if isinstance(settings, Mapping) else None
    return settings
