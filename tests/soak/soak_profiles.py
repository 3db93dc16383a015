"""What the clients of a soak can do: drawn by a seed, so that each of the server's ways of answering is gone."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

WAYS = ("asks, and is asked to ask again", "asks", "is told", "could ask, and is told")
UNITS = ("utf-16", "utf-8", "utf-32")


@dataclass(frozen=True, slots=True)
class Profile:
    """One kind of client: how it gets findings, how it counts, what else it can do."""

    way: str
    units: str
    capabilities: dict[str, Any]

    @property
    def asks(self) -> bool:
        """Whether it asks for findings."""
        return self.way.startswith("asks")

    @property
    def is_asked_again(self) -> bool:
        """Whether the server can ask it to ask again."""
        return self.way == WAYS[0]

    @property
    def words(self) -> str:
        """What it is, in a few words."""
        return f"{self.way}; {self.units}; {', '.join(sorted(_leaves(self.capabilities)))}"


def profile_of(seed: int) -> Profile:
    """The client of that seed: neighbouring seeds get findings in different ways and count in different units."""
    random = Random(f"profile {seed}")
    way, units = WAYS[seed % len(WAYS)], UNITS[seed % len(UNITS)]

    def perhaps(**capabilities: Any) -> dict[str, Any]:
        return capabilities if random.random() < 0.5 else {}

    published = {"publishDiagnostics": {"versionSupport": True, "relatedInformation": True}}
    resolving = {"dataSupport": True, "resolveSupport": {"properties": ["edit"]}}
    literal = {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}}, **perhaps(**resolving)}
    text_document = {
        **({} if way == "is told" else {"diagnostic": {"dynamicRegistration": True}}),
        **({} if way == WAYS[1] else published),
        "completion": {"completionItem": {"snippetSupport": random.random() < 0.5}},
        **perhaps(codeAction=literal),
        **perhaps(definition={"linkSupport": True}),
        **perhaps(hover={"contentFormat": [random.choice(["plaintext", "markdown"])]}),
    }
    edits = {
        **perhaps(documentChanges=True),
        **perhaps(changeAnnotationSupport={"groupsOnLabel": True}),
        **perhaps(snippetEditSupport=True),
        **perhaps(resourceOperations=["create", "rename", "delete"]),
    }
    workspace = {
        "workspaceFolders": True,
        "workspaceEdit": edits,
        **perhaps(applyEdit=True),
        **perhaps(configuration=True),
        **perhaps(didChangeWatchedFiles={"dynamicRegistration": True}),
        **perhaps(didChangeConfiguration={"dynamicRegistration": True}),
        **perhaps(inlayHint={"refreshSupport": True}, codeLens={"refreshSupport": True}),
        **perhaps(semanticTokens={"refreshSupport": True}),
        **({"diagnostics": {"refreshSupport": True}} if way == WAYS[0] else {}),
    }
    general = {} if units == "utf-16" and random.random() < 0.5 else {"positionEncodings": [units]}
    return Profile(way, units, {"general": general, "textDocument": text_document, "workspace": workspace})


def _leaves(capabilities: dict[str, Any], before: str = "") -> list[str]:
    """The names of what is switched on, innermost last."""
    found: list[str] = []
    for name, value in capabilities.items():
        if isinstance(value, dict) and value:
            found += _leaves(value, f"{before}{name}.")
        elif value is True:
            found.append(f"{before}{name}")
    return found
