"""What a shell may put in when the Tab key is pressed, and the few lines that make it ask.

The library argcomplete has the lines for each shell and finds out at which argument the cursor stands. Here stands what
fits there: the files of our kinds, the names of rules. Nothing of this is imported unless a shell asks, and then as
little as can be, since somebody waits at every press of the key: that is why folders are listed here, not by `files`.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from argcomplete import autocomplete
from argcomplete.completers import SuppressCompleter
from argcomplete.shell_integration import shellcode

from lampwright.cli.arguments import parser
from lampwright.cli.printing import print_result

PLAN, SHEET, CATALOGUE = ".lights.yaml", ".decoder.yaml", ".parts.yaml"
ENDS = (PLAN, SHEET, CATALOGUE, "lampwright.yaml")
"""How the names of our files end. A test holds them to `plan.kinds`, whose import would take as long as all else."""

Completer = Callable[..., list[str] | Mapping[str, str]]


def run_completion(shell: str) -> int:
    """Print what `shell` has to read once, so that it completes our command."""
    print_result(shellcode(["lampwright"], shell=shell, use_defaults=False).lstrip("\n"))
    return 0


def answer() -> None:
    """Tell the shell that asks what could stand at the cursor, and end the program."""
    whole = parser()
    for action in _actions(whole):
        completer = _COMPLETERS.get(str(action.metavar))
        if completer is not None and action.choices is None:
            # Where argcomplete looks for it.
            action.completer = completer  # type: ignore[attr-defined]
    autocomplete(whole, always_complete_options=False, default_completer=SuppressCompleter())


def _actions(whole: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    for action in whole._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)


def _files(*ends: str) -> Completer:
    return lambda prefix, **_: _paths(prefix, ends)


def _places(prefix: str, **_: object) -> list[str]:
    # The colon says that a line has to follow, and keeps argcomplete from putting a space.
    return [name if name.endswith("/") else f"{name}:" for name in _paths(prefix, ENDS)]


def _rules(**_: object) -> Mapping[str, str]:
    # Of all arguments only this one needs the rules, which take longer to import than all else.
    from lampwright.rules import RULES

    return {rule.name: rule.summary for rule in RULES}


_COMPLETERS: Mapping[str, Completer] = {
    "CATALOGUE": _files(CATALOGUE),
    "FILE": _files(""),
    "NEW": _files(*ENDS),
    "PATH": _files(*ENDS),
    "PLACE": _places,
    "PLAN": _files(PLAN),
    "RULE": _rules,
    "SHEET": _files(SHEET),
}
"""What fits where an argument is called so in `--help`. Elsewhere nothing does, or argparse knows the choices."""


def _paths(prefix: str, ends: tuple[str, ...]) -> list[str]:
    """The paths that begin with `prefix`: all folders, with a slash behind them, and the files that end so.

    Names that begin with a dot are given only to who has typed that; what cannot be looked at has nothing in it.
    """
    before, slash, begun = prefix.rpartition("/")
    try:
        with os.scandir(Path(before + slash).expanduser()) as entries:
            named = sorted((entry.name, entry.is_dir()) for entry in entries if entry.name.startswith(begun))
    except (OSError, ValueError, RuntimeError):
        return []
    shown = [(name, is_folder) for name, is_folder in named if begun or not name.startswith(".")]
    return [f"{before}{slash}{name}{'/' * is_folder}" for name, is_folder in shown if is_folder or name.endswith(ends)]
