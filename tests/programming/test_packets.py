"""Packets against the bytes that the standards print, and against those derived from the formats that were read.

"Read": in the text of the standard. "Derived": computed by hand from a format that was read. "Second-hand": the format is
known from a digest of RCN-212 only.
"""

from __future__ import annotations

import pytest

from programming.knowledge import InterpreterError
from programming.packets import (
    IDLE,
    RESET,
    binary_state_long,
    binary_state_short,
    function_group,
    service_register_write,
    service_verify,
    service_write,
    service_write_bit,
    speed_28,
    verify_on_main,
    with_error_byte,
    write_bit_on_main,
    write_on_main,
)


@pytest.mark.parametrize(
    ("packet", "printed"),
    [
        # S-9.2 (2004): read.
        (IDLE, "FF 00 FF"),
        (RESET, "00 00 00"),
        # S-9.2.3 (2012), page preset and factory reset: read.
        (service_register_write(6, 1), "7D 01 7C"),
        (service_register_write(8, 8), "7F 08 77"),
        # S-9.2 Figure 2, loco 55 forward at step 6 of 28: text read, bits derived.
        (speed_28(55, 6, forward=True), "37 74 43"),
        # S-9.2.1 (2012), function group one: derived.
        (function_group(3, 0, {0}), "03 90 93"),
        (function_group(3, 0, set()), "03 80 83"),
        (function_group(3, 1, {0, 1}), "03 91 92"),
        # S-9.2.1, function group two: derived.
        (function_group(3, 5, {5}), "03 B1 B2"),
        (function_group(3, 8, {8}), "03 B8 BB"),
        (function_group(3, 9, {9}), "03 A1 A2"),
        (function_group(3, 12, {12}), "03 A8 AB"),
        # S-9.2.1, feature expansion: derived.
        (function_group(3, 13, {13}), "03 DE 01 DC"),
        (function_group(3, 20, {20}), "03 DE 80 5D"),
        (function_group(3, 21, {21}), "03 DF 01 DD"),
        (function_group(3, 28, {28}), "03 DF 80 5C"),
        # RCN-212: derived from a format that is second-hand.
        (function_group(3, 29, {29}), "03 D8 01 DA"),
        (function_group(3, 37, {37}), "03 D9 01 DB"),
        (function_group(3, 45, {45}), "03 DA 01 D8"),
        (function_group(3, 53, {53}), "03 DB 01 D9"),
        (function_group(3, 61, {61}), "03 DC 01 DE"),
        # S-9.2.1, a long address, 1234 = (196 - 192) * 256 + 210: derived.
        (function_group(1234, 0, {0}, long=True), "C4 D2 90 86"),
        # S-9.2.1, CVs on the main: derived.
        (write_on_main(3, 29, 6), "03 EC 1C 06 F5"),
        (write_on_main(3, 33, 1), "03 EC 20 01 CE"),
        (write_on_main(1234, 33, 1, long=True), "C4 D2 EC 20 01 DB"),
        (write_on_main(3, 257, 1), "03 ED 00 01 EF"),
        # S-9.2.3, direct mode: derived.
        (service_write(29, 6), "7C 1C 06 66"),
        (service_write(33, 1), "7C 20 01 5D"),
        (service_write(46, 128), "7C 2D 80 D1"),
        (service_write(1024, 255), "7F FF FF 7F"),
        (service_verify(29, 6), "74 1C 06 6E"),
        (service_write_bit(29, 5, on=True), "78 1C FD 99"),
    ],
)
def test_a_packet_is_what_the_standard_gives(packet: bytes, printed: str) -> None:
    assert packet.hex(" ").upper() == printed


@pytest.mark.parametrize(
    ("instruction", "printed"),
    [
        # S-9.2.1: all binary states off, read.
        (binary_state_long(0, on=False), "C0 00 00"),
        (binary_state_short(0, on=False), "DD 00"),
        # S-9.2.1: DD DLLLLLLL and C0 DLLLLLLL HHHHHHHH, derived. 300 = 2 * 128 + 44.
        (binary_state_short(5, on=True), "DD 85"),
        (binary_state_long(300, on=True), "C0 AC 02"),
        (binary_state_long(32767, on=True), "C0 FF FF"),
    ],
)
def test_binary_states(instruction: tuple[int, ...], printed: str) -> None:
    assert bytes(instruction).hex(" ").upper() == printed


