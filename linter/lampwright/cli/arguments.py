"""What may be written after `lampwright`, and what `--help` says about it. Does nothing of what is asked for."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from functools import partial

from lampwright import __version__
from lampwright.cli.reporting import FORMATS, TEXT
from lampwright.cli.upkeep import add_heed_exclude, add_known, add_stdin_name, add_upkeep

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

_DESCRIPTION = """\
Checks lighting plans of model locomotives before anything is ordered, soldered
or programmed: which LED has no resistor, which output carries too much, which
lamp gets the wrong voltage, which key can turn nothing on.

Files that are read:
  *.lights.yaml    lighting plan: one vehicle, its lamps, what hangs on each
                   output, what each key does
  *.decoder.yaml   decoder sheet: what one decoder's manual says
  *.parts.yaml     parts catalogue: lamps, resistors, what the club has in stock
  lampwright.yaml  settings at the root of a repository
"""
_EPILOG = """\
Examples:
  lampwright check                     everything below this folder
  lampwright check loco.lights.yaml    one plan, with the decoder sheet and the
                                       catalogues that it names
  lampwright figures loco.lights.yaml  what every resistor, lamp and output of it
                                       carries
  lampwright states loco.lights.yaml   which lamp burns when, and how
  lampwright cvs loco.lights.yaml      the CVs to write, in order
  lampwright bench loco.lights.yaml --output loco.html
                                       the sheet for the bench, to print
  lampwright order                     what has to be bought for all plans here
  lampwright fleet --format html --output club.html
                                       the whole club on a page, to hang up
  lampwright fix --show                what could be mended at once, as a diff
  lampwright explain unprotected-led   why a rule exists, and what is right

Exit status:
  0  no error was found (there may be warnings and notes)
  1  at least one error
  2  not all of the work could be done, or the command was written wrongly

`lampwright check --help` says more.
"""
_CHECK = """\
Says what is wrong in plans, where, and what to do about it.

A folder is searched for our four kinds of file, without what a .gitignore or
`exclude:` in lampwright.yaml leaves out; what you name yourself is read all the
same, unless --heed-exclude is given. The decoder sheet and the catalogues that a
plan names are checked with it.
"""
_CHECK_EPILOG = """\
A comment excuses a finding, on its line or on a line of its own above the key or
the list item; the reason is required:
  # lampwright: allow unwired-lamp -- the spare, not fitted yet

Examples:
  lampwright check
  lampwright check vehicles/ club.parts.yaml
  lampwright check - --stdin-name vehicles/loco.lights.yaml < draft.yaml
  lampwright check --format json > report.json
  lampwright check --format sarif --output lampwright.sarif
  lampwright check --watch vehicles/loco.lights.yaml

Exit status:
  0  no error was found    1  at least one error    2  not everything was checked
"""
_CVS = """\
Prints the CVs that make the decoder of a plan do what the plan says, in a safe
writing order, each with what it means and what of it the plan decides. What the
decoder cannot be made to do is listed with what it could do instead.
"""
_CVS_EPILOG = """\
A file for --read-back holds a line a CV, as most programmers write them:
  CV29 = 34
  35: 12
or it is a table with a heading of cv and value (and cv31 and cv32, if you like),
a YAML mapping of CVs and values, or what --format csv and json print. CV31 and
CV32 choose the page of the CVs 257 to 512 that follow them.

Examples:
  lampwright cvs vehicles/loco.lights.yaml
  lampwright cvs vehicles/loco.lights.yaml --reset-first
  lampwright cvs vehicles/loco.lights.yaml --format packets --on-main 3
  lampwright cvs vehicles/loco.lights.yaml --read-back loco.txt
  lampwright cvs vehicles/loco.lights.yaml --read-back loco.txt --as-keys

Exit status:
  0  all of it can be programmed; with --read-back: no value differs
  1  something cannot be programmed; with --read-back: something differs
  2  not all of the work could be done
