"""What may be written after `lampwright bench`, and what `--help` says about it. Does nothing of what is asked for."""

from __future__ import annotations

import argparse

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

_BENCH = """\
Makes the sheet that lies beside the soldering iron, as one page that needs nothing
else: the order of work with the current to allow at first, the wiring, which lamp
burns when (on the screen with keys to press), what a meter should read at each
output and what is wrong where it reads something else, the CVs to write with boxes
to tick, and the keys to tape on the throttle. It prints on A4 and on Letter.

Of a plan with errors it is made as well, with a banner that names them.
"""
_BENCH_EPILOG = """\
JSON, in SI: an object {"format": 1, "plan", "vehicle"} with
  errors       the findings of that level, as in `lampwright check --format json`
  first-power  `limit` for a current-limited supply, in amperes, and `worst`, what
               the lamps draw at most, in `state`; null where `lacks` says why, or
               nothing limits the current
  states       no key, each key alone and all of them, each way, standing and moving:
               "keys", "direction", "moving", and "lit": for each lamp that burns then
               its "effect", "brightness" and "rate" (null where two are wanted), and
               its "current" and "voltage" with its output fully on and alone
  conditions   as `outputs` in `lampwright states --format json`
  readings     for outputs that are wired alike: `outputs`, each with a `state` to
               measure it in, and whether it is "steady-and-full" then; whether
               what was "measured" counts; `supply`, `current` and for each of
               `elements` `voltage` and `current`, each {"lowest", "usual",
               "highest"}; and `faults`: `what` is wrong, the `voltages` then
               across each element, the `current` of the output, and whether that
               is "too-much" for something
  unreadable   outputs of which nothing can be told, with what they lack
  parts        what has to be at hand: "part", "kind", "quantity", "in-stock" (null
               where no catalogue says), and the "bands" of a resistor
  cvs          as in `lampwright cvs --format json`
  keys         for each key its label and its lamps

Examples:
  lampwright bench vehicles/loco.lights.yaml --output loco.html
  lampwright bench vehicles/loco.lights.yaml --format markdown

Exit status:
  0  the sheet was made    1  it was, of a plan with errors    2  it was not
"""


def add_bench(commands: Commands) -> None:
    """Add the command."""
    bench = commands.add_parser(
        "bench",
        help="make the sheet for building, measuring and programming a plan",
        description=_BENCH,
        epilog=_BENCH_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    bench.add_argument("plan", metavar="PLAN", help="a lighting plan")
    bench.add_argument("--format", choices=["html", "markdown", "json"], default="html", help="the form of the sheet")
    bench.add_argument("--output", metavar="FILE", help="write the sheet to FILE, whole or not at all")
