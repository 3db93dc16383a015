"""Which files somebody works with: what is known of those must stay as it is until that is done."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager


class Holding:
    """What is in whose hands. A job is the work of one thread on one request, or on one file."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._held: Counter[str] = Counter()
        self._mine = threading.local()

    @contextmanager
    def job(self) -> Iterator[None]:
        """What is held in this is let go at its end. A job may have others in it."""
        around: set[str] | None = getattr(self._mine, "job", None)
        self._mine.job = held = set[str]()
        try:
            yield
        finally:
            self._mine.job = around
            with self._lock:
                self._held.subtract(held)
                for uri in held:
                    if not self._held[uri]:
                        del self._held[uri]

    def hold(self, uri: str) -> None:
        """Hold what is known of the file of `uri`: to the end of the job or, outside of any, for good."""
        held: set[str] | None = getattr(self._mine, "job", None)
        if held is None or uri not in held:
            with self._lock:
                self._held[uri] += 1
            if held is not None:
                held.add(uri)

    def is_held(self, uri: str) -> bool:
        """Whether anybody holds it, this job included."""
        return bool(self._held.get(uri))
