"""The sheets of our own repository, programmed by hand as they say, and played by the interpreter.

"Read": in the text of the standard. "Second-hand": in digests of it. "Derived": computed by hand from what was read or
digested. "Language": the plan language says so, and no standard does.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from programming.decoder_interpreter import Decoder, InterpreterError, Look, read_sheet
from programming.decoders import STEADY, lines

ROOT = Path(__file__).parent.parent.parent


def delivered(sheet_file: str) -> Decoder:
    return Decoder.from_sheet(read_sheet((ROOT / f"{sheet_file}.decoder.yaml").read_text("utf-8")))


def bench_six() -> Decoder:
    """Programmed by hand for the lighting plan of the language's page, as its sheet says."""
    decoder = delivered("tests/language/bench-six")
    programmed = [
        (17, 200),  # 2107 = (200 - 192) * 256 + 59
        (18, 59),
        (29, 0b10_0010),
        (33, 1),  # F0 forward: white
        (34, 2),  # F0 reverse: yellow
        (36, 0),  # F2: nothing
        (37, 12),  # F3: green, output 3, and violet, output 4
        (41, 2),  # F7: brown, output 5, the second of its window
        (141, 87),  # green: effect 8, the first of the pair; condition 7, forward and F0
        (142, 97),  # violet: effect 9, the second
        (145, 60),
        (146, 60),
        (149, 25),  # 25/63 is the step nearest to 40 %
    ]
    assert decoder.write(lines(*programmed)) == []
    return decoder


def test_the_quarry_switcher() -> None:
    decoder = bench_six()
    assert decoder.address() == (2107, True)
    assert decoder.lit({"F0"}, True, True) == {"white": STEADY}
    assert decoder.lit({"F0"}, False, False) == {"yellow": STEADY}
    assert decoder.lit({"F2"}, True, False) == {}
    flash = Look("alternating flash", 1.0, 60.0)
    assert decoder.lit({"F0", "F3"}, True, True) == {"white": STEADY, "green": flash, "violet": flash}
    assert decoder.lit({"F0", "F3"}, False, True) == {"yellow": STEADY}
    assert decoder.lit({"F3"}, True, True) == {}
    assert decoder.lit({"F7"}, False, False) == {"brown": Look("steady", pytest.approx(0.4, abs=1 / 126), None)}


def test_bench_six_on_delivery() -> None:
    decoder = delivered("tests/language/bench-six")
    # CV141 is 0 on delivery: steady, and no further condition. F1 is on output 3.
    assert decoder.lit({"F1"}, True, False) == {"green": STEADY}
    decoder.write(lines((141, 80)))
    with pytest.raises(InterpreterError, match="the rate in CV145"):
        decoder.lit({"F1"}, True, False)


def test_a_sheet_with_hex_digits_by_function() -> None:
    decoder = delivered("examples/decoders/pebble-four")
    decoder.write(lines((164, 0xD9), (176, 0xA6), (166, 0xFB), (96, 2)))
    # F0 forward: white; F2 in both directions: green, output 3.
    rows = [(257, 1), (273, 4), (277, 4)]
    decoder.write(lines(*((row + at, value if at == 0 else 0) for row, value in rows for at in range(3)), page=[0, 40]))
    decoder.write(lines(*((row + 3, 255) for row, _ in rows), page=[0, 40]))
    assert decoder.lit({"F0"}, True, False) == {"white": Look("lantern flicker", 13 / 15, None)}
    # CV176: 6 times 15 per minute, and condition 10, moving.
    assert decoder.lit({"F2"}, False, True) == {"green": Look("rotating beacon", 1.0, 90.0)}
    assert decoder.lit({"F2"}, False, False) == {}


def test_a_sheet_with_bits_on_a_page_by_output() -> None:
    decoder = delivered("examples/decoders/ledge-nine")
    unused = dict.fromkeys(range(257, 257 + 8 * 9), 255)
    # White F0 forward, yellow F0 reverse, aux3 and aux4, outputs 5 and 6, F3.
    by_output = unused | {257: 0 + 64, 265: 0 + 128, 289: 3, 297: 3}
    decoder.write(lines((96, 5), *by_output.items(), page=[0, 43]))
    # Effects 5 and 13, the halves of the pair, and condition 4, moving.
    decoder.write(lines((305, 4 * 16 + 5), (306, 4 * 16 + 13), page=[77, 5]))
    # 116 on delivery is 20 of 20, and three steps of 20 per minute.
    flash = Look("alternating flash", 1.0, 60.0)
    assert decoder.lit({"F0"}, True, False) == {"white": STEADY}
    assert decoder.lit({"F0", "F3"}, False, True) == {"yellow": STEADY, "aux3": flash, "aux4": flash}
    assert decoder.lit({"F3"}, False, False) == {}


def test_a_sheet_without_a_mapping_cannot_tell() -> None:
    with pytest.raises(InterpreterError, match="cannot tell"):
        delivered("examples/mistakes/lost-leaflet").lit({"F0"}, True, False)
