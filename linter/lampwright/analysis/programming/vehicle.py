"""The CVs that follow from the vehicle: its address, its direction, its consist, and how F0 travels.

By S-9.2.2 (2012), table 1, read; CV20 for long consist addresses and bits 6 and 7 of CV22 by a digest of RCN-225.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming.claims import Claim
from lampwright.model.registers import FieldPlace
from lampwright.model.vehicle import Address, Consist, Vehicle

ADDRESS, LONG_HIGH, LONG_LOW, CONFIGURATION = 1, 17, 18, 29
CONSIST, CONSIST_HUNDREDS, CONSIST_KEYS, CONSIST_MORE_KEYS = 19, 20, 21, 22
PAGE_HIGH, PAGE_LOW = 31, 32
LOCKS = (15, 16)
VERSION, MAKER = 7, 8
READ_ONLY = (VERSION, MAKER)
HIGHEST_CV = 1024
DEFAULT_ADDRESS = 3
"""What CV1 holds on delivery, by S-9.2.2."""

IS_REVERSED = FieldPlace(None, 0, 0)
F0_IN_GROUP_ONE = FieldPlace(None, 1, 1)
IS_LONG = FieldPlace(None, 5, 5)

HIGHEST_SHORT, HIGHEST_LONG = 127, 10239
_GROUPS = ((6, range(13, 21)), (7, range(21, 29)))


def vehicle_claims(vehicle: Vehicle) -> list[Claim]:
    """What the vehicle's own CVs are to hold."""
    claims = list(_address(vehicle.address)) if vehicle.address is not None else []
    if vehicle.consist is not None:
        claims += _consist(vehicle.consist)
    if "reversed" not in vehicle.unreadable:
        claims.append(Claim(CONFIGURATION, int(vehicle.reversed), IS_REVERSED))
    # With bit 1 clear F0 does not travel in the function group, but in the speed packet of 14 steps: it flickers.
    claims.append(Claim(CONFIGURATION, 1, F0_IN_GROUP_ONE))
    return claims


def long_address(cv17: int, cv18: int) -> int:
    """The address that the two CVs say."""
    return (cv17 - 192) * 256 + cv18


def _address(address: Address) -> Iterator[Claim]:
    if not 1 <= address.number <= (HIGHEST_LONG if address.is_long else HIGHEST_SHORT):
        return
    if address.is_long:
        yield Claim(LONG_HIGH, 192 + address.number // 256, span=address.span)
        yield Claim(LONG_LOW, address.number % 256, span=address.span)
    else:
        yield Claim(ADDRESS, address.number, default=DEFAULT_ADDRESS, span=address.span)
    yield Claim(CONFIGURATION, int(address.is_long), IS_LONG, span=address.span)


def _consist(consist: Consist) -> Iterator[Claim]:
    number, span = consist.address.number, consist.address.span
    if not 1 <= number <= HIGHEST_LONG:
        return
    if number > HIGHEST_SHORT:
        yield Claim(CONSIST_HUNDREDS, number // 100, span=span)
    low = number if number <= HIGHEST_SHORT else number % 100
    yield Claim(CONSIST, low | (128 if consist.reversed else 0), span=span)
    if consist.keys:
        yield from _consist_keys(frozenset(key for key, _ in consist.keys), consist)


def _consist_keys(keys: frozenset[int], consist: Consist) -> Iterator[Claim]:
    span = consist.keys[0][1]
    yield Claim(CONSIST_KEYS, sum(1 << key - 1 for key in keys if 1 <= key <= 8), span=span)
    low = (3 if 0 in keys else 0) | sum(1 << key - 7 for key in keys if 9 <= key <= 12)
    yield Claim(CONSIST_MORE_KEYS, low, FieldPlace(None, 0, 5), span=span)
    for bit, group in _GROUPS:
        if keys.issuperset(group):
            yield Claim(CONSIST_MORE_KEYS, 1, FieldPlace(None, bit, bit), span=span)


def unsayable_consist_keys(consist: Consist) -> tuple[int, ...]:
    """The keys that no CV lets obey the consist alone: of F13 to F20 and of F21 to F28 it is all or none."""
    keys = {key for key, _ in consist.keys}
    whole = {key for _, group in _GROUPS if keys.issuperset(group) for key in group}
    return tuple(sorted(key for key in keys if key > 12 and key not in whole))
