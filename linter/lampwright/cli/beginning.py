"""The commands that one begins with: new, completion. What may be written after them.

Does nothing of what is asked for; it hands that on.
"""

from __future__ import annotations

import argparse

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

SHELLS = ("bash", "zsh", "fish")

_NEW = """\
Makes a file to be filled in, of what you say or are asked: valid, with remarks,
and with proposals that begin with #: and wait to be used. What is there already
is never touched. In a terminal you are asked for what the options do not say.
"""
_NEW_EPILOG = """\
Examples:
  lampwright new settings --track "14.5 V" --resistors E12
  lampwright new decoder --name "Bench six" --outputs "white, yellow, brown"
  lampwright new plan vehicles/ --decoder decoders/bench-six.decoder.yaml

Exit status:
  0  the file was written    2  it was not
"""

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
    new = _command(commands, "new", "make a plan, a sheet, a catalogue or settings to fill in", _NEW, _NEW_EPILOG)
    kinds = new.add_subparsers(title="kinds of file", required=True, dest="kind", metavar="KIND")
    _add_new_plan(_kind(kinds, "plan", "a lighting plan, NAME.lights.yaml"))
    _add_new_sheet(_kind(kinds, "decoder", "a decoder sheet, NAME.decoder.yaml"))
    catalogue = _kind(kinds, "parts", "a parts catalogue, NAME.parts.yaml")
    catalogue.add_argument("--resistors", metavar="LIST", help="values that you have, with commas between: 1 kohm, 4k7")
    settings = _kind(kinds, "settings", "the settings of a repository, lampwright.yaml")
    settings.add_argument("--track", metavar="VOLTAGE", help="what stands on the track, such as 14.5 V or 13 V to 16 V")
    settings.add_argument("--resistors", metavar="SERIES", help="the series that is bought: E6, E12, E24, E48 or E96")
    shells = _command(
        commands, "completion", "print what makes a shell complete this command", _COMPLETION, _COMPLETION_EPILOG
    )
    shells.add_argument("shell", choices=SHELLS, help="the shell that is to complete")


def run_beginning(options: argparse.Namespace) -> int:
    """Do what `options` ask for; the exit status is returned."""
    if options.command == "new":
        from lampwright.cli.creating import run_new

        return run_new(options)
    from lampwright.cli.completing import run_completion

    return run_completion(options.shell)


def _command(commands: Commands, name: str, summary: str, description: str, epilog: str) -> argparse.ArgumentParser:
    form = argparse.RawDescriptionHelpFormatter
    return commands.add_parser(name, help=summary, description=description, epilog=epilog, formatter_class=form)


def _kind(kinds: Commands, name: str, summary: str) -> argparse.ArgumentParser:
    kind = kinds.add_parser(name, help=summary, description=f"Makes {summary}, to be filled in.")
    kind.add_argument(
        "path", nargs="?", metavar="NEW", help="the new file, or a folder for it; default: this folder, by its name"
    )
    kind.add_argument("--no-questions", action="store_true", help="ask nothing, not even in a terminal")
    return kind


def _add_new_plan(plan: argparse.ArgumentParser) -> None:
    plan.add_argument("--name", metavar="NAME", help="what the vehicle is called")
    plan.add_argument("--scale", metavar="SCALE", help="Z, N, TT, HO, S, O or G")
    plan.add_argument("--address", metavar="NUMBER", help="1 to 127 short, 128 to 10239 long")
    plan.add_argument("--shell", metavar="SHELL", help="plastic, resin or metal")
    plan.add_argument("--decoder", metavar="SHEET", help="the decoder sheet, whose outputs then stand in the plan")
    plan.add_argument("--parts", metavar="CATALOGUE", action="append", help="a parts catalogue; may be given again")


def _add_new_sheet(sheet: argparse.ArgumentParser) -> None:
    sheet.add_argument("--name", metavar="NAME", help="what the decoder is called")
    sheet.add_argument("--interface", metavar="PLUG", help="NEM 651, NEM 652, NEM 654, NEM 660, PluX22 or Next18")
    sheet.add_argument("--outputs", metavar="LIST", help="its outputs in the order of their numbers: white, yellow")
