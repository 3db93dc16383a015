"""Talks with the language server as a process, message by message, also as no decent client would."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from command import environment

SECONDS = 60
"""No answer may take longer, on a machine that is busy with other tests."""

COMMAND = (sys.executable, "-m", "lampwright", "server")
_SERVER = Path(__file__).parent.parent / "lsp"
PULL: dict[str, Any] = {"textDocument": {"diagnostic": {}}}


def _line(stream: IO[bytes]) -> bytes:
    """The next line; nothing at the end, and of a stream that a test has closed because it has heard enough."""
    with suppress(ValueError):
        return stream.readline()
    return b""


class Conversation:
    """A server in a folder, and all that was said. What the server asks is answered with null."""

    def __init__(self, folder: Path, command: tuple[str, ...] = COMMAND, env: Mapping[str, str] | None = None) -> None:
        if env is None:
            env = environment()
            env["PYTHONPATH"] += f":{_SERVER}:{Path(__file__).parent}"
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, cwd=folder, env=env)
        self.folder = folder
        self.notes: list[dict[str, Any]] = []
        self._heard: queue.Queue[dict[str, Any] | None] = queue.Queue()
        self._kept: list[dict[str, Any]] = []
        self._number = 0
        threading.Thread(target=self._listen, daemon=True).start()

    # --- Speaking -----------------------------------------------------------------------------------------------------

    def send(self, data: bytes) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(data)
        self.process.stdin.flush()

    def say(self, message: Mapping[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.send(b"Content-Length: %d\r\n\r\n" % len(body) + body)

    def tell(self, method: object, params: object = None) -> None:
        self.say({"method": method, "params": params})

    def begin(self, method: object, params: object = None) -> int:
        """Ask, and do not wait: the number of the question."""
        self._number += 1
        self.say({"id": self._number, "method": method, "params": params})
        return self._number

    def ask(self, method: object, params: object = None) -> Any:
        """The result; an error fails."""
        answer = self.answer(self.begin(method, params))
        assert "error" not in answer, answer
        return answer["result"]

    def refused(self, method: object, params: object = None) -> int:
        """The code of the error that is the answer."""
        return int(self.answer(self.begin(method, params))["error"]["code"])

    def reply(self, message: dict[str, Any]) -> object:  # noqa: ARG002  # those who know better say so
        """The answer to what the server asks."""
        return None

    # --- Hearing ------------------------------------------------------------------------------------------------------

    def answer(self, number: int | None, seconds: float = SECONDS) -> dict[str, Any]:
        return self._next(lambda message: "method" not in message and message.get("id") == number, seconds)

    def note(self, method: str, seconds: float = SECONDS) -> Any:
        """The parameters of the next such notification or request of the server."""
        return self._next(lambda message: message.get("method") == method, seconds).get("params")

    def _next(self, wanted: Any, seconds: float) -> dict[str, Any]:
        end = time.monotonic() + seconds
        for message in self._kept:
            if wanted(message):
                self._kept.remove(message)
                return message
        while True:
            message = self._heard.get(timeout=max(end - time.monotonic(), 0.001))
            assert message is not None, f"the server ended: {self.errors()}"
            if "method" in message and "id" in message:
                self.say({"id": message["id"], "result": self.reply(message)})
            if wanted(message):
                return message
            self._kept.append(message)

    def _listen(self) -> None:
        out = self.process.stdout
        assert out is not None
        while True:
            length = 0
            while (line := _line(out)).strip():
                name, _, value = line.partition(b":")
                length = int(value) if name.lower() == b"content-length" else length
            if not line:
                self._heard.put(None)
                return
            self._heard.put(json.loads(out.read(length)))

    def errors(self) -> str:
        """All that came on standard error, once the process has ended."""
        assert self.process.stderr is not None
        self.process.wait(SECONDS)
        return self.process.stderr.read().decode()

    # --- Whole sentences ----------------------------------------------------------------------------------------------

    def initialize(self, capabilities: Mapping[str, Any] = PULL, **more: object) -> Any:
        folder = {"uri": self.folder.as_uri(), "name": "club"}
        params = {"processId": None, "rootUri": None, "capabilities": capabilities, "workspaceFolders": [folder]}
        result = self.ask("initialize", {**params, **more})
        self.tell("initialized", {})
        return result

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    def open(self, name: str, text: str, version: int = 1) -> str:
        uri = self.uri(name)
        document = {"uri": uri, "languageId": "yaml", "version": version, "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})
        return uri

    def change(self, uri: str, version: int, *changes: Mapping[str, Any]) -> None:
        params = {"textDocument": {"uri": uri, "version": version}, "contentChanges": list(changes)}
        self.tell("textDocument/didChange", params)

    def close(self, uri: str) -> None:
        self.tell("textDocument/didClose", {"textDocument": {"uri": uri}})

    def about(self, method: str, uri: str, **more: object) -> Any:
        return self.ask(method, {"textDocument": {"uri": uri}, **more})

    def rules(self, uri: str) -> list[str]:
        """What is said of a file to a client that asks."""
        return [item["code"] for item in self.about("textDocument/diagnostic", uri)["items"]]

    def end(self) -> int:
        """Take leave as one should; the exit status."""
        self.ask("shutdown")
        self.tell("exit")
        return self.process.wait(SECONDS)


@contextmanager
def conversation(folder: Path, command: tuple[str, ...] = COMMAND) -> Iterator[Conversation]:
    """A conversation that ends with the block, whatever happens in it."""
    talk = Conversation(folder, command)
    try:
        yield talk
    finally:
        talk.process.kill()
        talk.process.wait(SECONDS)
        for stream in (talk.process.stdin, talk.process.stdout, talk.process.stderr):
            assert stream is not None
            # What was never sent cannot be sent any more.
            with suppress(OSError):
                stream.close()
