"""What may be written after `lampwright fleet`, and what `--help` says about it. Does nothing of what is asked for."""

from __future__ import annotations

import argparse

from lampwright.cli.upkeep import add_heed_exclude

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

_FLEET = """\
Shows the whole club on one page: every vehicle by set, with its address, its
findings, the highest current of all that its keys can turn on together, and the
parts that it needs; and which key does what in which vehicle, with those marked
that are off the convention in lampwright.yaml, and those that are momentary.

The HTML page needs nothing else and prints on A4 landscape. In the text, a table
has `=` for a key as the convention says, `*` for one that is free in it, `!` for
one off it, `~` behind these for a momentary one.
"""
_FLEET_EPILOG = """\
JSON, in SI: an object {"format": 1, "findings", "sets", "keys", "elsewhere"} with
  findings   how many "errors", "warnings" and "notes" there are in all files
  sets       for each its "name", null for vehicles that are in none, and its
             "vehicles", each with
    plan, name, address, consist   the address is {"number", "long"} or null
    readable       false where nothing of the plan can be read; what follows
                   behind "findings" is null or empty then
    findings       "errors", "warnings", "notes", "allowed", "not-decided", and
                   "rules", {"level", "rule", "count"} each, the worst first
    worst-state    as in `lampwright figures --format json`, with the "limit" of
                   the decoder, the "share-of-limit", and of it the "motor"
    parts          {"name", "kind", "quantity"} each; "parts-are-complete"
    keys           by name the "label", whether it is "momentary" and
                   "off-convention", and its "convention"
  keys       the keys that any vehicle has, with their "convention"
  elsewhere  findings in sheets, catalogues and settings, as in
             `lampwright check --format json`
In CSV, a cell that a spreadsheet would take for a formula begins with '.

Examples:
  lampwright fleet --format html --output club.html
  lampwright fleet vehicles/ --format csv --output club.csv

Exit status:
  0  the page has all plans, whatever is wrong with them (`lampwright check` has
     another status for that)
  2  a plan or another file could not be read, or the page not be written
"""


def add_fleet(commands: Commands) -> None:
    """Add the command."""
    fleet = commands.add_parser(
        "fleet",
        help="show all vehicles of a club, and what their keys do, on one page",
        description=_FLEET,
        epilog=_FLEET_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    fleet.add_argument("paths", nargs="*", metavar="PATH", help="a file or a folder; default: this folder")
    fleet.add_argument(
        "--format", choices=["text", "html", "markdown", "csv", "json"], default="text", help="the form of the page"
    )
    fleet.add_argument("--output", metavar="FILE", help="write the page to FILE, whole or not at all")
    fleet.add_argument("--no-cache", action="store_true", help="check every file anew, and keep nothing")
    add_heed_exclude(fleet)
