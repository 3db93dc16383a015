"""A plan of which one entry has changed: what it says and what is found, held against a reading from its beginning."""

from __future__ import annotations

import os
import random
import re
from collections.abc import Mapping, Sequence

import pytest

from edited import ROOT, edited, texts
from lampwright.analysis import electrical
from lampwright.diagnostics import Refusal, Report
from lampwright.engine import RULE_NAMES, Survey, judge, survey
from lampwright.engine.documents import Document, read_document
from lampwright.kinds import Kind
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import NO_SETTINGS, Settings
from lampwright.plan import keeping
from lampwright.plan.lists import ListShape
from lampwright.plan.shapes import Shape
from lampwright.rule import Context
from lampwright.syntax import Scalar
from lampwright.text import Source, Span

EXAMPLES = ROOT / "examples"
EDITS = int(os.environ.get("LAMPWRIGHT_EXAMPLES", "1500"))
"""How many random edits are made."""


def told(value: object) -> object:
    """All that a shape says, places and nodes and all."""
    match value:
        case Shape() | ListShape():
            return type(value), {name: told(each) for name, each in vars(value).items()}
        case Span():
            return value.source, value.start, value.end
        case Scalar():
            return str(value), told(value.span), value.style
        case Mapping():
            place = getattr(value, "span", None)
            return type(value), told(place), [(told(key), told(each)) for key, each in value.items()]
        case Sequence() if not isinstance(value, str):
            return type(value), told(getattr(value, "span", None)), [told(each) for each in value]
    names = getattr(value, "__match_args__", None)
    return value if names is None else (type(value), [told(getattr(value, name)) for name in names])


def read(text: str, before: Document | None = None) -> Document:
    return read_document(Source("plan.lights.yaml", text), Kind.LIGHTING_PLAN, RULE_NAMES, before)


def slip(text: str, chance: random.Random) -> str:
    """The text with one letter or digit another one, as most keys are pressed: it seldom breaks a plan."""
    places = [match.start() for match in re.finditer(r"[0-9a-z]", text)]
    at = chance.choice(places)
    put = chance.choice(("7", "1", "0", "", "3 ", "x", "e")) + chance.choice(("", text[at]))
    return text[:at] + put + text[at + 1 :]


def test_a_shape_of_which_most_is_kept_is_the_one_that_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    chance, plans, kept = random.Random(11), [text for text in texts() if "outputs:" in text], 0
    known: list[int] = []
    plain = keeping.kept
    monkeypatch.setattr(keeping, "kept", lambda *given: (found := plain(*given), known.append(len(found)))[0])
    made = 0
    while made < EDITS:
        text = chance.choice(plans)
        document = read(text)
        for _ in range(chance.randint(1, 5)):
            made += 1
            text = slip(text, chance) if chance.random() < 0.7 else edited(text, chance)
            known.clear()
            document = read(text, document)
            anew = read_document(document.source, Kind.LIGHTING_PLAN, RULE_NAMES)
            assert told(document.shape) == told(anew.shape), text
            assert [(each.kind, told(each.span)) for each in document.problems] == [
                (each.kind, told(each.span)) for each in anew.problems
            ], text
            assert document.is_complete == anew.is_complete
            kept += bool(known and known[0])
    assert kept > made / 4


