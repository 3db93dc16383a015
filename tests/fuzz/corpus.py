"""What mutations begin with: the examples, the typists' files, the files of the language's page, the hostile texts."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from fuzzed import Files
from hostile_cases import SHEET_NAME, written
from hostile_fleets import FLEETS
from hostile_quantities import QUANTITIES
from hostile_texts import TEXTS

from command import REFERRING, SHEET, SPARE
from lampwright.kinds import kind_of

ROOT = Path(__file__).parents[2]
# A hundredth of the time goes to one large text, which would be read in the time of a thousand small ones.
LARGEST = 4_000
_REFERENCE = re.compile(rb"[\w .-]+\.(?:decoder|parts)\.yaml")
_WORD = re.compile(r"\"[^\"\n]*\"|[\w.%/°µΩ-]+|[^\w\s]|\n *|\s")


@cache
def corpus() -> tuple[Files, ...]:
    """Each file with the sheet and the catalogues that it names."""
    folders = (ROOT / "examples", ROOT / "tests" / "typists", ROOT / "tests" / "language")
    paths = [path for folder in folders for path in sorted(folder.rglob("*.yaml")) if kind_of(path.name)]
    texts = [(path.name, path.read_bytes()) for path in paths]
    by_name = dict(texts)
    found = [
        {name: data, **{each: by_name[each] for each in _referred(data) if each in by_name and each != name}}
        for name, data in texts
    ]
    return (*found, *_hostile(), {"a.lights.yaml": REFERRING.encode(), SHEET_NAME: SHEET.encode()}, _plan(SPARE))


def _referred(data: bytes) -> list[str]:
    return [match.decode().strip() for match in _REFERENCE.findall(data)]


def _hostile() -> list[Files]:
    cases = [case.files for table in (TEXTS, QUANTITIES, FLEETS) for case in table.values()]
    texts = [text for files in cases for text in list(files.values())[:1] if not callable(text)]
    return [{"a.lights.yaml": written(text)} for text in texts if len(text) <= LARGEST]


def _plan(text: str) -> Files:
    return {"a.lights.yaml": text.encode()}


def words(text: str) -> list[str]:
    """A text in pieces that mean something; together they are the text."""
    return _WORD.findall(text)


@cache
def dictionary() -> tuple[str, ...]:
    """All words of the corpus."""
    texts = (next(iter(files.values())).decode("utf-8", "replace") for files in corpus())
    found = {word for text in texts for word in words(text) if word.strip() and len(word) < 40}
    return tuple(sorted(found))
