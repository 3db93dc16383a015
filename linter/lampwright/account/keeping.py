"""A report as a plain object that JSON can hold, and back, word by word. Knows nothing of where it is kept.

Each source stands for its place in a list that whoever reads it back must have again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from lampwright.diagnostics import Card, Finding, Fix, Note, Report, Severity, Spot, Undecided, Want
from lampwright.text import Edit, Source, Span

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, TypeVar

    Kind = TypeVar("Kind")


def kept(report: Report, sources: Sequence[Source]) -> list[Any] | None:
    """`report`, whose places lie in `sources`; None if one does not, if JSON cannot hold it, or if something failed."""
    numbers = {source: number for number, source in reversed(list(enumerate(sources)))}
    if report.failures or report.known is not None or not all(_is_plain(each.data) for each in report.findings):
        return None
    try:
        return [
            [numbers[source] for source in report.sources],
            [_kept_finding(finding, numbers) for finding in report.findings],
            [[_kept_span(item.span, numbers), item.lacks, item.rule] for item in report.undecided],
            list(report.ignored),
            [_kept_card(card, numbers) for card in report.cards],
        ]
    except KeyError:
        return None


class DamagedError(Exception):
    """What was kept is nothing that anybody has kept."""


def recalled(plain: list[Any], sources: Sequence[Source]) -> Report:
    """The report that was kept as `plain`. Raises LookupError, TypeError or ValueError if it is none.

    Its cards are made when they are asked for. Whoever asks gets DamagedError if they are none.
    """
    own, findings, undecided, ignored, cards = _list(plain)
    return Report(
        sources=tuple([_source(number, sources) for number in _list(own)]),
        findings=tuple([_finding(each, sources) for each in _list(findings)]),
        undecided=tuple([_undecided(each, sources) for each in _list(undecided)]),
        ignored=_texts(ignored),
        deal=partial(_cards, _list(cards), sources),
    )


# --- From a report ----------------------------------------------------------------------------------------------------


Numbers = dict[Source, int]


def _kept_finding(finding: Finding, numbers: Numbers) -> list[Any]:
    return [
        _kept_span(finding.span, numbers),
        finding.message,
        [[_kept_span(note.span, numbers), note.message] for note in finding.notes],
        [
            [fix.title, [[_kept_span(edit.span, numbers), edit.text] for edit in fix.edits], fix.sure]
            for fix in finding.fixes
        ],
        finding.data,
        finding.ceiling,
        finding.rule,
        finding.level,
        finding.allowed,
        finding.fingerprint,
        list(finding.path),
    ]


def _kept_card(card: Card, numbers: Numbers) -> list[Any]:
    return [
        numbers[card.plan],
        card.name,
        card.set,
        [[kind, number, is_consist, _kept_spot(spot, numbers)] for kind, number, is_consist, spot in card.addresses],
        [
            [
                want.name,
                want.quantity,
                _kept_span(want.place, numbers),
                [[_kept_spot(spot, numbers), count] for spot, count in want.pool],
            ]
            for want in card.wants
        ],
    ]


def _kept_spot(spot: Spot, numbers: Numbers) -> list[Any]:
    return [_kept_span(spot.span, numbers), list(spot.path), spot.level, spot.allowed]


def _kept_span(span: Span, numbers: Numbers) -> list[int]:
    return [numbers[span.source], span.start, span.end]


def _is_plain(value: object) -> bool:
    if isinstance(value, Mapping):
        return isinstance(value, dict) and all(isinstance(key, str) and _is_plain(each) for key, each in value.items())
    if isinstance(value, list | tuple):
        return all(map(_is_plain, value))
    return value is None or isinstance(value, str | int | float)


# --- To a report ------------------------------------------------------------------------------------------------------


def _finding(plain: object, sources: Sequence[Source]) -> Finding:
    span, message, notes, fixes, data, ceiling, rule, level, allowed, fingerprint, path = _list(plain)
    return Finding(
        _span(span, sources),
        _text(message),
        tuple([_note(note, sources) for note in _list(notes)]),
        tuple([_fix(fix, sources) for fix in _list(fixes)]),
        _checked(data, dict),
        None if ceiling is None else Severity(ceiling),
        _text(rule),
        Severity(level),
        None if allowed is None else _text(allowed),
        _text(fingerprint),
        _texts(path),
    )


def _note(plain: object, sources: Sequence[Source]) -> Note:
    span, words = _list(plain)
    return Note(_span(span, sources), _text(words))


def _fix(plain: object, sources: Sequence[Source]) -> Fix:
    title, edits, sure = _list(plain)
    return Fix(_text(title), tuple([_edit(edit, sources) for edit in _list(edits)]), _checked(sure, bool))


def _edit(plain: object, sources: Sequence[Source]) -> Edit:
    span, text = _list(plain)
    return Edit(_span(span, sources), _text(text))


def _undecided(plain: object, sources: Sequence[Source]) -> Undecided:
    span, lacks, rule = _list(plain)
    return Undecided(_span(span, sources), _text(lacks), _text(rule))


def _cards(plain: list[Any], sources: Sequence[Source]) -> tuple[Card, ...]:
    try:
        return tuple([_card(each, sources) for each in plain])
    except (LookupError, TypeError, ValueError) as error:
        raise DamagedError from error


def _card(plain: object, sources: Sequence[Source]) -> Card:
    number, name, group, addresses, wants = _list(plain)
    return Card(
        _source(number, sources),
        _text(name),
        None if group is None else _text(group),
        tuple([_address(each, sources) for each in _list(addresses)]),
        tuple([_want(each, sources) for each in _list(wants)]),
    )


def _address(plain: object, sources: Sequence[Source]) -> tuple[str, int, bool, Spot]:
    kind, number, is_consist, spot = _list(plain)
    return _text(kind), _checked(number, int), _checked(is_consist, bool), _spot(spot, sources)


def _want(plain: object, sources: Sequence[Source]) -> Want:
    name, quantity, place, pool = _list(plain)
    entries = [(_spot(spot, sources), _checked(count, int)) for spot, count in map(_list, _list(pool))]
    return Want(_text(name), _checked(quantity, int), _span(place, sources), tuple(entries))


def _spot(plain: object, sources: Sequence[Source]) -> Spot:
    span, path, level, allowed = _list(plain)
    return Spot(
        _span(span, sources),
        _texts(path),
        None if level is None else Severity(level),
        None if allowed is None else _text(allowed),
    )


def _span(plain: object, sources: Sequence[Source]) -> Span:
    number, start, end = _list(plain)
    source = _source(number, sources)
    if not 0 <= _checked(start, int) <= _checked(end, int) <= len(source.text):
        raise ValueError(plain)
    return Span(source, start, end)


def _source(number: object, sources: Sequence[Source]) -> Source:
    if _checked(number, int) < 0:
        raise LookupError(number)
    return sources[_checked(number, int)]


def _list(plain: object) -> list[Any]:
    return _checked(plain, list)


def _texts(plain: object) -> tuple[str, ...]:
    return tuple([_text(each) for each in _list(plain)])


def _text(plain: object) -> str:
    return _checked(plain, str)


def _checked(plain: object, kind: type[Kind]) -> Kind:
    # What a check has found is right; what somebody else wrote into the cache must not fail when it is printed.
    if type(plain) is not kind:
        raise TypeError(plain)
    return plain
