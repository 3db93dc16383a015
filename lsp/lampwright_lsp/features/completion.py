"""What may stand at the cursor: keys, names of what there is, conditions, units, and the resistors that fit."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from lsprotocol import types

from lampwright.engine import Survey
from lampwright.engine.documents import Document
from lampwright.kinds import Kind, kind_of
from lampwright.model.keys import HIGHEST_KEY, STEADY
from lampwright.model.lighting import LightingPlan
from lampwright.model.wires import WIRES
from lampwright.rules import RULES
from lampwright.syntax import Mapping, Sequence
from lampwright.units import Dimension, say
from lampwright_lsp.addresses import path_of
from lampwright_lsp.allowed import keys_at, quantities_at, resistors_at, words_at
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import WorkspaceFeature
from lampwright_lsp.fitting import fitting_resistors
from lampwright_lsp.names import What, names_in
from lampwright_lsp.place import MARK, Place, RulePlace, place_at
from lampwright_lsp.snippets import entries_of, escaped, filled, items_of, shown, value_of

_SNIPPETS = "text_document.completion.completion_item.snippet_support"
_DIRECTIONS, _MOTIONS = ("forward", "reverse"), ("moving", "stopped")


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to put in the place of what is there, in the order of `rank`.

    With a `snippet` that is put in, and `text` is what was typed if this is meant.
    """

    text: str
    kind: types.CompletionItemKind
    detail: str = ""
    description: str = ""
    rank: int = 5
    snippet: str | None = None


def completion(documents: Documents, params: types.CompletionParams) -> types.CompletionList | None:
    """All that may stand at the position, best first."""
    snapshot = documents.snapshot(params.text_document.uri)
    if snapshot is None:
        return None
    place = place_at(snapshot.source, snapshot.positions.offset(snapshot.source, params.position))
    if place is None:
        return None
    if isinstance(place, RulePlace):
        offers = [Offer(rule.name, types.CompletionItemKind.EnumMember, rule.summary) for rule in RULES]
    else:
        offers = list(_offers(documents, snapshot, place))
    start, end = place.start, place.end
    items = [_item(snapshot, offer, number, start, end) for number, offer in enumerate(_once(offers))]
    # Units and resistors hang on the number that is being typed.
    return types.CompletionList(is_incomplete=isinstance(place, Place) and place.typed[:1].isdigit(), items=items)


FEATURE = WorkspaceFeature(
    types.TEXT_DOCUMENT_COMPLETION,
    completion,
    types.CompletionOptions(trigger_characters=[" ", "[", "{", ",", ":", "-"], resolve_provider=False),
)


def _once(offers: Iterable[Offer]) -> list[Offer]:
    once: dict[str, Offer] = {}
    for offer in sorted(offers, key=lambda offer: offer.rank):
        once.setdefault(offer.snippet or offer.text, offer)
    return list(once.values())


def _item(snapshot: Snapshot, offer: Offer, number: int, start: int, end: int) -> types.CompletionItem:
    place = snapshot.positions.range(snapshot.source.span(start, end))
    label = offer.text.removesuffix(": ").removesuffix(":") if offer.snippet is None else shown(offer.snippet)
    # Neovim cuts a text at its first blank, but not a snippet.
    is_snippet = offer.snippet is not None or (" " in label and snapshot.client.can(_SNIPPETS))
    return types.CompletionItem(
        label=label,
        kind=offer.kind,
        detail=offer.detail or None,
        documentation=offer.description or None,
        sort_text=f"{number:04}",
        filter_text=offer.text,
        insert_text_format=types.InsertTextFormat.Snippet if is_snippet else None,
        text_edit=types.TextEdit(place, offer.snippet or (escaped(offer.text) if is_snippet else offer.text)),
    )


# --- What there is to offer -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Scene:
    """A snapshot, and what it says with a word at the cursor and all brackets closed."""

    snapshot: Snapshot
    survey: Survey

    @property
    def plan(self) -> LightingPlan | None:
        return self.survey.context.lighting_plan

    @property
    def documents(self) -> list[Document]:
        return [self.survey.document, *(document for document, _ in self.survey.referred)]


