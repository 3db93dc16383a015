"""Many rounds of edits in one: the text that comes out is the same, and what nobody touched is not touched."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from faulty_plans import slipped_plan
from lampwright import engine
from lampwright.diagnostics import Report
from lampwright.engine import Refusal
from lampwright.engine.composing import composed, edits_of
from lampwright.engine.fixing import mend
from lampwright.model.settings import Settings
from lampwright.text import Edit, Source, apply


@given(
    st.text("ab\n\U0001d50f", max_size=12),
    st.lists(
        st.lists(st.tuples(st.integers(0, 15), st.integers(0, 15), st.text("xy", max_size=3)), max_size=4), max_size=4
    ),
)
def test_one_round_makes_what_many_make(text: str, rounds: list[list[tuple[int, int, str]]]) -> None:
    first = source = Source("a", text)
    made: list[list[Edit]] = []
    for given_edits in rounds:
        edits: list[Edit] = []
        at = 0
        for start, end, new in sorted(given_edits):
            low, high = min(start, len(source.text)), min(max(start, end), len(source.text))
            if low < at:
                continue
            edits.append(Edit(source.span(low, high), new))
            at = high + 1
        made.append(edits)
        source = Source("a", apply(source, edits))
    edits_in_one = composed(first, made)
    assert apply(first, edits_in_one) == source.text
    assert all(edit.text != edit.span.text for edit in edits_in_one)


def test_what_stays_is_in_no_edit() -> None:
    first = Source("a", "one two three")
    second = Source("a", "1 two three")
    rounds = [[Edit(first.span(0, 3), "1")], [Edit(second.span(6, 11), "3"), Edit(second.span(0, 1), "I")]]
    assert [(edit.span.text, edit.text) for edit in composed(first, rounds)] == [("one", "I"), ("three", "3")]


def test_what_is_taken_back_is_no_edit() -> None:
    first = Source("a", "one two")
    second = Source("a", "1 two")
    assert composed(first, [[Edit(first.span(0, 3), "1")], [Edit(second.span(0, 1), "one")]]) == ()
    assert composed(first, []) == ()


def test_the_edits_of_a_plan_are_its_slips_and_no_more() -> None:
    for seed in range(20):
        slipped = slipped_plan(seed)
        files = {name: Source(name, text) for name, text in slipped.files}
        source = Source("plan.lights.yaml", slipped.typed)

        def judge(source: Source, files: dict[str, Source] = files) -> Report:
            return engine.check(source, Settings(), lambda _, path: files.get(path, Refusal("missing")))

        mended = mend(source, judge)
        edits = edits_of(source, mended)
        assert apply(source, edits) == mended.source.text
        assert len(edits) <= sum(len(repair.fix.edits) for repair in mended.repairs)
        assert sum(len(edit.span.text) for edit in edits) < len(source.text) / 4
