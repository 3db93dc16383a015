"""The bytes of DCC packets: function groups, binary states, and CVs on the main and in service mode.

Each function returns one whole packet, the error byte last; how often it is sent is the command station's matter (a CV
on the main takes two identical packets with none other to that decoder between). Sources: S-9.2, S-9.2.1 and S-9.2.3,
read, except F29 to F68: RCN-212, second-hand.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import reduce
from operator import xor

from programming.knowledge import InterpreterError

# The first function of each group, and the instruction byte before its data.
LATER_GROUPS = {13: 0xDE, 21: 0xDF, 29: 0xD8, 37: 0xD9, 45: 0xDA, 53: 0xDB, 61: 0xDC}
WRITE, VERIFY, BIT = 0b11, 0b01, 0b10
HIGHEST_SHORT, HIGHEST_LONG = 127, 10239


def with_error_byte(*data: int) -> bytes:
    """The bytes, and the exclusive or of all of them."""
    return bytes((*data, reduce(xor, data)))


IDLE = with_error_byte(255, 0)
RESET = with_error_byte(0, 0)


def address_bytes(address: int, *, long: bool) -> tuple[int, ...]:
    """One byte for 1 to 127, two from 192 on for a long address from 1 to 10239."""
    _check("address", address, 1, HIGHEST_LONG if long else HIGHEST_SHORT)
    return (0b1100_0000 | address >> 8, address & 255) if long else (address,)


# --- Functions --------------------------------------------------------------------------------------------------------


def function_group(
    address: int, member: int, on: Collection[int], *, long: bool = False, f0_in_group: bool = True
) -> bytes:
    """The packet of the group that F`member` is in, with those functions of it on that are in `on`.

    With CV29 bit 1 clear F0 is not in its group (`f0_in_group`), and its bit stays 0.
    """
    _check("function", member, 0, 68)
    return with_error_byte(*address_bytes(address, long=long), *_group(member, set(on), f0_in_group=f0_in_group))


def _group(member: int, on: set[int], *, f0_in_group: bool) -> tuple[int, ...]:
    if member <= 4:
        return (0b1000_0000 | _bits(on, range(1, 5)) | (16 if f0_in_group and 0 in on else 0),)
    if member <= 8:
        return (0b1011_0000 | _bits(on, range(5, 9)),)
    if member <= 12:
        return (0b1010_0000 | _bits(on, range(9, 13)),)
    first = member - (member - 13) % 8
    return (LATER_GROUPS[first], _bits(on, range(first, first + 8)))


def _bits(on: set[int], functions: range) -> int:
    return sum(1 << bit for bit, function in enumerate(functions) if function in on)


def binary_state_short(number: int, *, on: bool) -> tuple[int, int]:
    """The instruction for a binary state from 1 to 127; 0 means all of them."""
    _check("binary state", number, 0, 127)
    return (0xDD, on << 7 | number)


def binary_state_long(number: int, *, on: bool) -> tuple[int, int, int]:
    """The instruction for a binary state from 1 to 32767; 0 means all of them. The low seven bits come first."""
    _check("binary state", number, 0, 32767)
    return (0xC0, on << 7 | number & 127, number >> 7)


# --- CVs --------------------------------------------------------------------------------------------------------------


def write_on_main(address: int, cv: int, value: int, *, long: bool = False) -> bytes:
    return with_error_byte(*address_bytes(address, long=long), *_long_form(0b1110_0000, WRITE, cv, value))


def verify_on_main(address: int, cv: int, value: int, *, long: bool = False) -> bytes:
    return with_error_byte(*address_bytes(address, long=long), *_long_form(0b1110_0000, VERIFY, cv, value))


def write_bit_on_main(address: int, cv: int, bit: int, *, on: bool, long: bool = False) -> bytes:
    return with_error_byte(
        *address_bytes(address, long=long), *_long_form(0b1110_0000, BIT, cv, _bit_write(bit, on=on))
    )


def service_write(cv: int, value: int) -> bytes:
    return with_error_byte(*_long_form(0b0111_0000, WRITE, cv, value))


def service_verify(cv: int, value: int) -> bytes:
    return with_error_byte(*_long_form(0b0111_0000, VERIFY, cv, value))


def service_write_bit(cv: int, bit: int, *, on: bool) -> bytes:
    return with_error_byte(*_long_form(0b0111_0000, BIT, cv, _bit_write(bit, on=on)))


def service_register_write(register: int, value: int) -> bytes:
    """Physical registers 1 to 8 of service mode: 01111RRR, which S-9.2.3's page preset and factory reset agree with."""
    _check("register", register, 1, 8)
    _check("value", value, 0, 255)
    return with_error_byte(0b0111_1000 | register - 1, value)


def _long_form(instruction: int, command: int, cv: int, data: int) -> tuple[int, int, int]:
    """The ten bits of the CV's number less one, two of them in the instruction byte, and the data byte."""
    _check("CV", cv, 1, 1024)
    _check("value", data, 0, 255)
    return (instruction | command << 2 | cv - 1 >> 8, cv - 1 & 255, data)


def _bit_write(bit: int, *, on: bool) -> int:
    _check("bit", bit, 0, 7)
    return 0b1111_0000 | on << 3 | bit


# --- Speed ------------------------------------------------------------------------------------------------------------


def speed_28(address: int, step: int, *, forward: bool) -> bytes:
    """Baseline speed, 01DCSSSS: C is the lowest bit of the step; four codes are stops. From memory, and re-derived."""
    _check("step", step, 1, 28)
    code = step + 3
    return with_error_byte(address, 0b0100_0000 | forward << 5 | (code & 1) << 4 | code >> 1)


def _check(what: str, number: int, lowest: int, highest: int) -> None:
    if not lowest <= number <= highest:
        raise InterpreterError(f"the {what} {number} is not from {lowest} to {highest}")
