"""Entries that a plan lacks: the definition of a name, the label of a key, a part for a lamp with data of its own.

Each is written where its like stand, in the way they are written; data that nobody but the installer knows is left out,
and the rules ask for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.diagnostics import Problem
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.plan.names import fault_of_name, starts_with_letter
from lampwright.records import dataclass
from lampwright.rule.phrases import quoted
from lampwright.syntax import Mapping, Node, Scalar, Tree, append_entry, as_value, insert_first_entry, path_at
from lampwright.syntax.layout import line_break, line_end, line_start, past_colon
from lampwright.text import Edit, Span

_INDENT = "  "


@dataclass(frozen=True, slots=True)
class Entering:
    """What is entered, as an imperative, and the edits that do it, which may be in several files."""

    title: str
    edits: tuple[Edit, ...]


# --- The definition of a name -----------------------------------------------------------------------------------------


def definition(tree: Tree, sheet: Tree | None, catalogues: Sequence[Tree], problem: Problem) -> Entering | None:
    """The entry that defines the lamp, part, output or effect that the unknown-name `problem` in `tree` is about.

    None where it can be defined nowhere. What has to be filled in is for the rule missing-key to say.
    """
    what, name = problem.data["what"], problem.data["written"]
    if fault_of_name(name) is not None or not name[0].isalnum():
        return None
    match what:
        case "lamp" if starts_with_letter(name):
            edit = _entered(_whole(tree), "lamps", name)
        case "part":
            edit = next(filter(None, (_entered(_whole(each), "lamps", name) for each in catalogues)), None)
        case "output":
            edit = _entered(_with_outputs(tree, sheet, problem.span), "outputs", name)
        case "effect":
            # An effect without a code would pass for known; one with an empty code is asked for it.
            edit = _entered(_with_effects(tree, sheet), "effects", name, "{code: }")
        case _:
            edit = None
    return Entering(f"Define the {what} {quoted(name)}", (edit,)) if edit is not None else None


def _whole(tree: Tree | None) -> Mapping | None:
    return tree.root if tree is not None and not tree.broken and isinstance(tree.root, Mapping) else None


def _with_outputs(tree: Tree, sheet: Tree | None, place: Span) -> Mapping | None:
    """Where an output that is named at `place` has to be defined: those of a plan are those of its decoder."""
    whole = _whole(tree)
    decoder = whole.value("decoder") if whole is not None else None
    path = path_at(tree, place)
    if path[:1] == ("decoder",):
        return decoder if isinstance(decoder, Mapping) else None
    if whole is None or path[:1] != ("outputs",):
        return whole
    return decoder if isinstance(decoder, Mapping) else _whole(sheet)


def _with_effects(tree: Tree, sheet: Tree | None) -> Mapping | None:
    """The sheet of a plan, which may stand within it."""
    whole = _whole(tree)
    decoder = whole.value("decoder") if whole is not None else None
    return decoder if isinstance(decoder, Mapping) else _whole(sheet)


def _entered(whole: Mapping | None, section: str, name: str, value: str = "{}") -> Edit | None:
    """The edit that puts a name with its value at the end of a section, which is made if it is not there.

    A value of several lines begins below its name.
    """
    if whole is None or not whole:
        return None
    entry = f"{name}:{value}" if value.startswith("\n") else f"{name}: {value}"
    node = whole.value(section)
    if isinstance(node, Mapping):
        return append_entry(node, entry)
    if node is None and not any(section == str(key) for key in whole):
        if whole.flow:
            return append_entry(whole, f"{section}: {{{entry}}}")
        return append_entry(whole, f"{section}:\n{_INDENT}" + entry.replace("\n", f"\n{_INDENT}"))
    key = whole.key(section)
    is_nothing = isinstance(node, Scalar) and node.is_empty
    return _begun(whole, key, entry) if is_nothing and key is not None else None


def _begun(whole: Mapping, key: Scalar, entry: str) -> Edit | None:
    """The first entry below a key that has nothing yet."""
    source, text = key.source, key.source.text
    colon = past_colon(text, key.end)
    if whole.flow:
        return Edit(source.span(colon, colon), f" {{{entry}}}") if "\n" not in entry else None
    indent = f"{line_break(text)}{' ' * (key.start - line_start(text, key.start))}{_INDENT}"
    end = line_end(text, colon)
    return Edit(source.span(end, end), indent + entry.replace("\n", indent))


# --- The label of a key -----------------------------------------------------------------------------------------------


def labels(tree: Tree, plan: LightingPlan, settings: Settings) -> Iterator[tuple[Span, Entering]]:
    """For each key without a label that the club's convention names: its place, and its label entered."""
    whole = _whole(tree)
    keys = whole.value("keys") if whole is not None else None
    if not isinstance(keys, Mapping):
        return
    for key in plan.keys.values():
        meant = settings.keys.get(key.number)
        data = keys.value(key.span.text)
        if meant is None or not isinstance(data, Mapping) or data.value("label") is not None:
            continue
        edit = insert_first_entry(data, f"label: {as_value(meant)}")
        written = keys.key(key.span.text)
        if edit is not None and written is not None:
            yield written.span.to(data.span), Entering(f"Label {key.name} as {meant}", (edit,))


# --- A part for a lamp ------------------------------------------------------------------------------------------------


def part_of(tree: Tree, catalogues: Sequence[Tree], place: Span) -> Entering | None:
    """The data of the lamp at `place` taken into the first catalogue that can take it; the lamp names the part then."""
    whole, path = _whole(tree), path_at(tree, place)
    lamps = whole.value("lamps") if whole is not None else None
    if not isinstance(lamps, Mapping) or len(path) < 2 or path[0] != "lamps":
        return None
    name = str(path[1])
    data = lamps.value(name)
    if not isinstance(data, Mapping) or len(data) != 1 or str(next(iter(data))) not in ("bulb", "led"):
        return None
    taken = {lamp for each in catalogues for lamp in _lamps_of(each)}
    if fault_of_name(name) is not None or not name[0].isalnum() or not all(map(_whole, catalogues)):
        return None
    free = next(each for each in (name, *(f"{name} {number}" for number in range(2, 999))) if each not in taken)
    for catalogue in catalogues:
        edit = _entered(_whole(catalogue), "lamps", free, _moved(data))
        if edit is not None:
            named = f"{{part: {free}}}" if data.flow else f"part: {free}"
            return Entering(
                f"Take the data of {quoted(name)} into {catalogue.source.name}", (Edit(data.span, named), edit)
            )
    return None


def _lamps_of(catalogue: Tree) -> Iterator[str]:
    whole = _whole(catalogue)
    lamps: Node | None = whole.value("lamps") if whole is not None else None
    yield from map(str, lamps) if isinstance(lamps, Mapping) else ()


def _moved(data: Mapping) -> str:
    """The data as a value in another text: a block below its name, its lines as far to the right of each other."""
    source, text = data.span.source, data.span.text
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    own = data.span.start - line_start(source.text, data.span.start)
    lines = [lines[0], *(line[min(own, len(line) - len(line.lstrip(" "))) :] for line in lines[1:])]
    return " ".join(line.strip() for line in lines) if data.flow and "#" not in text else _below(lines)


def _below(lines: list[str]) -> str:
    return "".join(f"\n{_INDENT}{line}" for line in lines)
