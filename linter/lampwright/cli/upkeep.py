"""The commands that keep a repository in order: fix, allow, baseline, settings. What may be written after them.

Does nothing of what is asked for; it hands that on.
"""

from __future__ import annotations

import argparse

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

_FIX = """\
Applies the fixes that cannot change what a plan means, such as a misspelt unit,
and says what is left. Only what has to change is changed: comments, order, quotes
and line ends stay. A fix that would cause another finding is not applied.
"""
_FIX_EPILOG = """\
Only files that you name, or that stand in a folder that you name, are changed. A
file is replaced whole or not at all; one that is write-protected, that has other
names (hard links), or that somebody changes meanwhile, is left as it is. Of a
symbolic link, what it leads to is replaced. With -, standard input is printed as
it should be, and what was done is told on standard error.

Examples:
  lampwright fix
  lampwright fix --show > cures.diff
  lampwright fix --unsure vehicles/loco.lights.yaml

Exit status:
  0  no error is left    1  at least one is, or --show has something to show
  2  not everything could be done
"""

_ALLOW = """\
Puts a comment into a file that excuses what a rule finds there, in the place
where it excuses least, or names the rule in the allowance that is there already.
"""
_ALLOW_EPILOG = """\
Example:
  lampwright allow unwired-lamp vehicles/loco.lights.yaml:6 --reason "a spare"

Exit status:
  0  it is done    2  nothing was changed
"""

_BASELINE = """\
Writes down what is found now, so that `lampwright check --baseline FILE` tells
only of what is new. Where FILE is there already, it only shrinks: what does not
occur any more is taken out, and what is new stays out. An entry is a file, a
rule, the keys on the way and the culprit; lines may move. Keep FILE in the
repository.
"""
_BASELINE_EPILOG = """\
Examples:
  lampwright baseline known-findings.jsonl
  lampwright check --baseline known-findings.jsonl

Exit status:
  0  it is done    2  something could not be checked, read or written
"""

_SETTINGS = """\
Prints what the settings come to for a file, or for what stands in a folder, and
where each was written. The nearest lampwright.yaml upwards governs; nothing of
those above it is merged in.
"""
_SETTINGS_EPILOG = """\
Examples:
  lampwright settings
  lampwright settings vehicles/loco.lights.yaml --format json

Exit status:
  0  it is done    1  the settings have an error    2  they cannot be read
"""


def add_upkeep(commands: Commands) -> None:
    """Add these commands, with what may follow them."""
    _add_fix(_command(commands, "fix", "mend what can be mended at once", _FIX, _FIX_EPILOG))
    _add_allow(_command(commands, "allow", "excuse a finding, with a reason", _ALLOW, _ALLOW_EPILOG))
    _add_baseline(_command(commands, "baseline", "write down what is known", _BASELINE, _BASELINE_EPILOG))
    _add_settings(_command(commands, "settings", "print what governs a file", _SETTINGS, _SETTINGS_EPILOG))


def add_stdin_name(command: argparse.ArgumentParser) -> None:
    """Add the option that says for which file standard input stands."""
    command.add_argument(
        "--stdin-name",
        metavar="FILE",
        default="standard-input.lights.yaml",
        help="the file that - stands for: its name says of what kind it is, its folder where references start",
    )


def add_heed_exclude(command: argparse.ArgumentParser) -> None:
    """Add the option that holds also what is named to what the settings leave out."""
    command.add_argument(
        "--heed-exclude",
        action="store_true",
        help="leave out what exclude: in lampwright.yaml leaves out, even where you name it, as a hook does",
    )


def run_upkeep(options: argparse.Namespace) -> int:
    """Do what `options` ask for; the exit status is returned."""
    if options.command == "fix":
        from lampwright.cli.fixing import run_fix

        names = ("unsure", "show", "stdin_name", "baseline", "heed_exclude")
        how = {name: getattr(options, name) for name in names}
        return run_fix(options.paths, **how)
    if options.command == "allow":
        from lampwright.cli.allowing import run_allow

        return run_allow(options.rule, options.place, options.reason)
    if options.command == "baseline":
        from lampwright.cli.baselines import run_baseline

        return run_baseline(options.file, options.paths, grow=options.grow)
    from lampwright.cli.governing import run_settings

    return run_settings(options.path, options.format)


def _command(commands: Commands, name: str, summary: str, description: str, epilog: str) -> argparse.ArgumentParser:
    form = argparse.RawDescriptionHelpFormatter
    return commands.add_parser(name, help=summary, description=description, epilog=epilog, formatter_class=form)


def add_known(check: argparse.ArgumentParser) -> None:
    """Add the options that leave out of a check what is known."""
    _add_baseline_option(check)
    check.add_argument(
        "--since",
        metavar="REVISION",
        help="leave out what a git revision had already; main... is where this branch left main",
    )


def _add_baseline_option(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--baseline", metavar="FILE", help="leave out the findings that lampwright baseline wrote there"
    )


def _add_fix(fix: argparse.ArgumentParser) -> None:
    fix.add_argument(
        "paths", nargs="*", metavar="PATH", help="a file, a folder, or - for standard input; default: this folder"
    )
    fix.add_argument(
        "--unsure", action="store_true", help="apply also what you may have meant otherwise: units, parts, ratings"
    )
    fix.add_argument("--show", action="store_true", help="print what would change as a diff, and change nothing")
    _add_baseline_option(fix)
    add_heed_exclude(fix)
    add_stdin_name(fix)


def _add_allow(allow: argparse.ArgumentParser) -> None:
    allow.add_argument("rule", metavar="RULE", help="the rule, as in the brackets behind a finding")
    allow.add_argument("place", metavar="PLACE", help="file:line, or file:line:column, as before a finding")
    allow.add_argument("--reason", required=True, metavar="TEXT", help="why the finding is right as it is")


def _add_baseline(baseline: argparse.ArgumentParser) -> None:
    baseline.add_argument("file", metavar="FILE", help="the baseline, such as known-findings.jsonl")
    baseline.add_argument("paths", nargs="*", metavar="PATH", help="a file or a folder; default: this folder")
    baseline.add_argument("--grow", action="store_true", help="take in what is new as well")


def _add_settings(settings: argparse.ArgumentParser) -> None:
    settings.add_argument("path", nargs="?", default=".", metavar="PATH", help="a file or a folder; default: this one")
    settings.add_argument("--format", choices=["text", "json"], default="text", help="how to print them")
