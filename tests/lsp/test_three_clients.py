"""The server with clients that can do what three editors can: pull in UTF-16, push in UTF-8 and in UTF-32."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from lsprotocol import types
from pytest_lsp import LanguageClient, client_capabilities, make_test_lsp_client

from command import BURNING, FAULTY_SHEET, PLAN, REFERRING, SHEET, lay
from conversation import COMMAND, SECONDS

pytestmark = pytest.mark.asyncio
NAMES = ("visual-studio-code", "neovim@0.11", "emacs")
UNITS = {"visual-studio-code": "utf-16", "neovim@0.11": "utf-8", "emacs": "utf-32"}
CODECS = {"utf-8": "utf-8", "utf-16": "utf-16-le", "utf-32": "utf-32-le"}
COMMENT = "# Ωµ° \U0001f682 {}: 1\n"
ASTRAL = BURNING.replace("front headlamp", "lamp \U0001d50f Ω")


@dataclass
class Editor:
    """A client with what a user would see in it."""

    name: str
    client: LanguageClient
    folder: Path
    units: str = ""
    pulls: bool = False
    registered: list[str] = field(default_factory=list)
    published: list[types.PublishDiagnosticsParams] = field(default_factory=list)
    versions: dict[str, int] = field(default_factory=dict)

    async def start(self) -> None:
        capabilities = client_capabilities(self.name)
        if self.name == "visual-studio-code":
            # The recorded one is older than pull diagnostics.
            assert capabilities.text_document is not None
            assert capabilities.workspace is not None
            capabilities.text_document.diagnostic = types.DiagnosticClientCapabilities(dynamic_registration=True)
            capabilities.workspace.diagnostics = types.DiagnosticWorkspaceClientCapabilities(refresh_support=True)

        @self.client.feature(types.CLIENT_REGISTER_CAPABILITY)
        def register(params: types.RegistrationParams) -> None:
            self.registered.extend(each.method for each in params.registrations)

        @self.client.feature(types.WORKSPACE_INLAY_HINT_REFRESH)
        @self.client.feature(types.WORKSPACE_CODE_LENS_REFRESH)
        @self.client.feature(types.WORKSPACE_SEMANTIC_TOKENS_REFRESH)
        def refresh(_params: None) -> None:
            pass

        publish = self.client.protocol.fm.features[types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS]

        def note(params: types.PublishDiagnosticsParams) -> None:
            self.published.append(params)
            publish(params)

        self.client.protocol.fm.features[types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS] = note
        folder = types.WorkspaceFolder(self.folder.as_uri(), "club")
        params = types.InitializeParams(capabilities=capabilities, workspace_folders=[folder])
        result = await self.client.initialize_session(params)
        self.units = result.capabilities.position_encoding or "utf-16"
        self.pulls = result.capabilities.diagnostic_provider is not None

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    def open(self, name: str, text: str) -> None:
        self.versions[name] = 1
        document = types.TextDocumentItem(self.uri(name), "yaml", 1, text)
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(document))

    def change(self, name: str, *changes: Any) -> None:
        self.versions[name] += 1
        document = types.VersionedTextDocumentIdentifier(self.versions[name], self.uri(name))
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(document, list(changes)))

    def close(self, name: str) -> None:
        document = types.TextDocumentIdentifier(self.uri(name))
        self.client.text_document_did_close(types.DidCloseTextDocumentParams(document))

    async def seen(self, name: str) -> list[types.Diagnostic]:
        """What is shown of an open file, once it is about its present text."""
        if self.pulls:
            document = types.TextDocumentIdentifier(self.uri(name))
            report = await self.client.text_document_diagnostic_async(types.DocumentDiagnosticParams(document))
            assert isinstance(report, types.RelatedFullDocumentDiagnosticReport)
            return list(report.items)
        return await self.pushed(name, self.versions[name])

    async def pushed(self, name: str, version: int | None) -> list[types.Diagnostic]:
        for _ in range(SECONDS * 50):
            mine = [each for each in self.published if each.uri == self.uri(name)]
            if mine and mine[-1].version == version:
                return list(mine[-1].diagnostics)
            await asyncio.sleep(0.02)
        raise AssertionError(f"nothing was sent of {name}: {self.published}")

    async def comes(self, name: str, rules: list[str]) -> None:
        """Wait until these are the findings that are shown of a file."""
        for _ in range(SECONDS * 20):
            mine = [each for each in self.published if each.uri == self.uri(name)]
            if mine and [each.code for each in mine[-1].diagnostics] == rules:
                return
            await asyncio.sleep(0.05)
        raise AssertionError(f"{rules} did not come for {name}: {self.published}")


@pytest_asyncio.fixture(params=NAMES)
async def editor(request: pytest.FixtureRequest, tmp_path: Path) -> AsyncIterator[Editor]:
    client = make_test_lsp_client()
    await client.start_io(*COMMAND)
    made = Editor(request.param, client, tmp_path)
    yield made
    await asyncio.wait_for(client.shutdown_session(), SECONDS)
    await client.stop()


async def test_each_gets_its_units_and_one_way_of_diagnostics(editor: Editor) -> None:
    await editor.start()
    assert editor.units == UNITS[editor.name]
    # Neovim 0.11 asks, but cannot be asked to ask again.
    assert editor.pulls == (editor.name == "visual-studio-code")
    editor.open("loco.lights.yaml", BURNING)
    assert [each.code for each in await editor.seen("loco.lights.yaml")] == ["unprotected-led"]
    await asyncio.sleep(0.3)
    assert bool(editor.published) == (not editor.pulls)
    watches = types.WORKSPACE_DID_CHANGE_WATCHED_FILES in editor.registered
    assert watches == (editor.name != "neovim@0.11")


async def test_columns_are_right_behind_astral_characters(editor: Editor) -> None:
    await editor.start()
    editor.open("loco.lights.yaml", ASTRAL)
    (found,) = await editor.seen("loco.lights.yaml")
    lines = ASTRAL.split("\n")
    encoding = CODECS[editor.units]
    size = len("a".encode(encoding))
    line = lines[found.range.start.line].encode(encoding)
    culprit = line[found.range.start.character * size : found.range.end.character * size].decode(encoding)
    assert culprit == "lamp \U0001d50f Ω"


async def test_edits_are_followed(editor: Editor) -> None:
    await editor.start()
    text = COMMENT + BURNING
    editor.open("loco.lights.yaml", text)
    assert len(await editor.seen("loco.lights.yaml")) == 1
    # Put the resistor in, in front of the lamp, whose line has no character that is counted differently.
    row = next(index for index, line in enumerate(text.split("\n")) if "circuit" in line)
    column = text.split("\n")[row].index("[front") + 1
    place = types.Range(types.Position(row, column), types.Position(row, column))
    editor.change("loco.lights.yaml", types.TextDocumentContentChangePartial(place, "1.5 kohm 1/4 W, "))
    assert await editor.seen("loco.lights.yaml") == []
    # Make a key of the brackets behind the locomotive in the comment.
    units = {"utf-8": 2 + 6 + 1 + 4, "utf-16": 2 + 3 + 1 + 2, "utf-32": 2 + 3 + 1 + 1}[editor.units]
    place = types.Range(types.Position(0, units), types.Position(0, units + 3))
    editor.change("loco.lights.yaml", types.TextDocumentContentChangePartial(place, "\nvehicel"))
    (found,) = await editor.seen("loco.lights.yaml")
    assert found.code == "unknown-key"
    assert found.range == types.Range(types.Position(1, 0), types.Position(1, 7))


async def test_a_sheet_that_is_not_saved_counts_for_open_plans(editor: Editor) -> None:
    lay({"bench-six.decoder.yaml": SHEET}, editor.folder)
    await editor.start()
    editor.open("loco.lights.yaml", REFERRING)
    assert await editor.seen("loco.lights.yaml") == []
    editor.open("bench-six.decoder.yaml", SHEET.replace("limit: 100 mA", "limit: 2 mA"))
    if editor.pulls:
        assert "overloaded-output" in [each.code for each in await editor.seen("loco.lights.yaml")]
    else:
        await editor.comes("loco.lights.yaml", ["overloaded-output"])
    editor.close("bench-six.decoder.yaml")
    if editor.pulls:
        assert await editor.seen("loco.lights.yaml") == []
    else:
        await editor.comes("loco.lights.yaml", [])


async def test_files_that_are_not_open_are_told_of(editor: Editor) -> None:
    lay({"bench-six.decoder.yaml": FAULTY_SHEET, "loco.lights.yaml": REFERRING}, editor.folder)
    await editor.start()
    if not editor.pulls:
        await editor.comes("bench-six.decoder.yaml", ["misspelt-unit"])
        assert await editor.pushed("bench-six.decoder.yaml", None)
        return
    report = await editor.client.workspace_diagnostic_async(types.WorkspaceDiagnosticParams([]))
    full = [each for each in report.items if isinstance(each, types.WorkspaceFullDocumentDiagnosticReport)]
    told = {each.uri: [item.code for item in each.items] for each in full}
    assert told == {editor.uri("bench-six.decoder.yaml"): ["misspelt-unit"], editor.uri("loco.lights.yaml"): []}


async def test_files_that_change_outside_are_noticed(editor: Editor) -> None:
    lay({"bench-six.decoder.yaml": SHEET}, editor.folder)
    await editor.start()
    editor.open("loco.lights.yaml", REFERRING)
    assert await editor.seen("loco.lights.yaml") == []
    (editor.folder / "bench-six.decoder.yaml").unlink()
    change = types.FileEvent(editor.uri("bench-six.decoder.yaml"), types.FileChangeType.Deleted)
    editor.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([change]))
    if not editor.pulls:
        await editor.comes("loco.lights.yaml", ["unreadable-file"])
        return
    assert [each.code for each in await editor.seen("loco.lights.yaml")] == ["unreadable-file"]
    if editor.name == "visual-studio-code":
        for _ in range(100):
            await asyncio.sleep(0.02)
            if editor.client.diagnostic_refresh_count:
                break
        assert editor.client.diagnostic_refresh_count == 1


async def test_other_files_are_ignored_without_a_word(editor: Editor) -> None:
    await editor.start()
    editor.open("compose.yaml", "services: [")
    if editor.pulls:
        assert await editor.seen("compose.yaml") == []
    document = types.TextDocumentIdentifier(editor.uri("compose.yaml"))
    assert await editor.client.text_document_folding_range_async(types.FoldingRangeParams(document)) is None
    await asyncio.sleep(0.3)
    assert editor.published == []
    assert editor.client.log_messages == []


# --- At work ----------------------------------------------------------------------------------------------------------

# 14.5 V less 1.4 V and 3.0 V leave 10.1 V.
LIT = PLAN.replace("front headlamp", "lamp \U0001d50f Ω").replace("1.5 kohm 1/4 W", "1 kohm 1/2 W")


def place_of(editor: Editor, text: str, words: str, into: int = 0) -> types.Position:
    """Where `words` begin, or a character `into` them, as that client counts."""
    before = text[: text.index(words) + into]
    line = before.rpartition("\n")[2].encode(CODECS[editor.units])
    return types.Position(before.count("\n"), len(line) // len("a".encode(CODECS[editor.units])))


def edited(editor: Editor, text: str, edits: list[types.TextEdit]) -> str:
    """The text as that client makes it of the edits, without the server's ways to count."""
    lines = [line.encode(CODECS[editor.units]) for line in text.splitlines(keepends=True)]
    size = len("a".encode(CODECS[editor.units]))
    starts = [sum(map(len, lines[:number])) for number in range(len(lines) + 1)]
    whole = b"".join(lines)

    def at(position: types.Position) -> int:
        return starts[position.line] + position.character * size

    for edit in sorted(edits, key=lambda edit: at(edit.range.start), reverse=True):
        new = edit.new_text.encode(CODECS[editor.units])
        whole = whole[: at(edit.range.start)] + new + whole[at(edit.range.end) :]
    return whole.decode(CODECS[editor.units])


