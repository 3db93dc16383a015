"""The command: arguments go in; text, JSON and an exit status come out. Holds no logic of lamps.

Imports as little as it can at the top: `lampwright --version` answers before anything else is loaded.
"""

from __future__ import annotations

import os
import sys

from lampwright import __version__

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

_DESCRIPTION = """\
Checks lighting plans of model locomotives before anything is ordered, soldered or programmed: which LED has no
resistor, which output carries too much, which lamp gets the wrong voltage, which key can turn nothing on.

files that are read:
  *.lights.yaml    lighting plan: one vehicle, its lamps, what hangs on each output, what each key does
  *.decoder.yaml   decoder sheet: what a decoder's manual says about outputs, limits, keys, effects and CVs
  *.parts.yaml     parts catalogue: lamps and resistors, and what the club has in stock
  lampwright.yaml  settings at the root of a repository
"""
_EPILOG = """\
exit status:
  0  no error was found        1  at least one error        2  not all of the work could be done

examples:
  lampwright check                         everything below this folder
  lampwright check loco.lights.yaml        one plan, with the sheet and the catalogues that it names
  lampwright check --format json | jq .    for programs
  lampwright explain unprotected-led       why a rule exists, and what is right instead
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; the exit status is returned. Never a traceback: a failure of ours is one line and status 2."""
    arguments = sys.argv[1:] if arguments is None else arguments
    if list(arguments) in (["--version"], ["-V"]):
        print(f"lampwright {__version__}")  # noqa: T201
        return 0
    try:
        return _run(arguments)
    except BrokenPipeError:
        # The reader went away (`| head`); what Python flushes at exit must not complain about it again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 2
    except KeyboardInterrupt:
        _complain("stopped")
        return 130
    except OSError as error:
        _complain(f"{error.strerror or error}")
        return 2
    except Exception as error:  # noqa: BLE001  # the last resort: a bug of ours must not look like one of the user's
        _complain(f"failed: {type(error).__name__}: {error}")
        return 2


def _run(arguments: Sequence[str]) -> int:
    options = _parser().parse_args(arguments)
    if options.command == "check":
        from lampwright.cli.checking import run_check

        status = run_check(options.paths, options.format, options.stdin_name)
    else:
        from lampwright.cli.explaining import run_explain

        status = run_explain(options.rule)
    sys.stdout.flush()
    return status


def _parser() -> argparse.ArgumentParser:
    import argparse

    form = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser("lampwright", description=_DESCRIPTION, epilog=_EPILOG, formatter_class=form)
    parser.add_argument("-V", "--version", action="version", version=f"lampwright {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    check = commands.add_parser("check", help="say what is wrong in plans, and where", formatter_class=form)
    check.add_argument(
        "paths",
        nargs="*",
        metavar="PATH",
        help="a file, a folder (searched, honouring .gitignore), or - for standard input; default: this folder",
    )
    check.add_argument("--format", choices=["text", "json"], default="text", help="how to print the report")
    check.add_argument(
        "--stdin-name",
        metavar="FILE",
        default="standard-input.lights.yaml",
        help="the file that standard input stands for: it decides the kind and where references start",
    )
    check.set_defaults(command="check")
    explain = commands.add_parser("explain", help="print the page of a rule, or the table of all rules")
    explain.add_argument("rule", nargs="?", metavar="RULE", help="a rule's name; without it, all rules are listed")
    explain.set_defaults(command="explain")
    return parser


def _complain(line: str) -> None:
    from lampwright.cli.printing import complain

    complain(line)
