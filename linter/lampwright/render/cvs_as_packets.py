"""The programming list as DCC packets in hex, a line each, the error byte last; comments begin with #."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.analysis.programming import Programming
from lampwright.analysis.programming.listing import RESET
from lampwright.analysis.programming.packets import main_packets, service_packets
from lampwright.harmless import visible
from lampwright.model.lighting import LightingPlan
from lampwright.model.vehicle import Address
from lampwright.rule.cv_meanings import words_of

_HEAD = """\
# Service mode, direct (S-9.2.3), for the programming track: each packet at least five times, after three resets.
# Where the rest of a CV is not known, single bits are written instead of the byte.
"""
_RESET = """\
# The first packet resets the decoder (RCN-226, read second-hand): only if its manual says so.
"""
_ON_MAIN = """\
# Operations mode (S-9.2.1), on the main, at the address that the decoder has already: each packet twice in a row.
"""


def render_cvs_packets(plan: LightingPlan, programming: Programming, at: Address | None) -> str:
    """The packets of all writes; for the main track at the address `at`, for the programming track without one."""
    words = words_of(plan, programming)
    lines = []
    for setting in programming.settings:
        packets = service_packets(setting) if at is None else main_packets(setting, at)
        lines += [f"{line}\n" for line in _lines(packets, f"CV{setting.cv}: {visible(words.of(setting))}")]
    head = (_HEAD if at is None else _ON_MAIN) + (_RESET if RESET in programming.settings else "")
    return head + "".join(lines)


def _lines(packets: Sequence[bytes], meaning: str) -> Iterator[str]:
    first, *others = (packet.hex(" ").upper() for packet in packets)
    yield f"{first:<20}  # {meaning}"
    yield from others