def _offers(documents: Documents, snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    scene = _Scene(snapshot, documents.surveyor(snapshot.uri)(place.tree.source))
    yield from _keys(scene, place)
    if place.path and not (place.is_key and isinstance(place.node, Mapping)):
        yield from _values(documents, scene, place)
    if snapshot.client.can(_SNIPPETS):
        yield from (each for each in _snippets(scene, place) if place.takes(filled(each.snippet or "")))


def _keys(scene: _Scene, place: Place) -> Iterator[Offer]:
    if not place.is_key:
        return
    rest = scene.snapshot.source.text[place.end :].split("\n", 1)[0]
    has_colon = rest.startswith(":")
    taken = set(place.siblings) if isinstance(place.node, Mapping) else set()
    for key in keys_at(scene.snapshot.kind, place.path):
        if key.name not in taken:
            is_alone = key.holds != "text" and not place.is_flow and not rest.strip()
            colon = "" if has_colon else ":" if is_alone else ": "
            detail = "required" if key.is_required else ""
            rank = 1 if key.is_required else 2
            yield Offer(f"{key.name}{colon}", types.CompletionItemKind.Property, detail, key.description, rank)
    for name, detail in _own_keys(scene, place):
        if name not in taken:
            yield Offer(name if has_colon else f"{name}: ", types.CompletionItemKind.Variable, detail, rank=3)


def _own_keys(scene: _Scene, place: Place) -> Iterator[tuple[str, str]]:
    """The names that may be keys there: outputs of the sheet, function keys, rules."""
    if scene.snapshot.kind is Kind.SETTINGS and place.path == ("levels",):
        yield from ((rule.name, rule.summary) for rule in RULES)
    elif place.path == ("outputs",) and scene.snapshot.kind is Kind.LIGHTING_PLAN:
        yield from _outputs(scene)
    elif place.path == ("keys",) and scene.snapshot.kind in (Kind.LIGHTING_PLAN, Kind.SETTINGS):
        club = scene.snapshot.settings.keys
        numbers = sorted(range(_highest(scene) + 1), key=lambda number: (number not in club, number))
        yield from ((f"F{number}", club.get(number, "")) for number in numbers)


def _values(documents: Documents, scene: _Scene, place: Place) -> Iterator[Offer]:
    for word in words_at(scene.snapshot.kind, place.path):
        yield Offer(word, types.CompletionItemKind.EnumMember)
    for text in quantities_at(scene.snapshot.kind, place.path, place.typed):
        yield Offer(text, types.CompletionItemKind.Unit)
    if "when" in place.path:
        yield from _conditions(scene, place)
    what = next((each.what for each in names_in(place.tree, scene.snapshot.kind) if each.text == MARK), None)
    if what is What.LAMP:
        yield from _elements(documents, scene, place)
    elif what is What.FILE:
        yield from _files(documents, scene.snapshot, place)
    elif what is not None:
        yield from (Offer(name, types.CompletionItemKind.Reference, detail) for name, detail in _names(scene, what))


def _names(scene: _Scene, what: What) -> Iterator[tuple[str, str]]:
    if what is What.OUTPUT:
        yield from _outputs(scene)
    elif what is What.EFFECT:
        yield from ((name, "effect") for name in dict.fromkeys([STEADY, *_defined(scene, what)]))
    elif what is What.PART:
        yield from ((name, "part") for name in _defined(scene, what))


def _defined(scene: _Scene, what: What) -> Iterator[str]:
    for document in scene.documents:
        for named in names_in(document.tree, document.kind):
            if named.what is what and named.is_definition:
                yield named.text


def _outputs(scene: _Scene) -> Iterator[tuple[str, str]]:
    decoder = scene.plan.decoder if scene.plan is not None else scene.survey.context.decoder
    for name, output in decoder.outputs.items() if decoder is not None else ():
        said = [f"number {output.number.value}"] if output.number is not None else []
        said += [f"limit {say(output.limit.usual, Dimension.CURRENT)}"] if output.limit is not None else []
        said += [WIRES[name].value] if name in WIRES else []
        yield name, ", ".join(said)


def _highest(scene: _Scene) -> int:
    plan = scene.plan
    highest = plan.decoder.highest_key if plan is not None and plan.decoder is not None else None
    return min(highest.value if highest is not None else 28, HIGHEST_KEY)


def _elements(documents: Documents, scene: _Scene, place: Place) -> Iterator[Offer]:
    """Resistors that fit, then lamps, those that hang nowhere yet first."""
    for number, fitting in enumerate(fitting_resistors(place, documents.surveyor(scene.snapshot.uri))):
        flows = f"{say(fitting.current, Dimension.CURRENT)}" if fitting.current is not None else ""
        detail = ", ".join(part for part in (flows, "in stock" if fitting.is_in_stock else "") if part)
        yield Offer(fitting.text, types.CompletionItemKind.Value, detail, rank=min(number, 4))
    for text in resistors_at(scene.snapshot.kind, place.path, place.typed):
        yield Offer(text, types.CompletionItemKind.Unit)
    names = names_in(scene.survey.document.tree, scene.snapshot.kind)
    wired = {each.text for each in names if each.what is What.LAMP and not each.is_definition}
    for named in names:
        if named.what is What.LAMP and named.is_definition:
            is_loose = named.text not in wired
            detail = "not wired yet" if is_loose else ""
            yield Offer(named.text, types.CompletionItemKind.Variable, detail, rank=6 if is_loose else 7)


def _files(documents: Documents, snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    wanted = Kind.DECODER_SHEET if place.path == ("decoder",) else Kind.PARTS_CATALOGUE
    here = path_of(snapshot.uri)
    for uri in documents.uris() if here is not None else ():
        path = path_of(uri)
        if here is not None and path is not None and kind_of(path.name) is wanted:
            yield Offer(Path(os.path.relpath(path, here.parent)).as_posix(), types.CompletionItemKind.File)


def _conditions(scene: _Scene, place: Place) -> Iterator[Offer]:
    """Words that do not contradict what stands in the same list already, and do not say it again."""
    is_any = "any" in place.path[-2:]
    others = set() if is_any else {name.removeprefix("not ") for name in place.siblings}
    kind = types.CompletionItemKind.Keyword
    for pair in (_DIRECTIONS, _MOTIONS):
        if not others.intersection(pair):
            yield from (Offer(word, kind, rank=2) for word in pair)
    plan = scene.plan
    own = place.path[1] if place.path[:1] == ("keys",) else None
    keys = plan.keys if plan is not None else {}
    for number in range(_highest(scene) + 1):
        name, key = f"F{number}", keys.get(number)
        if name not in others and name != own:
            label = key.label.text if key is not None and key.label is not None else ""
            rank = 3 if key is not None else 5
            yield Offer(name, kind, label, rank=rank)
            yield Offer(f"not {name}", kind, label, rank=rank + 1)


# --- What is written in one go ----------------------------------------------------------------------------------------


def _snippets(scene: _Scene, place: Place) -> Iterator[Offer]:
    """Keys with what they hold, whole entries, whole items; nothing where something stands behind already."""
    rest = scene.snapshot.source.text[place.end :].split("\n", 1)[0].lstrip()
    if rest and rest[0] not in ",]}#\r":
        return
    kind, path = scene.snapshot.kind, place.path
    if place.is_key:
        taken = set(place.siblings) if isinstance(place.node, Mapping) else set()
        for key in keys_at(kind, path):
            value = value_of(kind, (*path, key.name)) if key.holds != "text" and key.name not in taken else None
            if value is not None:
                yield _snippet(key.name, f"{key.name}: {value}", key.description)
        for entry in _entries(scene, place, taken):
            yield _snippet(filled(entry).partition(":")[0], entry, "", rank=2)
    else:
        value = value_of(kind, path)
        yield from [_snippet("", value, "")] if value is not None else []
    if isinstance(place.node, Sequence):
        yield from (
            _snippet(filled(item).strip("{").partition(":")[0], item, "", rank=8) for item in items_of(kind, path)
        )


def _snippet(typed: str, snippet: str, description: str, rank: int = 4) -> Offer:
    return Offer(typed or filled(snippet), types.CompletionItemKind.Snippet, "", description, rank, snippet)


def _entries(scene: _Scene, place: Place, taken: set[str]) -> tuple[str, ...]:
    kind, club = scene.snapshot.kind, scene.snapshot.settings.keys
    if place.path == ("keys",):
        numbers = sorted(range(_highest(scene) + 1), key=lambda number: (number not in club, number))
        names = [f"F{number}" for number in numbers]
    elif place.path == ("outputs",) and kind is Kind.LIGHTING_PLAN:
        names = [name for name, _ in _outputs(scene)]
    elif place.path[-1:] == ("outputs",):
        names = [name for name, wire in WIRES.items() if wire.is_output]
    else:
        what = "effect" if place.path[-1:] == ("effects",) else "lamp"
        names = [what, *(f"{what} {number}" for number in range(2, 2 + len(taken)))]
    free = [name for name in names if name not in taken]
    label = club.get(int(free[0][1:]), "") if free and place.path == ("keys",) else ""
    return entries_of(kind, place.path, free, _defined(scene, What.PART), label)
