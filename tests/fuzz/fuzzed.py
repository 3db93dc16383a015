"""One input of the fuzzer: files by name, always the same for a kind, a seed and a number."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from random import Random

from lampwright.diagnostics import Refusal
from lampwright.files.reading import decoded
from lampwright.text import Source

Files = dict[str, bytes]
Make = Callable[[Random], Files]


@dataclass(frozen=True)
class Fuzzed:
    """The first of `files` is what is checked; it may refer to the others."""

    kind: str
    seed: int
    number: int
    files: Mapping[str, bytes]

    def sources(self) -> list[Source]:
        """What a run would read from the disk."""
        return [decoded(data, name) for name, data in self.files.items()]


def loader(sources: list[Source]) -> Callable[[Source, str], Source | Refusal]:
    """Finds what a path refers to by its last part: the corpus lies in many folders, an input in one."""
    by_name = {source.name: source for source in sources}
    return lambda _, path: by_name.get(path.rpartition("/")[2], Refusal("missing"))
