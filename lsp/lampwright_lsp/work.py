"""Does in threads what would block the loop, once for all who wait for it, and stops what nobody wants any more."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from lampwright_lsp.documents import Documents, Pause

Result = TypeVar("Result")
Said = TypeVar("Said")

# More than there are processors, since one that was stopped may take a while to notice.
_THREADS = 8
_POLITE = 0.005
"""Seconds that work in the background steps aside for, again and again, while somebody waits for an answer."""
_MOST_POLITE = 0.05
"""Seconds after which it goes on for a bit all the same: who waits may wait for just that work."""
_LATER = 0.02
"""Seconds after the last answer in which what is out of date is taken apart: it takes half a millisecond."""


class StoppedError(Exception):
    """Nobody wants that answer any more."""


@dataclass(slots=True, eq=False)
class Run(Generic[Said]):
    """Work that takes a while, and whether it is still wanted."""

    is_stopped: bool = False
    future: asyncio.Future[Said | None] = field(init=False)

    def pause(self) -> None:
        """Go on, unless this was stopped."""
        if self.is_stopped:
            raise StoppedError


class Work(Generic[Said]):
    """All that runs in threads. `say` puts into words what was found in a file once that is judged."""

    def __init__(self, documents: Documents, say: Callable[[Documents, str], Said]) -> None:
        self.documents = documents
        self.say = say
        self._judges = ThreadPoolExecutor(_THREADS, "judge")
        self._answers = ThreadPoolExecutor(_THREADS, "answer")
        self._background = ThreadPoolExecutor(2, "background")
        self._runs: dict[str, Run[Said]] = {}
        self._waiting = 0
        self._rest: asyncio.TimerHandle | None = None

    async def judged(self, uri: str) -> Said:
        """What is to be said of the file of `uri`, judged as it is when this returns."""
        while True:
            run = self._runs.get(uri) or self._started(uri)
            # Who is cancelled stops waiting; the others still do.
            said = await asyncio.shield(run.future)
            if said is not None and not run.is_stopped:
                return said

    async def answer(self, function: Callable[..., Result], *given: object) -> Result:
        """What `function` makes of `given`, in a thread."""
        self._waiting += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self._answers, self._as_job, function, *given)
        finally:
            self._waiting -= 1

    def _as_job(self, function: Callable[..., Result], *given: object) -> Result:
        with self.documents.holding.job():
            return function(*given)

    async def in_background(self, function: Callable[[Pause], Result], run: Run[None]) -> Result:
        """What `function` gives, which steps aside for other work for a while when it asks, until `run` is stopped."""

        def pause() -> None:
            run.pause()
            end = time.monotonic() + _MOST_POLITE
            while self._waiting and time.monotonic() < end:
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

    def _judged(self, uri: str, pause: Pause) -> Said | None:
        """In one thread, since each change of threads takes a tenth of a millisecond. None if that was stopped.

        A failure would hold what it came through, and that the failure, until garbage in circles is looked for.
        """
        try:
            with self.documents.holding.job():
                self.documents.judged(uri, pause)
                return self.say(self.documents, uri)
        except StoppedError:
            return None

    def _started(self, uri: str) -> Run[Said]:
        run = self._runs[uri] = Run()
        self._waiting += 1
        loop = asyncio.get_running_loop()
        run.future = loop.run_in_executor(self._judges, self._judged, uri, run.pause)

        def done(future: asyncio.Future[Said | None]) -> None:
            self._waiting -= 1
            self._tidy_later(loop)
            if self._runs.get(uri) is run:
                del self._runs[uri]
            if not future.cancelled():
                # Whoever waits gets the exception; if nobody does, it need not be complained of.
                future.exception()

        run.future.add_done_callback(done)
        return run

    def _tidy_later(self, loop: asyncio.AbstractEventLoop) -> None:
        """Once nobody waits, and nobody has asked for a while."""
        if self._rest is not None:
            self._rest.cancel()
        self._rest = loop.call_later(_LATER, self._tidy, loop)

    def _tidy(self, loop: asyncio.AbstractEventLoop) -> None:
        if self._waiting:
            self._tidy_later(loop)
        else:
            self.documents.tidy()
