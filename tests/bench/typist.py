"""A client of a language server that has a plan open and types into it, with a watch in its hand."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any

from peers import Bench

from conversation import Conversation

WARMING = 5
"""Keystrokes before the first that counts; the first few load what is loaded once."""
RHYTHM = 0.05
"""Seconds between an answer and the next key: faster than anyone types, and time for a server to tidy up."""


class Typist(Conversation):
    """Asks where the server has that, else it is told."""

    def __init__(self, folder: Path, command: tuple[str, ...], bench: Bench) -> None:
        self.start = time.perf_counter()
        super().__init__(folder, command, bench.environment())
        self.versions = count(1)
        said = self.initialize()
        self.asks = bool(said["capabilities"].get("diagnosticProvider"))

    def reply(self, message: dict[str, Any]) -> object:
        """Nothing is set where a server asks for its settings."""
        return [None for _ in message["params"]["items"]] if message["method"] == "workspace/configuration" else None

    def show(self, path: Path, text: str) -> float:
        """Seconds from the start of the server until the findings of `text` are there."""
        document = {"uri": path.as_uri(), "languageId": "yaml", "version": next(self.versions), "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})
        self._wait(path)
        return time.perf_counter() - self.start

    def type(self, path: Path, text: str) -> float:
        """Seconds until the findings of `text` are there."""
        document = {"uri": path.as_uri(), "version": next(self.versions)}
        time.sleep(RHYTHM)
        start = time.perf_counter()
        self.tell("textDocument/didChange", {"textDocument": document, "contentChanges": [{"text": text}]})
        self._wait(path)
        return time.perf_counter() - start

    def keystrokes(self, path: Path, times: int) -> list[float]:
        """Seconds of each of so many changes of the plan at `path`, which is opened for it."""
        each = texts(path)
        self.show(path, next(each))
        return [self.type(path, next(each)) for _ in range(times + WARMING)][WARMING:]

    def megabytes(self) -> float:
        """What the server holds in memory now."""
        status = Path(f"/proc/{self.process.pid}/status").read_text("ascii")
        kilobytes = next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))
        return int(kilobytes) / 1000

    def _wait(self, path: Path) -> None:
        if self.asks:
            self.ask("textDocument/diagnostic", {"textDocument": {"uri": path.as_uri()}})
            return
        while self.note("textDocument/publishDiagnostics")["uri"] != path.as_uri():
            pass


def texts(plan: Path) -> Iterator[str]:
    """The text of `plan` again and again, each time with another value of the first resistor."""
    text = plan.read_text("utf-8")
    for number in count():
        yield text.replace("1.2 kohm", f"1.{number * 37 % 997 + 1000} kohm", 1)
