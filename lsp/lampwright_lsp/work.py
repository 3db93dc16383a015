"""Does in threads what would block the loop, once for all who wait for it, and stops what nobody wants any more."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import TypeVar

from lampwright_lsp.documents import Documents, Pause

Result = TypeVar("Result")

# More than there are processors, since one that was stopped may take a while to notice.
_THREADS = 8
_POLITE = 0.005
"""Seconds that work in the background steps aside for, again and again, while somebody waits for an answer."""


class StoppedError(Exception):
    """Nobody wants that answer any more."""


@dataclass(slots=True, eq=False)
class Run:
    """Work that takes a while, and whether it is still wanted."""

    is_stopped: bool = False
    future: asyncio.Future[bool] = field(init=False)

    def pause(self) -> None:
        """Go on, unless this was stopped."""
        if self.is_stopped:
            raise StoppedError


class Work:
    """All that runs in threads."""

    def __init__(self, documents: Documents) -> None:
        self.documents = documents
        self._judges = ThreadPoolExecutor(_THREADS, "judge")
        self._answers = ThreadPoolExecutor(_THREADS, "answer")
        self._background = ThreadPoolExecutor(2, "background")
        self._runs: dict[str, Run] = {}
        self._waiting = 0

    async def judged(self, uri: str) -> bool:
        """Have the file of `uri` judged as it is when this returns; false if there is no such file of ours."""
        while True:
            run = self._runs.get(uri) or self._started(uri)
            try:
                # Who is cancelled stops waiting; the others still do.
                is_there = await asyncio.shield(run.future)
            except StoppedError:
                continue
            if not run.is_stopped:
                return is_there

    async def answer(self, function: Callable[..., Result], *given: object) -> Result:
        """What `function` makes of `given`, in a thread."""
        self._waiting += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self._answers, function, *given)
        finally:
            self._waiting -= 1

    async def in_background(self, function: Callable[[Pause], Result], run: Run) -> Result:
        """What `function` gives, which steps aside for all other work when it asks, until `run` is stopped."""

        def pause() -> None:
            run.pause()
            while self._waiting:
                time.sleep(_POLITE)
                run.pause()

        return await asyncio.get_running_loop().run_in_executor(self._background, function, pause)

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
        run.future = asyncio.get_running_loop().run_in_executor(self._judges, self.documents.judged, uri, run.pause)

        def done(future: asyncio.Future[bool]) -> None:
            self._waiting -= 1
            if self._runs.get(uri) is run:
                del self._runs[uri]
            if not future.cancelled():
                # Whoever waits gets the exception; if nobody does, it need not be complained of.
                future.exception()

        run.future.add_done_callback(done)
        return run
