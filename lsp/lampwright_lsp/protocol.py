"""The life of a server as the protocol wants it: nothing before `initialize` and after `shutdown`.

Keeps no texts: those are in `texts`, since the library's own lose their way at line ends that are none.
"""

from __future__ import annotations

import asyncio
import logging
from traceback import clear_frames
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.protocol import LanguageServerProtocol

from lampwright_lsp.frames import INVALID_REQUEST, Malformed

_LOGGER = logging.getLogger(__name__)
_NOT_INITIALIZED = types.ErrorCodes.ServerNotInitialized.value
_INVALID_PARAMS = types.ErrorCodes.InvalidParams.value

_TEXTS = (
    types.TEXT_DOCUMENT_DID_OPEN,
    types.TEXT_DOCUMENT_DID_CHANGE,
    types.TEXT_DOCUMENT_DID_CLOSE,
    types.NOTEBOOK_DOCUMENT_DID_OPEN,
    types.NOTEBOOK_DOCUMENT_DID_CHANGE,
    types.NOTEBOOK_DOCUMENT_DID_CLOSE,
)


class Protocol(LanguageServerProtocol):
    """Takes messages as they come from `frames`."""

    def __init__(self, server: Any, converter: Any) -> None:
        super().__init__(server, converter)
        for method in _TEXTS:
            self.fm.builtin_features.pop(method, None)
        self._is_initialized = False

    @property
    def is_shut_down(self) -> bool:
        """Whether the client has asked for the end."""
        return self._shutdown

    def take(self, message: dict[str, Any] | Malformed) -> None:
        """Handle one message; whatever is wrong with it is told to who sent it."""
        if isinstance(message, Malformed):
            self._refuse(None, message.code, message.reason)
            return
        method, number = message.get("method"), message.get("id")
        if method is not None and not _is_number(number):
            self._refuse(None, INVALID_REQUEST, "the id of a request is a number or a text")
            return
        if method is not None and (refusal := self._refusal(method)):
            if number is not None:
                self._refuse(number, *refusal)
            return
        try:
            structured = self.structure_message(message)
        except JsonRpcException as error:
            self._misunderstand(method, number, error)
            _let_go(error)
            return
        if method == types.CANCEL_REQUEST and not _is_number(structured.params.id):
            _LOGGER.warning("cannot read %s: the id is neither a number nor a text", method)
            return
        self._is_initialized = self._is_initialized or method == types.INITIALIZE
        self.handle_message(structured)

    def _refusal(self, method: object) -> tuple[int, str] | None:
        if not isinstance(method, str):
            return INVALID_REQUEST, "the method of a request is a text"
        if self._shutdown:
            return INVALID_REQUEST, f"{method} after shutdown"
        if method == types.INITIALIZE:
            return (INVALID_REQUEST, "initialize a second time") if self._is_initialized else None
        return None if self._is_initialized else (_NOT_INITIALIZED, f"{method} before initialize")

    def _misunderstand(self, method: object, number: Any, error: JsonRpcException) -> None:
        if method is not None and number is not None:
            self._refuse(number, _INVALID_PARAMS, f"{method} with parameters that the protocol does not know")
        else:
            _LOGGER.warning("cannot read %s: %s", method or "a response", error)

    def _execute_handler(self, msg_id: Any, *given: Any, **named: Any) -> None:
        super()._execute_handler(msg_id, *given, **named)
        future = self._request_futures.get(msg_id)
        if future is not None:
            # The library would keep that of each notification for ever, in case that somebody takes it back. It may be
            # just looking through all of them.
            loop = asyncio.get_running_loop()
            future.add_done_callback(lambda done: loop.call_soon_threadsafe(self._forget, msg_id, done))

    def _forget(self, msg_id: Any, done: Any) -> None:
        if self._request_futures.get(msg_id) is done:
            del self._request_futures[msg_id]

    def _send_handler_result(self, future: Any, *, msg_id: Any) -> None:
        super()._send_handler_result(future, msg_id=msg_id)
        _let_go_of_failure(future)

    def _check_handler_result(self, future: Any) -> None:
        super()._check_handler_result(future)
        _let_go_of_failure(future)

    def _refuse(self, number: Any, code: int, reason: str) -> None:
        error = types.ResponseError(code, reason)
        self._send_data(types.ResponseErrorMessage(id=number, error=error))


def _is_number(given: object) -> bool:
    """Whether that may be the id of a request, or stand where none is: the library takes whatever can be a key."""
    return given is None or (isinstance(given, int | str) and not isinstance(given, bool))


def _let_go_of_failure(future: Any) -> None:
    if not future.cancelled() and (failure := future.exception()) is not None:
        _let_go(failure)


def _let_go(failure: BaseException | None) -> None:
    """Forget the way that a failure has come, which was told to who must know.

    The way leads through who holds the failure, and so in a circle: all that was read for a question that was refused
    would stay until garbage in circles is looked for, which is seldom.
    """
    if failure is None or failure.__traceback__ is None:
        return
    # Others, which were made into this one, may lie in what was left behind on the way.
    clear_frames(failure.__traceback__)
    failure.__traceback__ = None
    for each in (failure.__cause__, failure.__context__, *getattr(failure, "exceptions", ())):
        _let_go(each)
