"""A file of values that were read out of a decoder becomes numbers by page and CV, whatever its form.

Lines, tables, YAML and JSON are told apart by how they begin, not by the name of the file.
"""

from __future__ import annotations

from lampwright.engine.values_in_lines import read_lines
from lampwright.engine.values_in_tree import is_tree, read_tree
from lampwright.engine.written_values import ReadBack, Reading, Stray
from lampwright.text import Source

__all__ = ["ReadBack", "Stray", "read_back"]


def read_back(source: Source) -> ReadBack:
    """The values in a text. Never raises."""
    reading = Reading()
    read = read_tree if is_tree(_first_line(source)) else read_lines
    read(source, reading)
    return reading.read_back


def _first_line(source: Source) -> str:
    """The first line that says something."""
    lines = (source.line(number).strip() for number in range(1, len(source.line_starts) + 1))
    return next((line for line in lines if line and line != "---" and not line.startswith("#")), "")
