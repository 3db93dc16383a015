"""Bytes of the corpus, turned, cut, put together, in other encodings, with all that means something to YAML between."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from corpus import LARGEST, corpus
from fuzzed import Files

TOKENS = [
    *[text.encode() for text in (
        "\ufeff", "\0", "\t", "\r", "\r\n", "\x85", "\u2028", "\x1b[2J", "\x7f", "\u202e", "\ud7ff", "\U0001f686",
        "&a ", "*a", "*a : ", "!!str ", "!<x> ", "! ", "%YAML 1.2\n---\n", "%TAG ! x\n---\n", "%RUN x\n---\n", "---\n", "...\n",
        "<<: ", "? ", ": ", ":", "- ", "-", "|", "|2\n", ">-\n", "\"", "'", "''", "#", " #", "\\", "\\x", "\"\\u12\"", "\"\\ud800\"",
        ",", ",,", "{", "}", "[", "]", "@", "`", "\n", "\n\n", "  ", "\n  ", " \n", "{}", "[]", "~", "null", "yes", "0x1F", ".inf",
        "# lampwright: allow unwired-lamp -- x\n", "# lampwright: allow x\n", "#lampwright:allow\n", "<<<<<<< a\n", "=======\n",
        "9999999999999999999999", "1e400 V", "-0", "F0", "F69", "not ", "white", "V", " mA", "\u2126", "\u00a0",
    )],
    b"\xff", b"\xfe\xff", b"\xc0\xaf", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\x80", b"\xe2\x82",
]  # fmt: skip
ENCODINGS = ("utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-be", "utf-8-sig", "latin-1", "cp037", "utf-7")


def mutated_files(random: Random) -> Files:
    """A file of the corpus after one to four mutations, what it refers to after none or one."""
    (name, data), *others = _chosen(random).items()
    for _ in range(random.choice([1, 1, 2, 3, 4])):
        data = random.choice(MUTATIONS)(random, data)
    if random.random() < 0.1:
        # The same bytes as another kind of file.
        name = random.choice(["a.lights.yaml", "a.decoder.yaml", "a.parts.yaml", "lampwright.yaml"])
        others = [each for each in others if each[0] != name]
    spoilt = {each: random.choice(MUTATIONS)(random, text) for each, text in others if random.random() < 0.3}
    return {name: data, **dict(others), **spoilt}


def _chosen(random: Random) -> Files:
    files = random.choice(corpus())
    (name, data), *others = files.items()
    if len(data) < 200 or random.random() < 0.15:
        return files
    # A part of the lines is read in a part of the time.
    lines = data.splitlines(keepends=True)
    start = random.randrange(len(lines)) if random.random() < 0.5 else 0
    return {name: b"".join(lines[start : start + random.randint(1, 8)]), **dict(others)}


def _place(random: Random, data: bytes) -> tuple[int, int]:
    start = random.randint(0, len(data))
    return start, min(len(data), start + random.choice([0, 1, 1, 2, 3, 8, 30]))


def _turn_bit(random: Random, data: bytes) -> bytes:
    if not data:
        return b"\0"
    at = random.randrange(len(data))
    return data[:at] + bytes([data[at] ^ 1 << random.randrange(8)]) + data[at + 1 :]


def _put(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] + random.choice(TOKENS) + data[start if random.random() < 0.6 else end :]


def _put_any(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] + random.randbytes(random.choice([1, 1, 2, 4])) + data[end:]


def _cut(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] + data[end:]


def _again(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    at = random.randint(0, len(data))
    return data[:at] + data[start:end] * random.choice([1, 1, 2, 20]) + data[at:]


def _end(random: Random, data: bytes) -> bytes:
    return data[: random.randint(0, len(data))]


def _begin(random: Random, data: bytes) -> bytes:
    return data[random.randint(0, len(data)) :]


def _splice(random: Random, data: bytes) -> bytes:
    other = next(iter(random.choice(corpus()).values()))[:LARGEST]
    return data[: random.randint(0, len(data))] + other[random.randint(0, len(other)) :]


def _lines(random: Random, data: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    if len(lines) < 2:
        return data * 2
    one, other = random.randrange(len(lines)), random.randrange(len(lines))
    match random.randrange(4):
        case 0:
            lines[one], lines[other] = lines[other], lines[one]
        case 1:
            lines.insert(one, lines[other])
        case 2:
            lines[one] = b" " * random.randint(0, 9) + lines[one].lstrip(b" ")
        case _:
            del lines[one]
    return b"".join(lines)


def _encode(random: Random, data: bytes) -> bytes:
    return data.decode("utf-8", "replace").encode(random.choice(ENCODINGS), "replace")


def _end_lines(random: Random, data: bytes) -> bytes:
    return data.replace(b"\n", random.choice([b"\r\n", b"\r", b"\n\r", b"\n\n", b"\x0b", " \u2028".encode()]))


def _nest(random: Random, data: bytes) -> bytes:
    at = random.randint(0, len(data))
    many = random.choice([2, 5, 30, 99, 101, 300])
    opening, closing = random.choice(
        [(b"[", b"]"), (b"{a: ", b"}"), (b"[{", b"}]"), (b"- ", b""), (b"? ", b""), (b"(", b")")]
    )
    return data[:at] + opening * many + b"x" + closing * random.choice([many, many, many - 1, 0]) + data[at:]


def _stretch(random: Random, data: bytes) -> bytes:
    at = random.randint(0, len(data))
    return (
        data[:at]
        + random.choice([b"x", b" ", b"9", b"-", b"#", b"a b ", b", ", b"\n", b"\t"])
        * random.choice([50, 200, 1030, 3000])
        + data[at:]
    )


# The everyday slips weigh more than the strange ones.
MUTATIONS: list[Callable[[Random, bytes], bytes]] = [
    *[_turn_bit, _put, _cut, _lines] * 3,
    *[_put_any, _again, _end, _begin, _splice] * 2,
    _encode,
    _end_lines,
    _nest,
    _stretch,
]
