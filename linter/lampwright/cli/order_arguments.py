"""What may be written after `lampwright order`, and what `--help` says about it. Does nothing of what is asked for."""

from __future__ import annotations

import argparse

from lampwright.cli.upkeep import add_heed_exclude, add_known, add_stdin_name

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

FORMS = ("text", "csv", "json", "markdown")

_ORDER = """\
Prints what has to be bought for plans: lamps, resistors and the rest, each with
how many of it the plans need, spares, what lies in stock by the catalogues that
they name, and which plan needs it. Two parts of the same data are one, but a lamp
of a catalogue is the one of that name in that file. Counted is what hangs in
circuits; a lamp that none of them names is not, and neither are decoders.

A plan is left out if anything is an error in it, or in the sheet, the catalogues
or the settings that it hangs on, as `lampwright check` finds it: what a comment
allows and what --baseline or --since leaves out is none.

Stock: each part is taken from the catalogues that its plans name. A resistor is
taken from whatever has its value and case, and is as exact and as strong. Where a
catalogue says `pack: 25`, whole packs are bought.

Suggestions: which resistors could be exchanged for others, of the order or from
stock, in all plans at once, so that fewer kinds or pieces have to be bought. Each
was tried: written into the plans and checked again, no new finding came, and all
lamps stay inside their limits. The later ones count on the earlier ones.
"""
_ORDER_EPILOG = """\
CSV: by RFC 4180, a row a part, without the suggestions. What would be a formula
  has a ' before it.

JSON: an object {"format": 1, "spares", "plans", "left-out", "unsure", "lines",
  "suggestions", "not-tried"}, all figures in SI
  spares       {"share", "number"}: what is added to what is needed
  plans        those that are counted: {"plan", "vehicle"}
  left-out     those that are not: {"plan", "errors"}; errors is null where no plan
               can be read
  unsure       {"plan", "places"}: in so many places it cannot be told what is
               needed; 0 where a whole circuit cannot be read
  lines        one for each part:
    kind, part   what it is and what it is called
    name, catalogue   of a lamp in a catalogue, else null
    data         its figures by the names that plans have for them; one with a
                 spread is {"lowest", "usual", "highest"}
    colour-bands from the end that is read first; [] where there are none
    needed, spare, missing, buy   pieces; buy is whole packs
    in-stock     null where nobody counted; from-stock is how many are taken
    pack, packs  pieces in a pack, and packs; null where that is not said
    plans        {"plan", "needed"}
  suggestions  {"use", "instead-of", "from-stock", "places", "plans", "current",
               "saves"}: two parts as above, in how many places of which plans,
               how many times the current its lamps carry then ("lowest",
               "highest"), and "kinds" and "pieces" that need not be bought
  not-tried    how many exchanges would have taken too long to try

Examples:
  lampwright order
  lampwright order vehicles/ --spares 2
  lampwright order --spares "20 %" --format csv --output order.csv
  lampwright order --despite-errors vehicles/loco.lights.yaml

Exit status:
  0  everything was counted    1  a plan was left out, or not wholly counted
  2  not all of the work could be done
"""


def add_order(commands: Commands) -> None:
    """Add the command, with what may follow it."""
    order = commands.add_parser(
        "order",
        help="print what has to be bought for plans",
        description=_ORDER,
        epilog=_ORDER_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    order.add_argument(
        "paths", nargs="*", metavar="PATH", help="a plan, a folder, or - for standard input; default: this folder"
    )
    order.add_argument("--format", choices=list(FORMS), default="text", help="how to print it")
    order.add_argument(
        "--output", metavar="FILE", help="write it to FILE, whole or not at all, and print only its sums"
    )
    order.add_argument(
        "--spares",
        metavar="SPARES",
        default="10 %",
        help="how many more of each part: a share, rounded up, or a number; default: 10 %%",
    )
    order.add_argument("--despite-errors", action="store_true", help="count plans that have errors, too")
    order.add_argument("--no-suggestions", action="store_true", help="do not look for what could be simpler")
    order.add_argument(
        "--no-cache", action="store_true", help="check every file anew, and keep nothing for the next run"
    )
    add_heed_exclude(order)
    add_stdin_name(order)
    add_known(order)
