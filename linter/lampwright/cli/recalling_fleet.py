"""What was found among the plans of a run the last time, if it would be found again: if all of them are what they were.

So a run over plans that share an address or a stock, in which nothing has changed, compares nothing and loads no rule.
"""

from __future__ import annotations

from collections.abc import Sequence

from lampwright.account.keeping import kept, recalled
from lampwright.cli.recalling import Memory
from lampwright.diagnostics import Report
from lampwright.files.keeping import digest_of
from lampwright.records import dataclass
from lampwright.text import Source

ENOUGH = 40
"""Files from which on it is worth its place; what is found among fewer is found as quickly."""

_NAME = "."
"""Under which it lies beside what is known of the files of a folder; no file has it."""


@dataclass(frozen=True, slots=True)
class FleetMemory:
    """What is known of a run over many files, all `sources` that it has read; `state` stands for how they are."""

    memory: Memory
    sources: tuple[Source, ...]
    state: str

    def recall(self) -> Report | None:
        """What was found among the plans; None if that is not known."""
        entry = self.memory.shelves.read(self._folder).get(_NAME, ("", []))
        # Whoever damages what is kept on purpose must not stop anybody.
        try:
            state, plain = entry
            return recalled(plain, self.sources) if state == self.state else None
        except (LookupError, TypeError, ValueError, AttributeError):
            return None

    def keep(self, found: Report) -> None:
        """Keep what was found among the plans."""
        plain = kept(found, self.sources)
        if plain is not None:
            self.memory.shelves.write(self._folder, {_NAME: [self.state, plain]})

    @property
    def _folder(self) -> str:
        return str(self.memory.files.working_directory)


def memory_of_fleet(memory: Memory, checked: Sequence[Source]) -> FleetMemory | None:
    """What is known of a run that has checked these; None if they are few, or nothing is kept of one of them."""
    if len(checked) < ENOUGH:
        return None
    sources: dict[Source, None] = {}
    states: list[str] = []
    for source in checked:
        trail = memory.trail(source)
        if trail is None:
            return None
        sources.update(dict.fromkeys(trail.sources))
        # Words name files as they are called here, whatever is in them.
        states += [*[each.name for each in trail.sources], trail.state]
    return FleetMemory(memory, tuple(sources), digest_of("\n".join(states).encode("utf-8", "surrogatepass")))