"""
_FORMATS = "".join(f"  {name:<10}  {purpose}\n" for name, purpose in FORMATS.items())
_FIGURES = """\
Prints what really happens in the wires of a plan: current, voltage and power of
every element, usual and at the ends of all tolerances, with each output fully on
and alone; how much of its limit that is; what light and life a bulb has left; and
the state of keys, direction and motion in which all outputs together draw most.

A lamp that returns to a rail gets what is printed for half of the time.
"""
_FIGURES_EPILOG = """\
Examples:
  lampwright figures vehicles/loco.lights.yaml
  lampwright figures vehicles/loco.lights.yaml --format json
  lampwright figures vehicles/loco.lights.yaml --format wiring

Exit status:
  0  the figures were printed, whatever is wrong with the plan    2  they were not
"""
_STATES = """\
Prints which lamp burns when: for each output its looks (effect, brightness,
rate), and for each look the conditions on keys, direction and motion under which
it has it. They are exact, and no word of them could be left out; what would take
too long to decide is said to be undecided. What two entries want otherwise in one
state is said to be in conflict.
"""
_STATES_EPILOG = """\
JSON: an object {"format": 1, "plan", "outputs"}; `outputs` has for each name
  lamps      the lamps on it; null where they could not all be read
  always     whether it burns in every state
  lit        its looks; [] if it never burns
  undecided  null, or what is lacking; then `lit` says nothing
and each look
  effect, brightness, rate   a name, a share of 1, hertz; the rate is null where
                             the light is steady, or neither the plan nor the
                             sheet tells it
  conflicts  by property the values that are wanted in the same states; the
             property itself is null then
  when       at least one of these lists is true; a list is true if all of its
             {"variable": "F0", "is": true} are, so that [] is always true. The
             variables are F0 to F68, "forward" (else reverse), and "moving"
             (else stopped)

Examples:
  lampwright states vehicles/loco.lights.yaml
  lampwright states vehicles/loco.lights.yaml --format grid
  lampwright states vehicles/loco.lights.yaml --format json

Exit status:
  0  the table was printed, whatever is wrong with the plan    2  it was not
"""
_EXPLAIN = """\
Prints the page of a rule: why it exists, a wrong plan, the right one, and where
its figures come from. Without a rule, all rules in a line each.

