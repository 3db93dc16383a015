"""The list as packets, against the bytes of the standards and against packets that were built apart from it; and as CSV."""

from __future__ import annotations

import csv
import io

import pytest

from command import PLAN, Command, lay
from lampwright.analysis.programming.claims import Setting
from lampwright.analysis.programming.packets import main_packets, service_packets
from lampwright.model.vehicle import Address
from lampwright.text import Source
from programming.packets import service_write, service_write_bit, write_bit_on_main, write_on_main

LOCO = "loco.lights.yaml"
NOWHERE = Source("", "").span(0, 0)


def whole(cv: int, value: int) -> Setting:
    return Setting(cv, None, value, 255, None, ())


# Derived from S-9.2.1 and S-9.2.3, read.
SERVICE = [(29, 6, "7C 1C 06 66"), (33, 1, "7C 20 01 5D"), (46, 128, "7C 2D 80 D1"), (1024, 255, "7F FF FF 7F")]
ON_MAIN = [
    (3, False, 29, 6, "03 EC 1C 06 F5"),
    (3, False, 33, 1, "03 EC 20 01 CE"),
    (1234, True, 33, 1, "C4 D2 EC 20 01 DB"),
    (3, False, 257, 1, "03 ED 00 01 EF"),
]


@pytest.mark.parametrize(("cv", "value", "packet"), SERVICE)
def test_service_mode(cv: int, value: int, packet: str) -> None:
    assert service_packets(whole(cv, value)) == [bytes.fromhex(packet)] == [service_write(cv, value)]


@pytest.mark.parametrize(("address", "is_long", "cv", "value", "packet"), ON_MAIN)
def test_on_the_main(address: int, is_long: bool, cv: int, value: int, packet: str) -> None:
    packets = main_packets(whole(cv, value), Address(address, is_long, NOWHERE))
    assert packets == [bytes.fromhex(packet)] == [write_on_main(address, cv, value, long=is_long)]


def test_single_bits_where_the_rest_is_not_known() -> None:
    open_cv = Setting(29, None, 0b10_0010, 0b10_0011, None, (), (), is_open=True)
    expected = [
        service_write_bit(29, 0, on=False),
        service_write_bit(29, 1, on=True),
        service_write_bit(29, 5, on=True),
    ]
    assert service_packets(open_cv) == expected
    # Derived: CV29 bit 5 := 1.
    assert service_packets(open_cv)[2] == bytes.fromhex("78 1C FD 99")
    assert main_packets(open_cv, Address(3, is_long=False, span=NOWHERE))[1] == write_bit_on_main(3, 29, 1, on=True)


def test_the_command_prints_a_line_a_packet(command: Command) -> None:
    lay({LOCO: PLAN})
    lines = [line for line in command("cvs", LOCO, "--format", "packets").out.splitlines() if not line.startswith("#")]
    assert lines[0] == "7C 20 01 5D           # CV33: F0 forward turns on white"
    assert all(check_byte(line) for line in lines)
    on_main = command("cvs", LOCO, "--format", "packets", "--on-main", "long:3").out
    assert "C0 03 EC 20 01 0E     # CV33" in on_main


def check_byte(line: str) -> bool:
    sum_ = 0
    for byte in bytes.fromhex(line.partition("#")[0]):
        sum_ ^= byte
    return sum_ == 0


def test_a_reset_is_the_first_packet_for_the_programming_track(command: Command) -> None:
    lay({LOCO: PLAN})
    plain = command("cvs", LOCO, "--format", "packets").out.splitlines()
    lines = command("cvs", LOCO, "--format", "packets", "--reset-first").out.splitlines()
    # Derived from S-9.2.3, read: 0111 11AA, CV8 is 7 there, the error byte. That it resets: RCN-226, read second-hand.
    assert service_write(8, 8) == bytes.fromhex("7C 07 08 73")
    (reset,) = [line for line in lines if line.startswith("7C 07 08 73  ")]
    packets = [line for line in lines if not line.startswith("#")]
    assert packets == [reset, *(line for line in plain if not line.startswith("#"))]
    assert "only if the decoder's manual says so" in reset


@pytest.mark.parametrize("options", [
    ["--reset-first", "--format", "packets", "--on-main", "3"], ["--reset-first", "--read-back", LOCO],
    ["--on-main", "3"], ["--format", "packets", "--on-main", "0"], ["--format", "packets", "--on-main", "10240"],
    ["--format", "packets", "--on-main", "x"], ["--format", "csv", "--read-back", LOCO],
])  # fmt: skip
def test_options_that_do_not_go_together_are_one_line(command: Command, options: list[str]) -> None:
    lay({LOCO: PLAN})
    outcome = command("cvs", LOCO, *options)
    assert (outcome.status, outcome.out, outcome.err.count("\n")) == (2, "", 1)


def test_the_table_for_spreadsheets(command: Command) -> None:
    lay({LOCO: PLAN})
    rows = list(csv.DictReader(io.StringIO(command("cvs", LOCO, "--format", "csv").out)))
    assert rows[0] == {
        "cv": "33", "value": "1", "hex": "01", "bits": "00000001", "mask": "255", "cv31": "", "cv32": "",
        "default": "1", "read first": "no", "meaning": "CV33: F0 forward turns on white",
    }  # fmt: skip
    (last,) = [row for row in rows if row["cv"] == "29"]
    assert (last["default"], last["value"], last["hex"], last["bits"]) == ("unknown", "2", "02", "00000010")
    assert [row["cv"] for row in rows if row["read first"] == "yes"] == ["29"]
