"""What was read of a plan is gone when nobody wants it any more, at once: an editor runs for days."""

from __future__ import annotations

import gc
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from lampwright.engine import judge, survey
from lampwright.files import Files
from lampwright.rule import Rule
from lampwright.rules import RULES
from lampwright.settings import Governance
from test_rule_pages import examples

CLUB = Path(__file__).resolve().parent.parent / "examples"


@contextmanager
def no_garbage() -> Iterator[None]:
    """Nothing of ours is left behind that knows itself in a circle, and waits for Python to look for such."""
    gc.collect()
    was_on, flags = gc.isenabled(), gc.get_debug()
    gc.disable()
    try:
        yield
        gc.set_debug(gc.DEBUG_SAVEALL)
        gc.collect()
        left = Counter(f"{type(each).__module__}.{type(each).__qualname__}" for each in gc.garbage)
    finally:
        gc.set_debug(flags)
        gc.garbage.clear()
        if was_on:
            gc.enable()
    assert {name: count for name, count in left.items() if name.startswith("lampwright")} == {}


def vehicle(path: Path) -> Callable[[], object]:
    def read() -> object:
        files = Files(CLUB)
        governance = Governance(files)
        source = files.source(path)
        settings = governance.settings(path)
        return judge(survey(source, settings, files.load, lambda each: governance.settings(files.path(each))))

    return read


@pytest.mark.parametrize("path", sorted((CLUB / "vehicles").glob("*.lights.yaml")), ids=lambda path: path.name)
def test_a_plan_that_was_judged_leaves_nothing_behind(path: Path) -> None:
    read = vehicle(path)
    # What is kept on purpose is kept now.
    read()
    with no_garbage():
        read()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_nor_does_one_in_which_anything_is_wrong(rule: Rule) -> None:
    found = examples(rule.page)
    for example in found:
        example.report  # noqa: B018  # it is asked for
    with no_garbage():
        for example in found:
            example.report  # noqa: B018
