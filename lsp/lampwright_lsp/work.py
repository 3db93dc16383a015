"""Does in threads what would block the loop, once for all who wait for it, and stops what nobody wants any more."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar

from lampwright_lsp.documents import Documents, Pause, Snapshot

Result = TypeVar("Result")

# More than there are processors, since one that was stopped may take a while to notice.
_THREADS = 8
_POLITE = 0.005
"""Seconds that work in the background steps aside for, again and again, while somebody waits for an answer."""


class StoppedError(Exception):
    """Nobody wants that answer any more."""


@dataclass(slots=True, eq=False)
class Run:
    """A snapshot in the making, and whether it is still wanted."""

    is_stopped: bool = False
    future: asyncio.Future[Snapshot | None] = field(init=False)

    def pause(self) -> None:
        """Go on, unless this run was stopped."""
        if self.is_stopped:
            raise StoppedError


class Work:
    """All that runs in threads."""

    def __init__(self, documents: Documents) -> None:
        self.documents = documents
        self._checks = ThreadPoolExecutor(_THREADS, "check")
        self._answers = ThreadPoolExecutor(_THREADS, "answer")
        self._runs: dict[str, Run] = {}
        self._waiting = 0

    async def snapshot(self, uri: str) -> Snapshot | None:
        """The file of `uri` as it is when this returns; None if it is none of ours."""
        while True:
            run = self._runs.get(uri) or self._started(uri)
            try:
                # Who is cancelled stops waiting; the others still do.
                return await asyncio.shield(run.future)
            except StoppedError:
                continue

    async def answer(self, function: Callable[..., Result], *given: object) -> Result:
        """What `function` makes of `given`, in a thread."""
        return await asyncio.get_running_loop().run_in_executor(self._answers, function, *given)

    async def in_background(self, function: Callable[[Pause], Result], run: Run) -> Result:
        """What `function` gives, which steps aside for all other work when it asks, until `run` is stopped."""

        def pause() -> None:
            run.pause()
            while self._waiting:
                time.sleep(_POLITE)
                run.pause()

        return await asyncio.get_running_loop().run_in_executor(self._answers, function, pause)

    def stop(self, uri: str) -> None:
        """What runs for that file is of no use: its text has changed."""
        run = self._runs.pop(uri, None)
        if run is not None:
            run.is_stopped = True

    def stop_all(self) -> None:
        """Nothing is wanted any more."""
        for uri in list(self._runs):
            self.stop(uri)

    def _started(self, uri: str) -> Run:
        run = self._runs[uri] = Run()
        self._waiting += 1
        loop = asyncio.get_running_loop()
        run.future = loop.run_in_executor(self._checks, self.documents.snapshot, uri, run.pause)

        def done(future: asyncio.Future[Snapshot | None]) -> None:
            self._waiting -= 1
            if self._runs.get(uri) is run:
                del self._runs[uri]
            if not future.cancelled():
                # Whoever waits gets the exception; if nobody does, it need not be complained of.
                future.exception()

        run.future.add_done_callback(done)
        return run
