"""What may stand at the cursor: keys, names of what there is, conditions, units, and the resistors that fit."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from lsprotocol import types

from lampwright.kinds import Kind, kind_of
from lampwright.model.keys import HIGHEST_KEY, STEADY
from lampwright.model.wires import WIRES
from lampwright.rules import RULES
from lampwright.syntax import Mapping
from lampwright.units import Dimension, say
from lampwright_lsp.addresses import path_of
from lampwright_lsp.allowed import keys_at, units_at, words_at
from lampwright_lsp.documents import Documents, Snapshot
from lampwright_lsp.feature import WorkspaceFeature
from lampwright_lsp.fitting import fitting_resistors
from lampwright_lsp.names import What, names_in
from lampwright_lsp.place import MARK, Place, RulePlace, place_at

_NUMBER = re.compile(r"(?P<number>[0-9]+(?:\.[0-9]+)?)\s?[^\s0-9.]*\Z")
_DIRECTIONS, _MOTIONS = ("forward", "reverse"), ("moving", "stopped")


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to put in the place of what is there, in the order of `rank`."""

    text: str
    kind: types.CompletionItemKind
    detail: str = ""
    description: str = ""
    rank: int = 5


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
        once.setdefault(offer.text, offer)
    return list(once.values())


def _item(snapshot: Snapshot, offer: Offer, number: int, start: int, end: int) -> types.CompletionItem:
    place = snapshot.positions.range(snapshot.source.span(start, end))
    return types.CompletionItem(
        label=offer.text.removesuffix(": ").removesuffix(":"),
        kind=offer.kind,
        detail=offer.detail or None,
        documentation=offer.description or None,
        sort_text=f"{number:04}",
        filter_text=offer.text,
        text_edit=types.TextEdit(place, offer.text),
    )


# --- What there is to offer -------------------------------------------------------------------------------------------


def _offers(documents: Documents, snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    yield from _keys(snapshot, place)
    if place.path and not (place.is_key and isinstance(place.node, Mapping)):
        yield from _values(documents, snapshot, place)


def _keys(snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    if not place.is_key:
        return
    rest = snapshot.source.text[place.end :].split("\n", 1)[0]
    has_colon = rest.startswith(":")
    taken = set(place.siblings) if isinstance(place.node, Mapping) else set()
    for key in keys_at(snapshot.kind, place.path):
        if key.name not in taken:
            is_alone = key.holds != "text" and not place.is_flow and not rest.strip()
            colon = "" if has_colon else ":" if is_alone else ": "
            detail = "required" if key.is_required else ""
            rank = 1 if key.is_required else 2
            yield Offer(f"{key.name}{colon}", types.CompletionItemKind.Property, detail, key.description, rank)
    for name, detail in _own_keys(snapshot, place):
        if name not in taken:
            yield Offer(name if has_colon else f"{name}: ", types.CompletionItemKind.Variable, detail, rank=3)


def _own_keys(snapshot: Snapshot, place: Place) -> Iterator[tuple[str, str]]:
    """The names that may be keys there: outputs of the sheet, function keys, rules."""
    if snapshot.kind is Kind.SETTINGS and place.path == ("levels",):
        yield from ((rule.name, rule.summary) for rule in RULES)
    elif place.path == ("outputs",) and snapshot.kind is Kind.LIGHTING_PLAN:
        yield from _outputs(snapshot)
    elif place.path == ("keys",) and snapshot.kind in (Kind.LIGHTING_PLAN, Kind.SETTINGS):
        club = snapshot.settings.keys
        numbers = sorted(range(_highest(snapshot) + 1), key=lambda number: (number not in club, number))
        yield from ((f"F{number}", club.get(number, "")) for number in numbers)


def _values(documents: Documents, snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    for word in words_at(snapshot.kind, place.path):
        yield Offer(word, types.CompletionItemKind.EnumMember)
    number = _NUMBER.match(place.typed)
    if number is not None:
        for unit in units_at(snapshot.kind, place.path):
            if unit.isascii():
                yield Offer(f"{number['number']} {unit}", types.CompletionItemKind.Unit)
    if "when" in place.path:
        yield from _conditions(snapshot, place)
    what = next((each.what for each in names_in(place.tree, snapshot.kind) if each.text == MARK), None)
    if what is What.LAMP:
        yield from _elements(documents, snapshot, place)
    elif what is What.FILE:
        yield from _files(documents, snapshot, place)
    elif what is not None:
        yield from (Offer(name, types.CompletionItemKind.Reference, detail) for name, detail in _names(snapshot, what))


def _names(snapshot: Snapshot, what: What) -> Iterator[tuple[str, str]]:
    if what is What.OUTPUT:
        yield from _outputs(snapshot)
    elif what is What.EFFECT:
        yield from ((name, "effect") for name in dict.fromkeys([STEADY, *_defined(snapshot, what)]))
    elif what is What.PART:
        yield from ((name, "part") for name in _defined(snapshot, what))


def _defined(snapshot: Snapshot, what: What) -> Iterator[str]:
    good = snapshot.good
    for document in (good.document, *good.referred):
        for named in names_in(document.tree, document.kind):
            if named.what is what and named.is_definition:
                yield named.text


def _outputs(snapshot: Snapshot) -> Iterator[tuple[str, str]]:
    plan = snapshot.good.plan
    decoder = plan.decoder if plan is not None else snapshot.good.context.decoder
    for name, output in decoder.outputs.items() if decoder is not None else ():
        said = [f"number {output.number.value}"] if output.number is not None else []
        said += [f"limit {say(output.limit.usual, Dimension.CURRENT)}"] if output.limit is not None else []
        said += [WIRES[name].value] if name in WIRES else []
        yield name, ", ".join(said)


def _highest(snapshot: Snapshot) -> int:
    plan = snapshot.good.plan
    highest = plan.decoder.highest_key if plan is not None and plan.decoder is not None else None
    return min(highest.value if highest is not None else 28, HIGHEST_KEY)


def _elements(documents: Documents, snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    """Resistors that fit, then lamps, those that hang nowhere yet first."""
    for number, fitting in enumerate(fitting_resistors(place, documents.surveyor(snapshot.uri))):
        flows = f"{say(fitting.current, Dimension.CURRENT)}" if fitting.current is not None else ""
        detail = ", ".join(part for part in (flows, "in stock" if fitting.is_in_stock else "") if part)
        yield Offer(fitting.text, types.CompletionItemKind.Value, detail, rank=min(number, 4))
    good = snapshot.good
    names = names_in(good.tree, good.kind)
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


def _conditions(snapshot: Snapshot, place: Place) -> Iterator[Offer]:
    """Words that do not contradict what stands in the same list already, and do not say it again."""
    is_any = "any" in place.path[-2:]
    others = set() if is_any else {name.removeprefix("not ") for name in place.siblings}
    kind = types.CompletionItemKind.Keyword
    for pair in (_DIRECTIONS, _MOTIONS):
        if not others.intersection(pair):
            yield from (Offer(word, kind, rank=2) for word in pair)
    plan = snapshot.good.plan
    own = place.path[1] if place.path[:1] == ("keys",) else None
    keys = plan.keys if plan is not None else {}
    for number in range(_highest(snapshot) + 1):
        name, key = f"F{number}", keys.get(number)
        if name not in others and name != own:
            label = key.label.text if key is not None and key.label is not None else ""
            rank = 3 if key is not None else 5
            yield Offer(name, kind, label, rank=rank)
            yield Offer(f"not {name}", kind, label, rank=rank + 1)
