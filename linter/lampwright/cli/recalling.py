"""What a check of a file found the last time, if it would find the same again: if nothing that it read has changed.

A check is watched: which files it asked for and got, and which settings governed them. Asked for again, in the same
order, they must be the same. To tell that, neither YAML nor a rule is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from lampwright.account.keeping import kept, recalled
from lampwright.diagnostics import Refusal, Report
from lampwright.files import Files
from lampwright.files.keeping import Shelves, digest_of
from lampwright.kinds import Kind, kind_of
from lampwright.records import dataclass, field
from lampwright.settings import Governance
from lampwright.text import Source

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from lampwright.engine import Load

    Entry = list[Any]
    Checker = Callable[[Source, Load], Report]


@dataclass(frozen=True, slots=True)
class Trail:
    """The files that a check has read, in the order in which it came to them; `state` stands for how they all were."""

    sources: tuple[Source, ...]
    state: str


@dataclass(slots=True)
class Memory:
    """What is known of files, as `files` reads them and `governance` governs them; kept in `shelves`."""

    files: Files
    governance: Governance
    shelves: Shelves
    _read: dict[Path, dict[str, Entry]] = field(default_factory=dict)
    _learnt: dict[Path, dict[str, Entry]] = field(default_factory=dict)
    _trails: dict[Source, Trail] = field(default_factory=dict)
    _digests: dict[Source, str] = field(default_factory=dict)
    _governed: dict[Path, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.governance.recall = self.exclude_of

    def recall(self, source: Source) -> Report | None:
        """What a check of `source` would say; None if that is not known."""
        entry = self._entry(source)
        return self._read_back(source, entry) if entry is not None else None

    def _read_back(self, source: Source, entry: Entry) -> Report | None:
        """The report in `entry`, if the check that it is of would go the same way now."""
        # Whoever damages what is kept on purpose, with the right digest, must not stop anybody.
        try:
            return self._replayed(source, entry)
        except (LookupError, TypeError, ValueError, AttributeError):
            return None

    def _replayed(self, source: Source, entry: Entry) -> Report | None:
        own, asked, plain, _ = entry
        if own != self._own_state_of(source):
            return None
        sources = [source]
        for number, reference, state in asked:
            if not isinstance(reference, str):
                return None
            found = self.files.load(sources[number], reference)
            if isinstance(found, Source):
                sources.append(found)
            if state != self._state_of(found):
                return None
        report = recalled(plain, sources)
        self._note(source, own, asked, sources)
        return report

    def watch(self, source: Source, check: Checker) -> Report:
        """What `check` says of `source`; whatever of that can be known again is learnt."""
        sources, asked = [source], []

        def load(asking: Source, reference: str) -> Source | Refusal:
            found = self.files.load(asking, reference)
            asked.append([_number(sources, asking), reference, self._state_of(found)])
            if isinstance(found, Source):
                sources.append(found)
            return found

        report = check(source, load)
        plain = kept(report, sources) if all(each.fault is None for each in sources) else None
        if plain is not None:
            exclude = list(self.governance.excluded(self.files.path(source))) if _is_settings(source) else None
            own = self._own_state_of(source)
            self._learn(source, [own, asked, plain, exclude])
            self._note(source, own, asked, sources)
        return report

    def learn(self, source: Source, entry: Entry) -> Report | None:
        """The report in `entry`, which another process has learnt of `source`; None if it has seen another file."""
        report = self._read_back(source, entry)
        if report is not None:
            self._learn(source, entry)
        return report

    def trail(self, source: Source) -> Trail | None:
        """What was read to check `source`, if what came of it is known."""
        return self._trails.get(source)

    def _note(self, source: Source, own: str, asked: list[Any], sources: list[Source]) -> None:
        states = [own, *[f"{number} {reference} {state}" for number, reference, state in asked]]
        self._trails[source] = Trail(tuple(sources), "\n".join(states))

    def learnt(self, source: Source) -> Entry | None:
        """What was learnt of `source`."""
        return self._learnt.get(self.files.home(source), {}).get(self.files.path(source).name)

    def _learn(self, source: Source, entry: Entry) -> None:
        self._learnt.setdefault(self.files.home(source), {})[self.files.path(source).name] = entry

    def keep(self) -> None:
        """Write down what was learnt."""
        for folder, entries in self._learnt.items():
            self.shelves.write(str(folder), entries)
        if self._learnt:
            self.shelves.tidy()
        self._learnt.clear()

    def exclude_of(self, source: Source) -> tuple[str, ...] | None:
        """What the settings file `source` leaves out of a search; None if that is not known."""
        entry = self._entry(source)
        if entry is None or entry[0] != self._own_state_of(source):
            return None
        exclude = entry[-1]
        return tuple(exclude) if isinstance(exclude, list) and all(isinstance(each, str) for each in exclude) else None

    def _entry(self, source: Source) -> Entry | None:
        folder = self.files.home(source)
        if folder not in self._read:
            self._read[folder] = self.shelves.read(str(folder))
        entry = self._read[folder].get(self.files.path(source).name)
        return entry if isinstance(entry, list) and len(entry) == 4 else None

    def _own_state_of(self, source: Source) -> str:
        # A link may give a file another kind than its own name does.
        kind = kind_of(source.name)
        return f"{self._state_of(source)} {kind.value if kind is not None else None}"

    def _state_of(self, found: Source | Refusal) -> str:
        """What stands for a file and for the settings that govern it, or for why it cannot be had."""
        if isinstance(found, Refusal):
            return found.reason
        return self._content_of(found) + self._settings_of(found)

    def _settings_of(self, source: Source) -> str:
        folder = self.files.home(source)
        if folder not in self._governed:
            file = self.governance.nearest_to(folder)
            settings = self.files.source(file) if file is not None else None
            self._governed[folder] = self._content_of(settings) if isinstance(settings, Source) else ""
        return self._governed[folder]

    def _content_of(self, source: Source) -> str:
        if source not in self._digests:
            # Bytes that are read in another encoding may look the same, and yet be a mistake.
            form = f"{source.bom} {source.fault} {source.fault_offset}\n"
            self._digests[source] = digest_of((form + source.text).encode("utf-8", "surrogatepass"))
        return self._digests[source]


def _number(sources: list[Source], source: Source) -> int:
    return next(number for number, each in enumerate(sources) if each is source)


def _is_settings(source: Source) -> bool:
    return kind_of(source.name) is Kind.SETTINGS
