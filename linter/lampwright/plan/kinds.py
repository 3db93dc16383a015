"""How a tree of each of the four kinds of file becomes a shape with problems."""

from __future__ import annotations

from typing import Any

from lampwright.diagnostics import Problem
from lampwright.kinds import Kind
from lampwright.plan.catalogue import PartsCatalogue
from lampwright.plan.lighting import LightingPlan
from lampwright.plan.reader import Reader
from lampwright.plan.settings import Settings
from lampwright.plan.shapes import Shape
from lampwright.plan.sheet import DecoderSheet
from lampwright.records import dataclass
from lampwright.syntax import Tree, Unread

SHAPES: dict[Kind, type[Shape]] = {
    Kind.LIGHTING_PLAN: LightingPlan,
    Kind.DECODER_SHEET: DecoderSheet,
    Kind.PARTS_CATALOGUE: PartsCatalogue,
    Kind.SETTINGS: Settings,
}


@dataclass(frozen=True, slots=True)
class Reading:
    """A file as far as it could be read. `shape` is None if there is nothing to go on.

    `is_complete` is false as soon as anything was dropped, in the YAML or in what it says.
    """

    shape: Shape | None
    problems: tuple[Problem, ...]
    is_complete: bool


def read_shape(tree: Tree, kind: Kind, before: Reading | None = None) -> Reading:
    """What `tree` says as a file of `kind`. Never raises.

    `before` is what the older text said that `tree` has taken entries from: they are not read again.
    """
    if tree.root is None or isinstance(tree.root, Unread):
        return _read_empty(tree, kind)
    reader = Reader(tree, _known(tree, before))
    shape = SHAPES[kind].read(tree.root, reader)
    unsupported = [problem for problem in reader.problems if problem.kind == "unsupported-version"]
    if unsupported:
        # Another version is another language: what this one makes of the rest means nothing.
        return Reading(None, (*tree.problems, *unsupported), is_complete=False)
    return Reading(shape, (*tree.problems, *reader.problems), is_complete=tree.complete and not reader.has_losses)


def _known(tree: Tree, before: Reading | None) -> dict[int, Any] | None:
    if tree.ground is None or before is None or before.shape is None:
        return None
    # Only who edits reads a text again.
    from lampwright.plan.keeping import kept

    return kept(before.shape, before.problems, tree)


def _read_empty(tree: Tree, kind: Kind) -> Reading:
    problems = tree.problems
    if not problems and kind is Kind.LIGHTING_PLAN:
        required = tuple(key for key, is_required in LightingPlan.names().items() if is_required)
        end = len(tree.source.text)
        problems = (Problem("missing-key", tree.source.span(end, end), {"names": required, "all": True}),)
    return Reading(None, problems, is_complete=False)
