"""The command: arguments go in; text, JSON and an exit status come out. Holds no logic of lamps.

Imports as little as it can at the top: `lampwright --version` answers before anything else is loaded.
"""

from __future__ import annotations

import gc
import os
import sys

from lampwright import __version__

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence
    from typing import TextIO


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; the exit status is returned. Never a traceback: a failure of ours is one line and status 2."""
    from lampwright.cli.printing import complain

    try:
        return _run(sys.argv[1:] if arguments is None else arguments)
    except BrokenPipeError:
        # The reader went away (`| head`), which is no reason to complain.
        pass
    except KeyboardInterrupt:
        complain("stopped")
        return 130
    except OSError as error:
        complain(f"{error.strerror or error}")
    except Exception as error:  # noqa: BLE001  # the last resort: a bug of ours must not look like one of the user's
        complain(f"failed, which is our fault: {type(error).__name__}: {error}")
    finally:
        _settle(sys.stdout)
        _settle(sys.stderr)
        if arguments is None:
            # Python looks for garbage three times as it ends, which takes a twelfth of a check; the system clears up.
            gc.freeze()
    return 2


def _settle(stream: TextIO | None) -> None:
    """What could not be written is given up, so that Python does not try once more when it ends, and complain."""
    if stream is not None:
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _run(arguments: Sequence[str]) -> int:  # a list of commands reads best as a list
    if "_ARGCOMPLETE" in os.environ:
        # A shell asks what could stand at the cursor; nothing is run, and nothing else is imported.
        from lampwright.cli.completing import answer

        answer()
    if list(arguments) in (["--version"], ["-V"]):
        from lampwright.cli.printing import print_result

        print_result(f"lampwright {__version__}\n")
        return 0
    if list(arguments) in (["server"], ["server", "--stdio"]):
        # As editors start it, each time: what else could be written is not even read.
        return _serve()
    from lampwright.cli.arguments import read_arguments

    options = read_arguments(arguments)
    if options.command == "check":
        return _check(options)
    if options.command in {"figures", "states", "cvs", "bench"}:
        return _of_plan(options)
    if options.command in {"order", "fleet"}:
        return _of_plans(options)
    if options.command == "explain":
        from lampwright.cli.explaining import run_explain

        return run_explain(options.rule, options.into)
    if options.command == "server":
        return _serve()
    if options.command in {"new", "completion"}:
        from lampwright.cli.beginning import run_beginning

        return run_beginning(options)
    from lampwright.cli.upkeep import run_upkeep

    return run_upkeep(options)


def _serve() -> int:
    from lampwright.cli.serving import run_server

    return run_server()


def _of_plan(options: Namespace) -> int:
    """What is told of one plan."""
    if options.command == "figures":
        from lampwright.cli.figuring import run_figures

        return run_figures(options.plan, options.format)
    if options.command == "states":
        from lampwright.cli.telling import run_states

        return run_states(options.plan, options.format)
    if options.command == "bench":
        from lampwright.cli.benching import run_bench

        return run_bench(options.plan, options.format, options.output)
    from lampwright.cli.programming import run_cvs

    return run_cvs(options)


def _of_plans(options: Namespace) -> int:
    """What is told of many plans together."""
    if options.command == "order":
        from lampwright.cli.ordering import run_order

        return run_order(options)
    from lampwright.cli.parading import run_fleet

    return run_fleet(options)


def _check(options: Namespace) -> int:
    # What is imported and what a check leaves behind is mostly no garbage; to look for it at the usual pace takes time.
    gc.set_threshold(100_000, 20, 100)
    from lampwright.cli.checking import Known, Manner, run_check
    from lampwright.cli.reporting import Delivery

    pages = options.pages or os.environ.get("LAMPWRIGHT_PAGES") or None
    how = Delivery(options.format, options.output, pages), Known(options.baseline, options.since)
    manner = Manner(not options.no_cache, options.heed_exclude)
    if options.watch:
        from lampwright.cli.watching import run_watch

        return run_watch(options.paths, *how, manner)
    return run_check(options.paths, options.stdin_name, *how, manner)
