"""The commands that one begins with: completion. What may be written after them.

Does nothing of what is asked for; it hands that on.
"""

from __future__ import annotations

import argparse

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

SHELLS = ("bash", "zsh", "fish")

_COMPLETION = """\
Prints the lines by which a shell completes commands, options, formats, names of
rules and our files when the Tab key is pressed. Put them where the shell finds
them at its next start; they need not be renewed with a new version.
"""
_COMPLETION_EPILOG = """\
Examples:
  lampwright completion bash > ~/.local/share/bash-completion/completions/lampwright
  lampwright completion zsh > ~/.zsh/_lampwright      # a folder of fpath
  lampwright completion fish > ~/.config/fish/completions/lampwright.fish

bash needs its package bash-completion for that; without it, and in zsh without
such a folder, this goes into ~/.bashrc, and into ~/.zshrc behind compinit:
  eval "$(lampwright completion bash)"
"""


def add_beginning(commands: Commands) -> None:
    """Add these commands, with what may follow them."""
    completion = commands.add_parser(
        "completion",
        help="print what makes a shell complete this command",
        description=_COMPLETION,
        epilog=_COMPLETION_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    completion.add_argument("shell", choices=SHELLS, help="the shell that is to complete")


def run_beginning(options: argparse.Namespace) -> int:
    """Do what `options` ask for; the exit status is returned."""
    from lampwright.cli.completing import run_completion

    return run_completion(options.shell)
