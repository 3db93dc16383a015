"""Snapshots of texts as the language server has them, without a server and without files."""

from __future__ import annotations

from collections.abc import Mapping

from lsprotocol import types

from lampwright.text import Encoding
from lampwright_lsp.client import Client, Preferences
from lampwright_lsp.convert import Positions
from lampwright_lsp.desk import Desk
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.texts import Text

FOLDER = "untitled:/the/club/"
"""All is in buffers, and nothing of it on the disk."""


def documents(
    files: Mapping[str, str],
    encoding: Encoding = "utf-16",
    capabilities: types.ClientCapabilities | None = None,
    preferences: Preferences | None = None,
) -> Documents:
    """The club's files, by name, all of them open."""
    desk = Desk()
    made = Documents(desk)
    made.client = Client(capabilities or types.ClientCapabilities(), Positions(encoding), preferences or Preferences())
    for name, text in files.items():
        lay(made, name, text, version=1)
    return made


def lay(documents: Documents, name: str, text: str, version: int = 2) -> None:
    """Type `text` into the buffer of the file called `name`."""
    documents.desk.lay(Text(FOLDER + name, version, (text,)))


def snapshot(
    text: str,
    name: str = "plan.lights.yaml",
    files: Mapping[str, str] | None = None,
    encoding: Encoding = "utf-16",
    capabilities: types.ClientCapabilities | None = None,
    preferences: Preferences | None = None,
) -> Snapshot:
    """The snapshot of `text`, which may refer to `files`."""
    made = documents({name: text, **(files or {})}, encoding, capabilities, preferences).snapshot(FOLDER + name)
    assert made is not None
    return made


def place(text: str, mark: str = "|") -> tuple[str, types.Position]:
    """`text` without its one `mark`, and where that stood, in UTF-16."""
    before, _, after = text.partition(mark)
    line = before.rpartition("\n")[2]
    return before + after, types.Position(before.count("\n"), len(line.encode("utf-16-le")) // 2)