With --into the pages of all rules are written into a folder, as Markdown with an
index.md, for the site of a club; `lampwright check --pages` then links to them.
Of what is there already only earlier pages are replaced.
"""
_SERVER = """\
Serves an editor: a language server that speaks over standard input and standard
output. It is started by the editor, and ends with it.
"""


def read_arguments(arguments: Sequence[str]) -> argparse.Namespace:
    """The arguments by name, among them `command`. Ends the program itself for `--help` and for a wrong usage."""
    try:
        # Most runs are checks, and what may stand behind other commands takes them a hundredth of their time.
        return parser(is_for_check=[*arguments[:1]] == ["check"]).parse_args(arguments)
    finally:
        # What --help printed must meet a closed pipe here, where that is caught.
        if sys.stdout is not None:
            sys.stdout.flush()


def parser(*, is_for_check: bool = False) -> argparse.ArgumentParser:
    """All that may be written, for who reads it or completes it; without the other commands if it is for a check."""
    # With each argument argparse makes a form, which loads shutil and bz2 to ask how wide the terminal is.
    # Only help has to know that.
    form = partial(argparse.RawDescriptionHelpFormatter, width=80)
    whole = argparse.ArgumentParser("lampwright", description=_DESCRIPTION, epilog=_EPILOG, formatter_class=form)
    whole.add_argument(
        "-V", "--version", action="version", version=f"lampwright {__version__}", help="print the version"
    )
    # Without the name of the program, argparse would set a whole help text to find it out.
    commands = whole.add_subparsers(title="commands", required=True, dest="command", metavar="COMMAND", prog=whole.prog)
    check = commands.add_parser(
        "check",
        help="say what is wrong in plans, where, and what to do",
        description=_CHECK,
        epilog=f"Formats:\n{_FORMATS}\n{_CHECK_EPILOG}",
        formatter_class=form,
    )
    _add_check(check)
    for each in (whole, check):
        each.formatter_class = argparse.RawDescriptionHelpFormatter
    if not is_for_check:
        _add_others(commands)
    return whole


def _add_others(commands: Commands) -> None:
    from lampwright.cli.beginning import add_beginning
    from lampwright.cli.bench_arguments import add_bench
    from lampwright.cli.fleet_arguments import add_fleet
    from lampwright.cli.order_arguments import add_order

    form = argparse.RawDescriptionHelpFormatter
    _add_cvs(
        commands.add_parser(
            "cvs",
            help="print the CVs that a plan needs, or compare values that were read out",
            description=_CVS,
            epilog=_CVS_EPILOG,
            formatter_class=form,
        )
    )
    figures = commands.add_parser(
        "figures",
        help="print what every resistor, lamp and output of a plan carries",
        description=_FIGURES,
        epilog=_FIGURES_EPILOG,
        formatter_class=form,
    )
    figures.add_argument("plan", metavar="PLAN", help="a lighting plan")
    figures.add_argument(
        "--format",
        choices=["text", "json", "wiring"],
        default="text",
        help="how to print them; wiring draws what hangs on each output instead",
    )
    states = commands.add_parser(
        "states",
        help="print which lamp of a plan burns when, and how",
        description=_STATES,
        epilog=_STATES_EPILOG,
        formatter_class=form,
    )
    states.add_argument("plan", metavar="PLAN", help="a lighting plan")
    states.add_argument(
        "--format",
        choices=["text", "grid", "json"],
        default="text",
        help="how to print it; grid has a row for each lamp and a column for each key alone",
    )
    add_order(commands)
    explain = commands.add_parser(
        "explain", help="print the page of a rule, or the table of all", description=_EXPLAIN, formatter_class=form
    )
    explain.add_argument("rule", nargs="?", metavar="RULE", help="a rule's name, such as unprotected-led")
    explain.add_argument("--into", metavar="FOLDER", help="write the pages of all rules into this folder")
    add_bench(commands)
    add_fleet(commands)
    add_upkeep(commands)
    add_beginning(commands)
    server = commands.add_parser("server", help="serve editors", description=_SERVER, formatter_class=form)
    server.add_argument("--stdio", action="store_true", help="for editors that say so: there is no other way")


def _add_check(check: argparse.ArgumentParser) -> None:
    check.add_argument(
        "paths", nargs="*", metavar="PATH", help="a file, a folder, or - for standard input; default: this folder"
    )
    check.add_argument(
        "--format", choices=list(FORMATS), default=TEXT, metavar="FORMAT", help="the form of the report; default: text"
    )
    check.add_argument(
        "--output", metavar="FILE", help="write the report to FILE, whole or not at all, and print only its sums"
    )
    check.add_argument(
        "--no-cache", action="store_true", help="check every file anew, and keep nothing for the next run"
    )
    add_heed_exclude(check)
    check.add_argument(
        "--watch", action="store_true", help="check again whenever something changes, until Ctrl-C ends it"
    )
    check.add_argument(
        "--pages",
        metavar="ADDRESS",
        help="where the rules' pages stand, with {rule} for the name, for links; default: LAMPWRIGHT_PAGES, if set",
    )
    add_stdin_name(check)
    add_known(check)


def _add_cvs(cvs: argparse.ArgumentParser) -> None:
    cvs.add_argument("plan", metavar="PLAN", help="a lighting plan")
    cvs.add_argument(
        "--format",
        choices=["text", "json", "csv", "packets"],
        default="text",
        help="how to print the list; packets are DCC packets in hex, with their error byte",
    )
    cvs.add_argument(
        "--reset-first",
        action="store_true",
        help="begin the list with CV8 = 8, which makes many decoders what they were on delivery, address 3 included",
    )
    cvs.add_argument(
        "--on-main",
        metavar="ADDRESS",
        help="with packets: for the main track, at the address that the decoder has already, 3 or long:3",
    )
    cvs.add_argument(
        "--read-back", metavar="FILE", help="values that were read out of the decoder, to be compared with the list"
    )
    cvs.add_argument(
        "--as-keys",
        action="store_true",
        help="with --read-back: print what the decoder does with these values as the keys of a plan",
    )