def test_a_packet_and_its_error_byte_come_to_nothing() -> None:
    # S-9.2: the error byte is the exclusive or of all before it, read.
    for packet in (verify_on_main(3, 29, 6), write_bit_on_main(3, 29, 5, on=False), with_error_byte(1, 2, 4)):
        assert with_error_byte(*packet)[-1] == 0


def test_main_and_service_say_the_same_of_a_cv() -> None:
    # S-9.2.1 1110CCVV and S-9.2.3 0111CCAA: the same commands, numbers and data, read.
    assert verify_on_main(3, 300, 7)[1:4] == bytes((service_verify(300, 7)[0] ^ 0x90, *service_verify(300, 7)[1:3]))
    assert write_bit_on_main(3, 29, 5, on=True)[1:4] == bytes((0xE8, 0x1C, 0xFD))


def test_f0_leaves_its_group_with_cv29_bit_1_clear() -> None:
    # S-9.2.1: bit 4 is F0 only if CV29 bit 1 is set, read.
    assert function_group(3, 0, {0, 1}, f0_in_group=False)[1] == 0x81


def test_functions_of_other_groups_do_not_count() -> None:
    assert function_group(3, 6, {0, 5, 9, 13, 28})[1] == 0xB1
    assert function_group(3, 16, {0, 12, 13, 21})[1:3] == bytes((0xDE, 0x01))


@pytest.mark.parametrize(
    ("first", "last", "printed"),
    [
        # S-9.2.1: every bit of each group, read; RCN-212 from F29 on, second-hand.
        (0, 4, "9F"),
        (5, 8, "BF"),
        (9, 12, "AF"),
        (13, 20, "DE FF"),
        (21, 28, "DF FF"),
        (29, 36, "D8 FF"),
        (37, 44, "D9 FF"),
        (45, 52, "DA FF"),
        (53, 60, "DB FF"),
        (61, 68, "DC FF"),
    ],
)
def test_each_group_from_end_to_end(first: int, last: int, printed: str) -> None:
    for member in (first, last):
        assert function_group(1, member, range(69))[1:-1].hex(" ").upper() == printed


@pytest.mark.parametrize(
    ("address", "long"), [(0, False), (128, False), (0, True), (10240, True)]
)  # S-9.2.1: short 1 to 127; long with a first byte from 192 to 231, read.
def test_an_address_that_no_decoder_has(address: int, long: bool) -> None:
    with pytest.raises(InterpreterError, match="address"):
        function_group(address, 0, set(), long=long)


def test_the_lowest_and_the_highest_are_allowed() -> None:
    assert speed_28(3, 1, forward=False)[1] == 0b0100_0010
    assert speed_28(3, 28, forward=True)[1] == 0b0111_1111
    assert service_register_write(1, 0)[:2] == bytes((0x78, 0))
    assert service_write_bit(1, 0, on=False)[:3] == bytes((0x78, 0, 0xF0))
    assert verify_on_main(3, 1, 0)[1:4] == bytes((0xE4, 0, 0))
    assert function_group(10239, 0, (), long=True)[:2] == bytes((231, 255))


def test_beyond_them_nothing_is() -> None:
    for wrong in (
        lambda: function_group(3, 69, ()),
        lambda: binary_state_short(128, on=True),
        lambda: binary_state_long(32768, on=True),
        lambda: service_register_write(9, 0),
        lambda: service_register_write(1, 256),
        lambda: service_write_bit(1, 8, on=True),
        lambda: speed_28(3, 29, forward=True),
        lambda: service_write(0, 0),
    ):
        with pytest.raises(InterpreterError, match="is not from"):
            wrong()


def test_a_cv_has_ten_bits() -> None:
    with pytest.raises(InterpreterError, match="CV 1025"):
        service_write(1025, 0)
    with pytest.raises(InterpreterError, match="value 256"):
        write_on_main(3, 1, 256)