async def test_what_is_under_the_pointer(editor: Editor) -> None:
    await editor.start()
    editor.open("loco.lights.yaml", LIT)
    document = types.TextDocumentIdentifier(editor.uri("loco.lights.yaml"))
    circuit = LIT.index("circuit")
    behind = len(LIT[: LIT.index("lamp \U0001d50f Ω]")]) - circuit
    place = place_of(editor, LIT, "circuit", behind)
    found = await editor.client.text_document_hover_async(types.HoverParams(document, place))
    assert found is not None
    assert isinstance(found.contents, types.MarkupContent)
    assert "at output white: 10.1 mA" in found.contents.value.replace("\\", "")
    assert found.contents.kind is types.MarkupKind.Markdown
    assert found.range == types.Range(place, place_of(editor, LIT, "lamp \U0001d50f Ω]}", len("lamp \U0001d50f Ω")))
    nothing = await editor.client.text_document_hover_async(types.HoverParams(document, types.Position(0, 1)))
    assert nothing is None


async def test_a_resistor_that_fits_is_offered_and_taken(editor: Editor) -> None:
    await editor.start()
    text = LIT.replace("1 kohm 1/2 W", "")
    editor.open("loco.lights.yaml", text)
    document = types.TextDocumentIdentifier(editor.uri("loco.lights.yaml"))
    found = await editor.client.text_document_completion_async(
        types.CompletionParams(document, place_of(editor, text, "[, lamp", 1))
    )
    assert isinstance(found, types.CompletionList)
    best = found.items[0]
    assert "ohm" in best.label
    assert "mA" in (best.detail or "")
    knows_snippets = editor.name != "emacs"
    assert any(each.kind == types.CompletionItemKind.Snippet for each in found.items) == knows_snippets
    if not knows_snippets:
        assert all(each.insert_text_format is None for each in found.items)
    assert isinstance(best.text_edit, types.TextEdit)
    taken = edited(editor, text, [best.text_edit])
    assert taken == text.replace("[,", f"[{best.label},")
    editor.change("loco.lights.yaml", types.TextDocumentContentChangeWholeDocument(taken))
    assert await editor.seen("loco.lights.yaml") == []


