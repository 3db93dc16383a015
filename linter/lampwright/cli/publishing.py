"""`lampwright explain --into`: the pages of all rules as Markdown files, for the site of a club."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lampwright import __version__
from lampwright.cli.checking import DONE, INCOMPLETE, said_of
from lampwright.cli.printing import complain, print_result
from lampwright.diagnostics import Refusal
from lampwright.files import exists, is_folder, text_of
from lampwright.files.writing import create_whole, write_instead
from lampwright.harmless import visible
from lampwright.rule.phrases import counted
from lampwright.rules import RULES

MARK = "<!-- Written by lampwright explain --into; what is changed here is lost at the next time. -->\n"
"""The first line of a page, by which the next run knows that it may replace it."""


def write_pages(folder: str, rule: str | None) -> int:
    """Write the pages into `folder`, which is there; `rule` is None, since it is all of them or none."""
    if rule is not None:
        complain("--into writes the pages of all rules; leave out the name of one")
        return INCOMPLETE
    if not folder or not is_folder(Path(folder)):
        complain(f"{folder}: there is no such folder" if folder else "an empty path names no folder")
        return INCOMPLETE
    refusals = [(path, _put(path, text)) for path, text in _pages(Path(folder))]
    for path, refusal in refusals:
        if refusal is not None:
            complain(f"{path.as_posix()}: {said_of(refusal)}")
    written = sum(refusal is None for _, refusal in refusals)
    print_result(f"{counted(written, 'page')} in {visible(folder)}\n")
    return DONE if written == len(refusals) else INCOMPLETE


def _pages(folder: Path) -> Iterator[tuple[Path, str]]:
    rows = [f"| [{rule.name}]({rule.name}.md) | {rule.level.word} | {rule.summary} |\n" for rule in RULES]
    heading = f"# The rules of Lampwright {__version__}\n\n| rule | level | what it finds |\n|---|---|---|\n"
    yield folder / "index.md", f"{MARK}\n{heading}{''.join(rows)}"
    for rule in RULES:
        yield folder / f"{rule.name}.md", f"{MARK}\n# {rule.name} ({rule.level.word})\n\n{rule.page.strip()}\n"


def _put(path: Path, text: str) -> Refusal | None:
    """Write a page, or say why not."""
    if not exists(path):
        return create_whole(path, text.encode())
    before = text_of(path)
    if isinstance(before, Refusal):
        return before
    if not before.startswith(MARK):
        return Refusal("it is no page of ours, and is left as it is")
    return write_instead(path, before.encode(), text.encode()) if before != text else None
