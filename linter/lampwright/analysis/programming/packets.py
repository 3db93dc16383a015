"""CV writes as DCC packets, for people who build their own hardware: each a whole packet with its error byte.

By S-9.2.3 (service mode, direct), S-9.2.1 (operations mode, on the main) and S-9.2 (error byte), read. How often a
packet is sent, and with which preamble, is the matter of the hardware.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from operator import xor

from lampwright.analysis.programming.claims import Setting
from lampwright.model.vehicle import Address

_SERVICE, _ON_MAIN = 0b0111_0000, 0b1110_0000
_BYTE, _BIT = 0b1100, 0b1000
_WRITE_BIT = 0b1111_0000
_LONG_ADDRESS = 0b1100_0000


def service_packets(setting: Setting) -> list[bytes]:
    """The packets for the programming track, where no address is needed."""
    return [_with_error_byte(*data) for data in _instructions(_SERVICE, setting)]


def main_packets(setting: Setting, address: Address) -> list[bytes]:
    """The packets for the main track, at the address that the decoder has already."""
    first = (_LONG_ADDRESS | address.number >> 8, address.number & 255) if address.is_long else (address.number,)
    return [_with_error_byte(*first, *data) for data in _instructions(_ON_MAIN, setting)]


def _instructions(kind: int, setting: Setting) -> Iterator[tuple[int, int, int]]:
    """One that writes the byte; where the rest of the CV is not known, one for each bit that the plan decides."""
    high, low = setting.cv - 1 >> 8, setting.cv - 1 & 255
    if not setting.must_be_read_first or setting.mask == 255:
        yield kind | _BYTE | high, low, setting.value
        return
    for bit in range(8):
        if setting.mask >> bit & 1:
            is_on = setting.value >> bit & 1
            yield kind | _BIT | high, low, _WRITE_BIT | is_on << 3 | bit


def _with_error_byte(*data: int) -> bytes:
    return bytes((*data, reduce(xor, data)))
