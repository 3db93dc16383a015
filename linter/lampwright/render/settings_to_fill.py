"""The text of new settings: what was asked for stands in them, the rest is there to be filled in.

A line that begins with `#:` is one of the settings, put out of action. All of them together are settings as well.
"""

from __future__ import annotations

from lampwright.syntax.quoting import scalar

_HEAD = """\
# The house rules: all plans, sheets and catalogues in this folder and below it are judged by them.
# Lines that begin with #: are proposals; take the #: away where they are right for you.
lampwright: 1

# Measured on the track while trains run, for plans that say nothing of their own. Or 13 V to 16 V.
"""
_RESISTORS = """
# The series of IEC 60063 that is bought: E6, E12, E24, E48, E96.
"""
_REST = """
# Shares of a limit above which there is a warning.
#:margins: {output-current: 90 %, lamp-current: 90 %, resistor-power: 50 %}

# What a visitor may expect from each key.
#:keys:
#:  F0: Headlamps
#:  F2: Horn

# Levels of single rules: error, warning, note, ignore. `lampwright explain` lists the rules.
#:levels: {unwired-lamp: note}

# Folders and files to leave out, written as in a .gitignore.
#:exclude: [attic/]
"""


def render_settings_to_fill(track: str | None, series: str | None) -> str:
    """The settings of a house with this track voltage, buying resistors of this series; with a line end."""
    supply = f"supply: {{track: {scalar(track)}}}\n" if track is not None else "#:supply: {track: 14.5 V}\n"
    resistors = f"resistors: {series}\n" if series is not None else "#:resistors: E12\n"
    return f"{_HEAD}{supply}{_RESISTORS}{resistors}{_REST}"
