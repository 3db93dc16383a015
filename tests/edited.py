"""Texts to begin with, and what may happen to them under random keys: what is pasted, dropped, doubled or indented."""

from __future__ import annotations

import random
import re
from pathlib import Path

from lampwright.rules import RULES

ROOT = Path(__file__).resolve().parents[1]

PIECES = [
    "\n", "\n  ", "\n    ", "\n\n", " ", "  ", ":", ": ", "#", " #", "-", "- ", "'", '"', "{", "}", "[", "]", ",", "x", "1",
    "|", ">", "|\n", "?", "&a", "*a", "!t", "%", "---", "...", "\t", "a: b", "\nk: v", "\n  k: v", "ü", "\r\n", "<<", "~",
    "\u2028", "\u00a0", "\ufeff", "\0", "\U0001f682",
]  # fmt: skip

ODD = """\
a: |
  x
  y

b: >-
  foo

  bar
# c
c:
  d: |2
      e

  f: 'x
   y'
  g: {h: 1,9, i: [j, k]}
l:

  m:
  n: o # p
"""


def texts() -> list[str]:
    """The example club's files, the bad plans of the rules' pages, and what is odd in YAML."""
    examples = [path.read_text("utf-8") for path in sorted((ROOT / "examples").rglob("*.yaml"))]
    bad = (re.search(r"Bad:\n\n(.*?)\n\n\w", rule.page, re.DOTALL) for rule in RULES)
    return [*examples, *(re.sub(r"(?m)^    ", "", found[1]) for found in bad if found), ODD]


def edited(text: str, chance: random.Random) -> str:
    """The text after one edit, which may well break it."""
    if chance.random() < 0.7:
        start = chance.randrange(len(text) + 1)
        end = min(len(text), start + chance.choice((0, 0, 0, 1, 1, 2, 5, 20, 60)))
        put = chance.choice(PIECES) * chance.choice((0, 1, 1, 1, 1, 2))
        return text[:start] + put + text[end:]
    lines = text.splitlines(keepends=True) or ["\n"]
    at = chance.randrange(len(lines))
    match chance.choice(("drop", "double", "indent", "outdent")):
        case "drop":
            del lines[at]
        case "double":
            lines.insert(at, chance.choice(lines))
        case "indent":
            lines[at] = " " * chance.randint(1, 3) + lines[at]
        case "outdent":
            lines[at] = lines[at][chance.randint(1, 2) :]
    return "".join(lines)