async def test_a_fix_is_applied_and_cures(editor: Editor) -> None:
    await editor.start()
    editor.open("loco.lights.yaml", ASTRAL)
    (shown,) = await editor.seen("loco.lights.yaml")
    document = types.TextDocumentIdentifier(editor.uri("loco.lights.yaml"))
    params = types.CodeActionParams(document, shown.range, types.CodeActionContext([shown]))
    actions = await editor.client.text_document_code_action_async(params)
    fixes = [each for each in actions or () if isinstance(each, types.CodeAction) and each.title.startswith("Put in")]
    fix = fixes[0]
    assert list(fix.diagnostics or ()) == [shown]
    if fix.edit is None:
        fix = await editor.client.code_action_resolve_async(fix)
    assert fix.edit is not None
    # VS Code and Emacs know versions, Neovim 0.11 says that it does not.
    if editor.name.startswith("neovim"):
        assert fix.edit.document_changes is None
        ((uri, edits),) = (fix.edit.changes or {}).items()
    else:
        assert fix.edit.changes is None
        (change,) = fix.edit.document_changes or ()
        assert isinstance(change, types.TextDocumentEdit)
        assert change.text_document.version == 1
        uri, edits = change.text_document.uri, list(change.edits)
    assert uri == document.uri
    # Only VS Code can ask its user before it does what is not sure.
    asks = editor.name == "visual-studio-code"
    assert all(isinstance(each, types.AnnotatedTextEdit if asks else types.TextEdit) for each in edits)
    plain = [types.TextEdit(each.range, each.new_text) for each in edits if not isinstance(each, types.SnippetTextEdit)]
    editor.change("loco.lights.yaml", types.TextDocumentContentChangeWholeDocument(edited(editor, ASTRAL, plain)))
    assert "unprotected-led" not in [each.code for each in await editor.seen("loco.lights.yaml")]


async def test_hints_stand_behind_what_they_are_about(editor: Editor) -> None:
    await editor.start()
    editor.open("loco.lights.yaml", LIT)
    document = types.TextDocumentIdentifier(editor.uri("loco.lights.yaml"))
    everywhere = types.Range(types.Position(0, 0), types.Position(LIT.count("\n"), 0))
    found = await editor.client.text_document_inlay_hint_async(types.InlayHintParams(document, everywhere))
    beside = {str(each.label): each.position for each in found or ()}
    assert beside["10.1 mA"] == place_of(editor, LIT, "Ω]}", 2)
    assert beside["102 mW"] == place_of(editor, LIT, "1/2 W", len("1/2 W"))
    above = types.Range(types.Position(0, 0), types.Position(1, 0))
    assert not await editor.client.text_document_inlay_hint_async(types.InlayHintParams(document, above))
    lenses = await editor.client.text_document_code_lens_async(types.CodeLensParams(document))
    assert next(each.command.title for each in lenses or () if each.command) == "no findings"
