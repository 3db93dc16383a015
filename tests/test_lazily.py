"""Attributes that are computed once: by whom, and who waits for whom."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

from lampwright.lazily import cached_property, shared_property

PATIENCE = 20


class Thing:
    """Knows how often it was asked, and may be told to wait."""

    def __init__(self) -> None:
        self.lock = threading.RLock()
        self.asked: list[str] = []
        self.begun, self.goes_on = threading.Event(), threading.Event()

    @cached_property
    def own(self) -> list[str]:
        """What each thread finds by itself."""
        self.asked.append("own")
        self.begun.set()
        assert self.goes_on.wait(PATIENCE)
        return ["own"]

    @shared_property
    def shared(self) -> list[str]:
        """What one thread finds for all."""
        self.asked.append("shared")
        self.begun.set()
        assert self.goes_on.wait(PATIENCE)
        return [*self.inner, "shared"]

    @shared_property
    def inner(self) -> list[str]:
        """What the other one needs."""
        return ["inner"]


def test_it_is_computed_once_and_kept_with_the_object() -> None:
    one, other = Thing(), Thing()
    one.goes_on.set()
    other.goes_on.set()
    assert one.own is one.own
    assert one.shared is one.shared
    assert one.shared == ["inner", "shared"]
    assert one.asked == ["own", "shared"]
    assert other.own is not one.own
    assert Thing.own.__doc__ == "What each thread finds by itself."


def test_of_two_threads_that_ask_both_get_the_same() -> None:
    thing = Thing()
    with ThreadPoolExecutor(2) as pool:
        answers = [pool.submit(lambda: thing.own) for _ in range(2)]
        assert thing.begun.wait(PATIENCE)
        thing.goes_on.set()
        assert answers[0].result(PATIENCE) is answers[1].result(PATIENCE)


def test_what_is_shared_is_computed_by_one_of_those_who_ask() -> None:
    thing = Thing()
    with ThreadPoolExecutor(4) as pool:
        answers = [pool.submit(lambda: thing.shared) for _ in range(4)]
        assert thing.begun.wait(PATIENCE)
        thing.goes_on.set()
        assert len({id(answer.result(PATIENCE)) for answer in answers}) == 1
    assert thing.asked == ["shared"]


def test_nobody_waits_for_another_object() -> None:
    slow, quick = Thing(), Thing()
    quick.goes_on.set()
    with ThreadPoolExecutor(2) as pool:
        waiting = [pool.submit(lambda: slow.shared), pool.submit(lambda: slow.own)]
        assert slow.begun.wait(PATIENCE)
        assert quick.shared == ["inner", "shared"]
        assert quick.own == ["own"]
        slow.goes_on.set()
        assert [answer.result(PATIENCE) for answer in waiting] == [["inner", "shared"], ["own"]]