def test_what_is_found_in_it_is_what_is_found_in_the_whole() -> None:
    chance = random.Random(12)
    plans = [path.read_text("utf-8") for path in sorted(EXAMPLES.glob("vehicles/*.lights.yaml"))]
    plans += [text for text in texts() if "outputs:" in text]
    files = {path.name: path.read_text("utf-8") for path in EXAMPLES.rglob("*.yaml")}
    sources: dict[str, Source] = {}

    def load(_: Source, path: str) -> Source | Refusal:
        name = path.rsplit("/", 1)[-1]
        if name not in files:
            return Refusal("missing")
        return sources.setdefault(name, Source(name, files[name]))

    settings = [Settings(), Settings(keys={0: "Headlamps", 3: "Ditch lamps"}, series="E24")]
    for _ in range(EDITS // 15):
        text, before, governing = chance.choice(plans), None, chance.choice(settings)
        for _ in range(8):
            source = Source("plan.lights.yaml", text)
            surveyed = survey(source, governing, load, before=before)
            found = judge(surveyed, raising=True)
            anew = judge(survey(Source("plan.lights.yaml", text), governing, load), raising=True)
            assert difference(all_of(found), all_of(anew)) is None, text
            # A key that breaks the YAML is followed by one that mends it.
            before = before if surveyed.document.tree.broken and before is not None else surveyed
            text = slip(text, chance) if chance.random() < 0.8 else edited(text, chance)


PLAN = """\
vehicle: {name: Quarry switcher 7, address: 7}
supply: {track: 14.5 V}
decoder:
  common: {drop: 1.4 V}
  outputs:
    white: {number: 1, limit: 300 mA}
    yellow: {number: 2, limit: 300 mA}
    green: {number: 3, limit: 300 mA}
lamps:
  a: {led: {forward-voltage: 3 V, current: 10 mA, maximum-current: 20 mA}}
  b: {led: {forward-voltage: 3 V, current: 10 mA, maximum-current: 20 mA}}
  c: {led: {forward-voltage: 3 V, current: 10 mA, maximum-current: 20 mA}}
outputs:
  white: {circuit: [1.2 kohm 1/4 W, a]}
  yellow: {circuit: [1.2 kohm 1/4 W, b]}
  green: {circuit: [1.2 kohm 1/4 W, c]}
keys:
  F0: {turns-on: [{output: white, when: forward}, {output: yellow, when: reverse}]}
  F1: {turns-on: [{output: green}]}
"""


def typed(*texts: str) -> list[Survey]:
    """What is known after each of some texts that follow each other. The first two are read from their beginning."""
    surveys: list[Survey] = []
    for text in texts:
        source = Source("plan.lights.yaml", text)
        surveys.append(survey(source, NO_SETTINGS, nothing, before=surveys[-1] if surveys else None))
        judge(surveys[-1], raising=True)
    return surveys


def nothing(_source: Source, _path: str) -> Refusal:
    return Refusal("missing")


def known_of(surveyed: Survey) -> tuple[Context, LightingPlan]:
    assert surveyed.context.lighting_plan is not None
    return surveyed.context, surveyed.context.lighting_plan


def test_a_key_in_one_output_leaves_all_that_is_known_of_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    computed: list[str] = []
    plain = electrical._output_facts
    monkeypatch.setattr(electrical, "_output_facts", lambda *given: (computed.append(given[1].name), plain(*given))[1])
    *_, before = typed(PLAN, PLAN.replace("address: 7", "address: 8"))
    (old, older), facts = known_of(before), before.context.electrical
    kept = [facts.outputs[name] for name in ("white", "green")]
    logic, programming = old.logic, old.programming
    text = PLAN.replace("address: 7", "address: 8").replace("1.2 kohm 1/4 W, b", "1.5 kohm 1/4 W, b")
    computed.clear()
    source = Source("plan.lights.yaml", text)
    after = survey(source, NO_SETTINGS, nothing, before=before)
    judge(after, raising=True)
    new, newer = known_of(after)
    assert set(computed) == {"yellow"}
    assert [newer.outputs[name] is older.outputs[name] for name in newer.outputs] == [True, False, True]
    assert [new.electrical.outputs[name] for name in ("white", "green")] == kept
    assert all(new.electrical.outputs[name] is each for name, each in zip(("white", "green"), kept, strict=True))
    assert new.logic is logic
    assert new.programming is programming
    assert {"dim-led", "overdriven-led", "no-preferred-value"} <= new.remembered["green"].quiet
    assert newer.outputs["green"].span.text == "green"
    assert newer.outputs["green"].span.source is source


@pytest.mark.parametrize(
    ("old", "new", "kept"),
    [
        ("1.2 kohm 1/4 W, b", "1.5 kohm 1/4 W, b", {"white", "green"}),
        ("a: {led: {forward-voltage: 3 V", "a: {led: {forward-voltage: 2 V", {"yellow", "green"}),
        ("a: {led", "aa: {led", set()),
        ("address: 8", "address: 9", set()),
        ("14.5 V", "15.5 V", set()),
        ("drop: 1.4 V", "drop: 1.5 V", set()),
        ("number: 2, limit: 300 mA", "number: 2, limit: 30 mA", set()),
        ("F1: {turns-on", "F2: {turns-on", {"white", "yellow", "green"}),
    ],
    ids=["circuit", "lamp", "name of a lamp", "address", "supply", "drop", "limit", "key"],
)
def test_facts_are_kept_of_what_does_not_hang_on_the_change(old: str, new: str, kept: set[str]) -> None:
    text = PLAN.replace("address: 7", "address: 8")
    before, after = typed(PLAN, text, text.replace(old, new))[1:]
    facts, others = before.context.electrical, after.context.electrical
    assert {name for name in facts.outputs if others._known.get(name) is facts._known[name]} == kept


def test_what_is_known_of_keys_is_not_kept_where_the_outputs_hang_elsewhere() -> None:
    """Places of an entry that was read again move no more, wherever they are at first."""
    text = PLAN.replace("outputs:\n  white: {c", "outputs:  # Two\n  white: {c")
    before, after = typed(PLAN, text, text.replace("Two", "Six"))[1:]
    assert before.context.programming is not after.context.programming
    assert before.context.logic is not after.context.logic


def test_who_asks_for_a_text_that_was_taken_over_gets_it_as_it_was() -> None:
    first = read(PLAN)
    second = read(PLAN.replace("14.5", "14"), first)
    read(PLAN.replace("14.5", "15.25"), second)
    assert second.tree.is_spent
    again = read_document(second.source, Kind.LIGHTING_PLAN, RULE_NAMES)
    assert not again.tree.is_spent
    anew = read_document(Source(second.source.name, second.source.text), Kind.LIGHTING_PLAN, RULE_NAMES)
    assert again.shape is not None
    assert anew.shape is not None
    assert [key.start for key in again.shape.node] == [key.start for key in anew.shape.node]


def all_of(report: Report) -> object:
    """All that a report says, but for the texts that it speaks of."""
    return (
        [
            (
                (each.rule, each.level, each.message, each.fingerprint, each.path, each.allowed, each.ceiling),
                place(each.span),
                [(place(note.span), note.message) for note in each.notes],
                [(fix.title, fix.sure, [(place(edit.span), edit.text) for edit in fix.edits]) for fix in each.fixes],
                placed(each.data),
            )
            for each in report.findings
        ],
        [(each.rule, place(each.span), each.lacks) for each in report.undecided],
        [placed(card.says) for card in report.cards],
        [[(place(spot.span), spot.allowed) for *_, spot in card.addresses] for card in report.cards],
        report.failures,
        report.ignored,
    )


def difference(one: object, other: object) -> object:
    """The first that is not the same in both; None if all is."""
    if isinstance(one, tuple | list) and isinstance(other, tuple | list) and len(one) == len(other):
        found = (difference(*pair) for pair in zip(one, other, strict=True))
        return next((each for each in found if each is not None), None)
    return None if one == other else (one, other)


def place(span: Span) -> tuple[str, int, int]:
    return span.source.name, span.start, span.end


def placed(value: object) -> object:
    """The same with places in the place of spans."""
    match value:
        case Span():
            return place(value)
        case Mapping():
            return {name: placed(each) for name, each in value.items()}
        case list() | tuple():
            return [placed(each) for each in value]
    return value
