"""A plan of which one entry has changed: what it says and what is found, held against a reading from its beginning."""

from __future__ import annotations

import os
import random
import re
from collections.abc import Mapping, Sequence

import pytest

from edited import ROOT, edited, texts
from lampwright.diagnostics import Refusal, Report
from lampwright.engine import RULE_NAMES, judge, survey
from lampwright.engine.documents import Document, read_document
from lampwright.kinds import Kind
from lampwright.model.settings import Settings
from lampwright.plan import keeping
from lampwright.plan.lists import ListShape
from lampwright.plan.shapes import Shape
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
