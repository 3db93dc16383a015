"""Which request goes where: texts to the desk, questions to features, findings to the client. Holds no logic."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcException, JsonRpcInternalError
from pygls.lsp.server import LanguageServer

from lampwright import __version__
from lampwright_lsp.addresses import path_of
from lampwright_lsp.client import SECTION, Client, preferences_of
from lampwright_lsp.convert import ENCODINGS, Positions
from lampwright_lsp.desk import Desk
from lampwright_lsp.documents import Documents, concerns_others, is_ours
from lampwright_lsp.feature import Command, Feature, RefusedError, WorkspaceFeature
from lampwright_lsp.features import COMMANDS, FEATURES
from lampwright_lsp.protocol import Protocol
from lampwright_lsp.telling import Asked, Teller, Unasked, said
from lampwright_lsp.texts import Text
from lampwright_lsp.work import Work

_LOGGER = logging.getLogger(__name__)
_WATCHED = ("**/*.lights.yaml", "**/*.decoder.yaml", "**/*.parts.yaml", "**/lampwright.yaml", "**/.gitignore")
_REFRESHED = {
    "workspace.inlay_hint.refresh_support": types.WORKSPACE_INLAY_HINT_REFRESH,
    "workspace.code_lens.refresh_support": types.WORKSPACE_CODE_LENS_REFRESH,
    "workspace.semantic_tokens.refresh_support": types.WORKSPACE_SEMANTIC_TOKENS_REFRESH,
    "workspace.diagnostics.refresh_support": types.WORKSPACE_DIAGNOSTIC_REFRESH,
}
_REQUEST_FAILED = types.LSPErrorCodes.RequestFailed.value
_LEVELS = {logging.ERROR: types.MessageType.Error, logging.WARNING: types.MessageType.Warning}


class Server(LanguageServer):
    """The server with all that it keeps."""

    protocol: Protocol
    teller: Teller

    def __init__(self) -> None:
        super().__init__("lampwright", __version__, protocol_cls=Protocol)
        self.desk = Desk()
        self.documents = Documents(self.desk)
        self.work = Work(self.documents, said)

    @property
    def client(self) -> Client:
        """What is known of the client."""
        return self.documents.client

    def log(self, level: int, text: str) -> None:
        """Tell the client's log."""
        self.window_log_message(types.LogMessageParams(_LEVELS.get(level, types.MessageType.Info), text))

    def report_server_error(self, error: Exception, source: Any) -> None:
        """Tell the client's log, not its user: what is wrong with the server is no news about a plan.

        What was refused for good reasons has been answered in words, and is no failure.
        """
        if isinstance(error, JsonRpcInternalError) or not isinstance(error, JsonRpcException):
            data = getattr(error, "data", None)
            trace = "".join(data.get("traceback", ())) if isinstance(data, dict) else ""
            _LOGGER.error("%s, which is our fault: %s\n%s", getattr(source, "__name__", source), error, trace)

    def refresh(self) -> None:
        """Ask the client to ask again for all that may have changed with other files."""
        for capability, method in _REFRESHED.items():
            if self.client.can(capability):
                self.protocol.send_request(method)


def make_server() -> Server:
    """A server with all features registered."""
    server = Server()
    for feature in FEATURES:
        server.feature(feature.method, feature.options)(_handler(server, feature))
    for command in COMMANDS:
        server.command(command.name)(_command(server, command))
    _register_life(server)
    _register_texts(server)
    _register_files(server)
    return server


# --- Features ---------------------------------------------------------------------------------------------------------


def _handler(server: Server, feature: Feature | WorkspaceFeature) -> Callable[[Any], Awaitable[object]]:
    if isinstance(feature, WorkspaceFeature):

        async def of_workspace(params: Any) -> object:
            return await server.work.answer(_guarded, feature.method, feature.answer, server.documents, params)

        return of_workspace

    async def of_document(params: Any) -> object:
        uri = feature.uri_of(params)
        return await server.work.answer(_guarded, feature.method, _answer, feature, server.documents, uri, params)

    return of_document


def _answer(feature: Feature, documents: Documents, uri: str, params: Any) -> object:
    snapshot = documents.snapshot(uri)
    return None if snapshot is None else feature.answer(snapshot, params)


def _command(server: Server, command: Command) -> Callable[..., Awaitable[object]]:
    async def handle(*arguments: Any) -> None:
        change = await server.work.answer(_guarded, command.name, command.answer, server.documents, list(arguments))
        if isinstance(change, types.ApplyWorkspaceEditParams):
            server.workspace_apply_edit(change)

    return handle


def _guarded(name: str, function: Callable[..., object], *given: object) -> object:
    """What `function` says; if it fails, that costs this answer and nothing else."""
    try:
        return function(*given)
    except RefusedError as error:
        raise JsonRpcException(str(error), _REQUEST_FAILED) from error
    except Exception:
        _LOGGER.exception("%s failed, which is our fault", name)
        return None


# --- The life of the server -------------------------------------------------------------------------------------------


