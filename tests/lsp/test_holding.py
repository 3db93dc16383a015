"""What somebody works with stays as it is while others type; what nobody has in hand moves into the next text."""

from __future__ import annotations

import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor

from lampwright.syntax import Mapping
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.features.diagnostics import diagnostics
from lampwright_lsp.holding import Holding
from lsp_seam import FOLDER, documents, lay

URI = FOLDER + "plan.lights.yaml"
PLAN = """\
vehicle: {name: Quarry switcher 7, address: 7}
supply: {track: 14.5 V}
decoder:
  common: {drop: 1.4 V}
  outputs:
    white: {number: 1, limit: 100 mA}
    yellow: {number: 2, limit: 100 mA}
lamps:
  front: {led: {forward-voltage: 3 V, current: 10 mA, maximum-current: 20 mA}}
  rear: {led: {forward-voltage: 3 V, current: 10 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.2 kohm 1/4 W, front]}
  yellow: {circuit: [1.2 kohm 1/4 W, rear]}
keys:
  F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}
"""


def typed(made: Documents, number: int) -> None:
    lay(made, "plan.lights.yaml", PLAN.replace("track: 14.5", f"track: 14.{number}"), number)


def read(made: Documents) -> Snapshot:
    """As somebody does who has done with it at once."""
    with made.holding.job():
        found = made.snapshot(URI)
    assert found is not None
    return found


def last_key(found: Snapshot) -> object:
    root = found.tree.root
    assert isinstance(root, Mapping)
    return root.key("keys")


def test_what_nobody_holds_moves_into_the_next_text() -> None:
    made = documents({"plan.lights.yaml": PLAN})
    read(made)
    typed(made, 51)
    first = read(made)
    key = last_key(first)
    typed(made, 525)
    second = read(made)
    assert first.tree.is_spent
    assert last_key(second) is key


def test_what_somebody_holds_stays_in_its_text() -> None:
    made = documents({"plan.lights.yaml": PLAN})
    read(made)
    typed(made, 51)
    with made.holding.job():
        first = made.snapshot(URI)
        assert first is not None
        typed(made, 525)
        # Who holds it himself may still use it, too.
        with made.holding.job():
            second = made.snapshot(URI)
        assert second is not None
        assert not first.tree.is_spent
        assert not second.tree.is_spent
        assert str(last_key(first)) == "keys"
        assert [key.source for key in (last_key(first), last_key(second))] == [first.source, second.source]  # type: ignore[attr-defined]
        with ThreadPoolExecutor(1) as other:
            typed(made, 5375)
            third = other.submit(read, made).result()
        assert not first.tree.is_spent
        assert not second.tree.is_spent
        assert not third.tree.is_spent
    typed(made, 5)
    read(made)
    typed(made, 6)
    fifth = read(made)
    typed(made, 7)
    read(made)
    assert fifth.tree.is_spent


def test_what_was_asked_for_outside_of_any_job_is_held_for_good() -> None:
    made = documents({"plan.lights.yaml": PLAN})
    kept = []
    for number in range(51, 56):
        typed(made, number)
        kept.append(made.snapshot(URI))
    assert not any(each.tree.is_spent for each in kept if each is not None)


def test_jobs_in_jobs_let_go_of_their_own() -> None:
    holding = Holding()
    with holding.job():
        holding.hold("a")
        with holding.job():
            holding.hold("a")
            holding.hold("b")
            assert holding.is_held("b")
        assert holding.is_held("a")
        assert not holding.is_held("b")
    assert not holding.is_held("a")


def test_a_judge_and_many_who_ask_never_see_half_a_text() -> None:
    """Each that asks has all places in the text that it asked about, whatever is typed meanwhile."""
    made, chance, over, wrong = documents({"plan.lights.yaml": PLAN}), random.Random(3), threading.Event(), []
    taken: list[bool] = []

    def ask() -> None:
        while not over.is_set():
            with made.holding.job():
                found = made.snapshot(URI)
                assert found is not None
                text, root = found.source.text, found.tree.root
                assert isinstance(root, Mapping)
                for _ in range(20):
                    wrong.extend(key for key in root if key.source is not found.source or key.span.text != key)
                plan = found.plan
                assert plan is not None
                wrong.extend(output for output in plan.outputs.values() if output.span.text != output.name)
                assert found.source.text is text
                taken.append(found.tree.ground is not None)
            time.sleep(0.001)

    def judge() -> None:
        while not over.is_set():
            with made.holding.job():
                assert made.judged(URI)
                told = made.found(URI)
                diagnostics(told, made.client)
                wrong.extend(each for each in told.findings if told.uris[each.span.source] != URI)
            time.sleep(0.001)

    with ThreadPoolExecutor(4) as pool:
        jobs = [pool.submit(ask), pool.submit(ask), pool.submit(judge)]
        try:
            for _ in range(300):
                typed(made, chance.randrange(1, 10**6))
                if chance.random() < 0.5:
                    read(made)
                time.sleep(0.001)
        finally:
            over.set()
        for job in jobs:
            job.result()
    assert wrong == []
    assert set(taken) == {True, False}
