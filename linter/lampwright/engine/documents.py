"""One file, read as far as it goes: its tree, its shape, its problems, and what it means on its own.

A plan means something only together with its sheet and catalogues; `engine` puts them together.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from lampwright.diagnostics import Problem
from lampwright.kinds import Kind
from lampwright.model.decoder import Decoder
from lampwright.model.lowering.catalogue import Catalogue, lower_catalogue
from lampwright.model.lowering.decoder import lower_sheet
from lampwright.model.lowering.names import Notes
from lampwright.model.lowering.settings import lower_settings
from lampwright.model.settings import Settings
from lampwright.plan import kinds
from lampwright.plan.catalogue import PartsCatalogue
from lampwright.plan.reader import without_echoes
from lampwright.plan.settings import Settings as WrittenSettings
from lampwright.plan.shapes import Shape
from lampwright.plan.sheet import DecoderSheet
from lampwright.records import dataclass
from lampwright.syntax import Tree, parse
from lampwright.text import Source


@dataclass(frozen=True, slots=True, eq=False)
class Document:
    """A file with all that it says on its own. `meaning` is None for plans and for what could not be read."""

    source: Source
    kind: Kind
    tree: Tree
    reading: kinds.Reading
    problems: tuple[Problem, ...]
    meaning: Decoder | Catalogue | Settings | None

    @property
    def shape(self) -> Shape | None:
        """What it says, as it is written."""
        return self.reading.shape

    @property
    def is_complete(self) -> bool:
        """Whether nothing of it was dropped."""
        return self.reading.is_complete


def read_document(source: Source, kind: Kind, rule_names: tuple[str, ...], before: Document | None = None) -> Document:
    """Read `source` as a file of `kind`, once for all who ask in a row. Never raises.

    `before` is an older text of the same plan: what has not changed in it is not parsed again, and means the same. That
    spends it, with all that came of it: its places are those in `source` from then on.
    """
    if kind is not Kind.LIGHTING_PLAN:
        # Who reads it for a plan knows of no older text, and is to find what was read.
        return _read_shared(source, kind, rule_names)
    # What moves on with the next text is for nobody else.
    return _read_plan(source, kind, rule_names) if before is None else _read(source, kind, rule_names, before)


def _read(source: Source, kind: Kind, rule_names: Collection[str], before: Document | None = None) -> Document:
    if source.fault is not None:
        return _faulty(source, kind)
    if before is not None and before.source is source and not before.tree.is_spent:
        return before
    tree = parse(source, before=before.tree if before is not None else None)
    reading = kinds.read_shape(tree, kind, before.reading if before is not None else None)
    notes = Notes()
    meaning = _meaning(reading.shape, rule_names, notes)
    problems = tuple(without_echoes(tree, (*reading.problems, *notes.problems)))
    return Document(source, kind, tree, reading, problems, meaning)


# A source is equal only to itself. A sheet or a catalogue is shared by many plans; nobody refers to a plan, and an
# editor makes a new one of it with every key that is pressed.
_read_shared = lru_cache(maxsize=64)(_read)
_read_plan = lru_cache(maxsize=2)(_read)


def _faulty(source: Source, kind: Kind) -> Document:
    at = source.fault_offset
    span = source.span(at, min(at + 1, len(source.text)))
    rule = "unsupported-yaml" if source.fault == "encoding" else "unreadable-file"
    problem = Problem(rule, span, {"what": source.fault})
    tree = Tree(source, None, problems=(problem,), complete=False)
    return Document(source, kind, tree, kinds.Reading(None, (problem,), is_complete=False), (problem,), None)


def _meaning(shape: Shape | None, rule_names: Collection[str], notes: Notes) -> Decoder | Catalogue | Settings | None:
    match shape:
        case DecoderSheet():
            return lower_sheet(shape, notes)
        case PartsCatalogue():
            return lower_catalogue(shape, notes)
        case WrittenSettings():
            return lower_settings(shape, rule_names, notes)
    return None