def _register_life(server: Server) -> None:
    @server.feature(types.INITIALIZE)
    def initialize(params: types.InitializeParams) -> None:
        # An encoding that the protocol names is a word of its own, or just a text: that depends on the library's mood.
        units = server.workspace.position_encoding
        encoding = ENCODINGS[str(getattr(units, "value", units))]
        preferences = preferences_of(params.initialization_options)
        server.documents.client = Client(params.capabilities, Positions(encoding), preferences)
        roots = [folder.uri for folder in params.workspace_folders or ()] or [params.root_uri or ""]
        server.desk.folders = _folders(roots)
        if server.client.asks:
            _register_asked(server)
        else:
            server.teller = Unasked(
                server.documents, server.work, server.refresh, server.text_document_publish_diagnostics
            )

    @server.feature(types.INITIALIZED)
    async def initialized(_params: types.InitializedParams) -> None:
        if server.client.can("workspace.did_change_watched_files.dynamic_registration"):
            watchers = [types.FileSystemWatcher(glob_pattern=pattern) for pattern in _WATCHED]
            options = types.DidChangeWatchedFilesRegistrationOptions(watchers)
            _ask_for(server, types.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
        if server.client.can("workspace.did_change_configuration.dynamic_registration"):
            section = types.DidChangeConfigurationRegistrationOptions(section=SECTION)
            _ask_for(server, types.WORKSPACE_DID_CHANGE_CONFIGURATION, section)
        await _ask_for_preferences(server)
        server.teller.begin()

    @server.feature(types.WORKSPACE_DID_CHANGE_CONFIGURATION)
    async def change_configuration(params: types.DidChangeConfigurationParams) -> None:
        if not await _ask_for_preferences(server):
            _prefer(server, params.settings)


def _register_asked(server: Server) -> None:
    asked = Asked(server.documents, server.work, server.refresh)
    server.teller = asked
    options = types.DiagnosticOptions(inter_file_dependencies=True, workspace_diagnostics=True, identifier=SECTION)

    @server.feature(types.TEXT_DOCUMENT_DIAGNOSTIC, options)
    async def of_document(params: types.DocumentDiagnosticParams) -> types.DocumentDiagnosticReport:
        return await asked.document(params)

    @server.feature(types.WORKSPACE_DIAGNOSTIC)
    async def of_workspace(params: types.WorkspaceDiagnosticParams) -> types.WorkspaceDiagnosticReport:
        return await asked.workspace(params)


def _ask_for(server: Server, method: str, options: object) -> None:
    registration = types.Registration(id=f"lampwright {method}", method=method, register_options=options)
    server.client_register_capability(types.RegistrationParams([registration]))


async def _ask_for_preferences(server: Server) -> bool:
    """Whether the client was asked for its settings, and answered."""
    if not server.client.can("workspace.configuration"):
        return False
    items = [types.ConfigurationItem(section=SECTION)]
    try:
        answers = await server.workspace_configuration_async(types.ConfigurationParams(items))
    except Exception:  # noqa: BLE001  # a client that says it can and cannot
        return False
    if not answers:
        return False
    _prefer(server, answers[0])
    return True


def _prefer(server: Server, settings: object) -> None:
    if settings is not None and preferences_of(settings) != server.client.preferences:
        server.documents.client = replace(server.client, preferences=preferences_of(settings))
        server.teller.others_changed()


# --- Texts ------------------------------------------------------------------------------------------------------------


def _register_texts(server: Server) -> None:
    @server.feature(types.TEXT_DOCUMENT_DID_OPEN)
    def open_text(params: types.DidOpenTextDocumentParams) -> None:
        document = params.text_document
        _take(server, Text(document.uri, document.version, (document.text,)))
        if is_ours(document.uri) and server.documents.is_apart(document.uri):
            # What it refers to and what governs it may be in no folder that was looked through.
            server.teller.others_changed()

    @server.feature(types.TEXT_DOCUMENT_DID_CHANGE)
    def change_text(params: types.DidChangeTextDocumentParams) -> None:
        text = server.desk.text(params.text_document.uri)
        if text is not None:
            version = params.text_document.version
            _take(server, text.changed(version, params.content_changes, server.client.positions))

    @server.feature(types.TEXT_DOCUMENT_DID_CLOSE)
    def close_text(params: types.DidCloseTextDocumentParams) -> None:
        uri = params.text_document.uri
        if server.desk.text(uri) is not None:
            server.work.stop(uri)
            server.desk.take_away(uri)
            server.documents.closed(uri)
            server.teller.closed(uri)


def _take(server: Server, text: Text) -> None:
    """Whatever is none of ours is left where it is, without a word."""
    if not is_ours(text.uri):
        return
    server.work.stop(text.uri)
    server.desk.lay(text)
    server.teller.changed(text.uri)
    if concerns_others(text.uri):
        server.teller.others_changed()


# --- Files ------------------------------------------------------------------------------------------------------------


def _register_files(server: Server) -> None:
    @server.feature(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def change_files(_params: types.DidChangeWatchedFilesParams) -> None:
        server.desk.look_again()
        server.teller.others_changed()

    @server.feature(types.TEXT_DOCUMENT_DID_SAVE)
    def save(_params: types.DidSaveTextDocumentParams) -> None:
        server.teller.others_changed()

    @server.feature(types.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS)
    def change_folders(params: types.DidChangeWorkspaceFoldersParams) -> None:
        removed = {path_of(folder.uri) for folder in params.event.removed}
        kept = [folder for folder in server.desk.folders if folder not in removed]
        server.desk.folders = (*kept, *_folders([folder.uri for folder in params.event.added]))
        server.documents.begin_anew()
        server.teller.others_changed()


def _folders(uris: Iterable[str]) -> list[Path]:
    paths = (path_of(uri) for uri in uris)
    return [path for path in paths if path is not None]
