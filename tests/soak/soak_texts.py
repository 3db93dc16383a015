"""Texts of a club, and what hasty hands make of them: edits by offsets, which the client turns into its own units."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
OURS = (".lights.yaml", ".decoder.yaml", ".parts.yaml", "lampwright.yaml")
LONGEST = 12_000
"""Characters after which a text is only made shorter."""

Edit = tuple[int, int, str]
"""Start and end, as offsets, and what stands there afterwards."""

WORDS = (
    " ", "  ", "\n", "\n  ", "\n    - ", "\r\n", "\r", "\t", ": ", ":", ", ", "- ", "{", "}", "[", "]", '"', "'", "#", "&a ", "*a", "!!int ", "|\n", ">-\n", "---\n", "...\n", "? ", "%YAML 1.2\n",
    "0", "1", "12", "-3", "1e9", "0.5", "20 mA", "1.5 kohm", "14,5 V", "3 V", "5 ma", "100 %", "1/4 W", "60 per minute", "40 °C", "∞ V", "820 Ω", "4.7 µF",
    "white", "yellow", "aux3", "front headlamp", "rear headlamp", "cab lamp", "F0", "F8", "F99", "forward", "reverse", "moving", "not stopped", "F3 and not F4", "steady", "flash",
    "lamps:", "outputs:", "keys:", "circuit: ", "when: ", "led: ", "bulb: ", "parallel: ", "series: ", "reversed: true", "effect: ", "registers:", "address: 2112", "address: 3", "consist: ", "parts: ", "decoder: ",
    "../decoders/grit-six.decoder.yaml", "../club.parts.yaml", "bench.decoder.yaml", "exclude: [mistakes/]", "levels: {unwired-lamp: error}", "  # lampwright: allow unwired-lamp -- as built", "# lampwright: allow ", "supply: {track: 16 V}", "stock: 2",
    "é", "Ω", "𝔏", "👩‍🚒", "\u2028", "\x85", "\ufeff", "\u202e", "\x00", "\x1b[31m", "e\u0301", "日本", "$1", "${2:x}", "`", "<b>", "|",
)  # fmt: skip
_NUMBER = re.compile(r"\d+")


def kind_of_text(name: str) -> str:
    """The end of a name that says which kind of file it is."""
    return next((end for end in OURS if name.endswith(end)), ".yaml")


def stock() -> dict[str, list[str]]:
    """The texts of the examples, by the end of their names."""
    found: dict[str, list[str]] = {end: [] for end in (*OURS, ".yaml")}
    for path in sorted(EXAMPLES.rglob("*.yaml")):
        text = path.read_bytes().decode("utf-8-sig", "replace")
        found[kind_of_text(path.name)].append(text)
    return found


def edit_of(random: Random, text: str) -> Edit:
    """One change of `text`, as it is typed, pasted or struck out."""
    if not text:
        return 0, 0, random.choice(WORDS)
    at = random.randrange(len(text) + 1)
    choice = random.random()
    if choice < 0.35 and len(text) < LONGEST:
        edit = at, at, random.choice(WORDS)
    elif choice < 0.50:
        edit = at, min(at + random.randint(1, 12), len(text)), ""
    elif choice < 0.65:
        edit = at, min(at + random.randint(1, 12), len(text)), random.choice(WORDS)
    elif choice < 0.85 and (numbers := list(_NUMBER.finditer(text))):
        found = random.choice(numbers)
        edit = found.start(), found.end(), str(random.choice([0, 1, 2, 3, 7, 12, 20, 47, 150, 1000, 9999]))
    else:
        edit = _of_lines(random, text)
    return whole_line_ends(text, edit)


def _of_lines(random: Random, text: str) -> Edit:
    """A line that is struck out, doubled or put somewhere else."""
    lines = text.splitlines(keepends=True)
    line = random.randrange(len(lines))
    start = sum(map(len, lines[:line]))
    end = start + len(lines[line])
    if random.random() < 0.5 or len(text) > LONGEST:
        return start, end, ""
    return start, start, random.choice(lines)


def whole_line_ends(text: str, edit: Edit) -> Edit:
    """`edit` with its ends out of the middle of line ends: no client can name such a place."""
    start, end, fresh = edit

    def out(at: int) -> int:
        return at + 1 if 0 < at < len(text) and text[at - 1] == "\r" and text[at] == "\n" else at

    return out(start), out(end), fresh


def made(text: str, edit: Edit) -> str:
    """`text` with that edit."""
    start, end, fresh = edit
    return text[:start] + fresh + text[end:]


def muddled(random: Random, text: str, most: int = 8) -> str:
    """`text` after some such edits."""
    for _ in range(random.randint(0, most)):
        text = made(text, edit_of(random, text))
    return text
