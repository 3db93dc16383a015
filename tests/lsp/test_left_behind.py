"""A question that fails, and news, leave nothing behind once they are answered: an editor runs for days."""

from __future__ import annotations

import asyncio
import json
import logging
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from command import PLAN
from lampwright.diagnostics import Refusal
from lampwright.text import Source
from lampwright_lsp.desk import Desk
from lampwright_lsp.server import Server, make_server
from lampwright_lsp.work import Run
from test_garbage import no_garbage

_RENAME: dict[str, Any] = {"position": {"line": 0, "character": 0}, "newName": "a"}
UNKIND: dict[int, dict[str, Any]] = {
    -32803: {"method": "textDocument/rename", "params": _RENAME},
    -32602: {"method": "textDocument/formatting", "params": {"textDocument": None, "options": True}},
    -32601: {"method": "textDocument/sing", "params": {}},
}
"""Questions by the error that answers them."""

NEWS: dict[str, dict[str, Any]] = {
    "of settings": {"method": "workspace/didChangeConfiguration", "params": {"settings": {}}},
    "of files": {"method": "workspace/didChangeWatchedFiles", "params": {"changes": []}},
    "of a trace": {"method": "$/setTrace", "params": {"value": "off"}},
    "of folders": {"method": "workspace/didChangeWorkspaceFolders", "params": {"event": {"added": [], "removed": []}}},
}


class Client:
    """Talks to a server in this process, and hears what it says."""

    def __init__(self, folder: Path) -> None:
        self.uri = (folder / "plan.lights.yaml").as_uri()
        self.server: Server = make_server()
        self.heard: list[dict[str, Any]] = []
        self.server.protocol.set_writer(self)
        self.number = 0

    def write(self, data: bytes) -> None:
        """What the server says."""
        self.heard.append(json.loads(data.partition(b"\r\n\r\n")[2]))

    def tell(self, message: dict[str, Any]) -> None:
        """Say something that is no question."""
        self.server.protocol.take({"jsonrpc": "2.0", **message})

    async def ask(self, message: dict[str, Any]) -> dict[str, Any]:
        """The answer to a question."""
        self.number += 1
        given = {**message, "params": {"textDocument": {"uri": self.uri}, **message["params"]}}
        self.server.protocol.take({"jsonrpc": "2.0", "id": self.number, **given})
        while True:
            await asyncio.sleep(0.01)
            for each in self.heard:
                if each.get("id") == self.number and "method" not in each:
                    self.heard.clear()
                    return each

    async def begin(self) -> None:
        """What every client says first."""
        await self.ask({"method": "initialize", "params": {"capabilities": {}}})
        self.tell({"method": "initialized", "params": {}})
        document = {"uri": self.uri, "languageId": "yaml", "version": 1, "text": PLAN}
        self.tell({"method": "textDocument/didOpen", "params": {"textDocument": document}})

    def change(self, version: int) -> None:
        """Type something."""
        changes = [{"text": f"{PLAN}# {version}\n"}]
        document = {"uri": self.uri, "version": version}
        self.tell({"method": "textDocument/didChange", "params": {"textDocument": document, "contentChanges": changes}})


@contextmanager
def served(folder: Path) -> Iterator[tuple[asyncio.AbstractEventLoop, Client]]:
    loop = asyncio.new_event_loop()
    asyncio.set_event_loop(loop)
    client = Client(folder)
    # What is logged is kept by who runs these tests.
    logging.disable()
    try:
        loop.run_until_complete(client.begin())
        yield loop, client
    finally:
        for task in asyncio.all_tasks(loop):
            task.cancel()
        loop.run_until_complete(asyncio.sleep(0.1))
        asyncio.set_event_loop(None)
        logging.disable(logging.NOTSET)
        loop.close()


@pytest.mark.parametrize("code", UNKIND)
def test_a_question_that_fails(tmp_path: Path, code: int) -> None:
    message = UNKIND[code]
    with served(tmp_path) as (loop, client):
        # What is kept on purpose is kept now.
        assert loop.run_until_complete(client.ask(message))["error"]["code"] == code
        loop.run_until_complete(asyncio.sleep(0.2))
        with no_garbage():
            for _ in range(3):
                loop.run_until_complete(client.ask(message))
            loop.run_until_complete(asyncio.sleep(0.2))


def test_a_check_that_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stopped, versions = list[bool](), count(2)
    pause = Run.pause

    def noted(run: Run[Any]) -> None:
        time.sleep(0.002)
        stopped.append(run.is_stopped)
        pause(run)

    async def stopped_in_the_middle(client: Client) -> None:
        client.change(next(versions))
        asked = asyncio.create_task(client.server.work.judged(client.uri))
        await asyncio.sleep(0.02)
        client.server.work.stop(client.uri)
        await asked
        await asyncio.sleep(0.3)

    with served(tmp_path) as (loop, client):
        loop.run_until_complete(stopped_in_the_middle(client))
        monkeypatch.setattr(Run, "pause", noted)
        with no_garbage():
            loop.run_until_complete(stopped_in_the_middle(client))
        assert True in stopped


@pytest.mark.parametrize("message", NEWS.values(), ids=NEWS)
def test_news(tmp_path: Path, message: dict[str, Any]) -> None:
    async def told(client: Client) -> None:
        for _ in range(5):
            client.tell(message)
        await asyncio.sleep(0.3)

    with served(tmp_path) as (loop, client):
        loop.run_until_complete(told(client))
        assert client.server.protocol._request_futures == {}


def test_files_that_come_and_go(tmp_path: Path) -> None:
    desk, stays = Desk(), tmp_path / "stays.lights.yaml"
    stays.write_text(PLAN)
    kept = desk.read(stays, "stays")
    for number in range(2000):
        path = tmp_path / f"{number}.lights.yaml"
        path.write_text(PLAN)
        assert isinstance(desk.read(path, path.name), Source)
        path.unlink()
        assert isinstance(desk.read(path, path.name), Refusal)
    assert desk.read(stays, "stays") is kept
    assert len(desk._read) <= 512
