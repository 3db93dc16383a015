"""What is wanted of single fields becomes the values of whole CVs, each with the bits that the plan decides.

Knows no keys and no lamps. Where two things are wanted of the same bits, both come back as a clash.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from lampwright.model.registers import FieldPlace
from lampwright.records import dataclass
from lampwright.text import Span

PageNumber = tuple[int, int]
"""What CV31 and CV32 must be."""

HIGHEST_VALUE = 255

WHOLE = FieldPlace()
"""A CV altogether."""


@dataclass(frozen=True, slots=True)
class Claim:
    """That a field of a CV is to hold `value`. `default` is that of the whole CV on delivery, None if not known.

    `span` is where the plan asks for it, None where it follows from the plan as a whole; `output` whose it is.
    """

    cv: int
    value: int
    place: FieldPlace = WHOLE
    page: PageNumber | None = None
    default: int | None = None
    span: Span | None = None
    output: str | None = None

    def is_met(self, value: int) -> bool:
        """Whether a CV of that value holds what is wanted."""
        return self.place.read(value) == self.value


def bits_of(cv: int, value: int, left_open: int, page: PageNumber | None, default: int | None) -> Iterator[Claim]:
    """Claims for all bits of a CV but those in the mask `left_open`."""
    if not left_open:
        yield Claim(cv, value, page=page, default=default)
        return
    bit = 0
    while bit < 8:
        end = bit
        while end < 8 and not left_open >> end & 1:
            end += 1
        if end > bit:
            place = FieldPlace(None, bit, end - 1)
            yield Claim(cv, place.read(value), place, page, default)
        bit = end + 1


@dataclass(frozen=True, slots=True)
class Setting:
    """The value of a CV. `mask` has a bit for each bit that `claims` decide; the others are those of `default`.

    In a CV of decimal digits no bit can be kept alone, so all are decided. `is_open` tells whether the plan leaves some
    of the CV as it is; where that is so and `default` is None, it must be read first. `fields` are all that the sheet
    knows.
    """

    cv: int
    page: PageNumber | None
    value: int
    mask: int
    default: int | None
    claims: tuple[Claim, ...]
    fields: tuple[FieldPlace, ...] = ()
    is_open: bool = False

    @property
    def must_be_read_first(self) -> bool:
        """Whether the rest of it is to be kept, and is not known."""
        return self.default is None and self.is_open

    def is_met(self, value: int) -> bool:
        """Whether all that the plan decides is so where the CV has that value."""
        return all(claim.is_met(value) for claim in self.claims)

    def within(self, value: int) -> int:
        """What the CV is to hold where it holds `value`: all that the plan decides, and the rest as it is."""
        possible = [each for each in _without_strange_digits(self.fields, value) if self.is_met(each)]
        return min(possible, key=lambda each: _distance(each, value, self.fields), default=self.value)


@dataclass(frozen=True, slots=True)
class Clash:
    """Two claims that no value of their CV can meet together."""

    earlier: Claim
    later: Claim


def settle(claims: Sequence[Claim], fields: Iterable[FieldPlace]) -> tuple[Setting, list[Clash]]:
    """The value of one CV that meets its `claims`, and the clashes among them; of two that clash the first counts.

    `fields` are all places of that CV that the sheet describes.
    """
    known = tuple(dict.fromkeys([*fields, *(claim.place for claim in claims)]))
    if len(claims) == 1 and known == (WHOLE,):
        # Most CVs are such, and nothing is to be searched for.
        (only,) = claims
        return Setting(only.cv, only.page, only.value, 255, only.default, (only,), known), []
    default = next((claim.default for claim in claims if claim.default is not None), None)
    wanted = tuple([(claim.value, _kind(claim.place)) for claim in claims])
    found = _found(wanted, tuple(map(_kind, known)), default)
    met: list[Claim] = []
    clashes: list[Clash] = []
    for claim, is_met in zip(claims, found.are_met, strict=True):
        if is_met:
            met.append(claim)
        else:
            clashes.append(Clash(_rival(claim, met), claim))
    setting = Setting(claims[0].cv, claims[0].page, found.value, found.mask, default, tuple(met), known, found.is_open)
    return setting, clashes


@dataclass(frozen=True, slots=True)
class _Found:
    """The value that meets those of some claims that `are_met`, and the bits of it that are decided."""

    value: int
    mask: int
    is_open: bool
    are_met: tuple[bool, ...]


_Kind = tuple[str | None, int, int]


def _kind(place: FieldPlace) -> _Kind:
    return place.digit, place.lowest, place.highest


# The registers of a sheet are filled alike in many plans, and in one plan that is being typed.
@lru_cache(maxsize=4096)
def _found(wanted: tuple[tuple[int, _Kind], ...], kinds: tuple[_Kind, ...], default: int | None) -> _Found:
    known = [FieldPlace(*kind) for kind in kinds]
    possible = _without_strange_digits(known, default)
    are_met = []
    for value, kind in wanted:
        readings = FieldPlace(*kind).readings
        left = [each for each in possible if readings[each] == value]
        are_met.append(bool(left))
        possible = left or possible
    value = min(possible, key=lambda each: _distance(each, default, known))
    mask = 255 if any(place.is_decimal for place in known) else 255 & ~_varying(possible)
    return _Found(value, mask, len(possible) > 1, tuple(are_met))


def _without_strange_digits(places: Sequence[FieldPlace], default: int | None) -> list[int]:
    """The values of a CV; in one of decimal digits those that the sheet does not describe stay as they are, or 0."""
    values = list(range(256))
    if any(place.is_decimal for place in places):
        for digit in ("ones", "tens", "hundreds"):
            strange = FieldPlace.of_digit(digit)
            if not any(strange.overlaps(place) for place in places):
                values = [value for value in values if strange.read(value) == strange.read(default or 0)]
    return values


def _rival(claim: Claim, met: Sequence[Claim]) -> Claim:
    """The claim that is in the way of `claim`: it overlaps it, or together they are more than a CV holds."""
    return next((other for other in met if other.place.overlaps(claim.place)), met[0] if met else claim)


def _distance(value: int, default: int | None, places: Sequence[FieldPlace]) -> tuple[int, int, int]:
    if default is None:
        return 0, 0, value
    changed = sum(place.read(value) != place.read(default) for place in places)
    return changed, (value ^ default).bit_count(), value


def _varying(values: Sequence[int]) -> int:
    varying = 0
    for value in values:
        varying |= value ^ values[0]
    return varying
