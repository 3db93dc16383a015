"""YAML text becomes a tree with places, comments and problems; the only package that knows ruamel.yaml.

It knows no lamps and no key by name.
"""

from __future__ import annotations

from lampwright.syntax.causes import CAUSES
from lampwright.syntax.editing import (
    append_entry,
    append_item,
    as_value,
    insert_before_item,
    insert_first_entry,
    inside_quotes,
    remove_entry,
    remove_item,
    replace,
)
from lampwright.syntax.nodes import Comment, Mapping, Node, Scalar, Sequence, Tree, Unread
from lampwright.syntax.places import entry_starts, path_at, scope_below, scopes_below
from lampwright.syntax.reading import MAXIMUM_DEPTH, parse

__all__ = [
    "CAUSES",
    "MAXIMUM_DEPTH",
    "Comment",
    "Mapping",
    "Node",
    "Scalar",
    "Sequence",
    "Tree",
    "Unread",
    "append_entry",
    "append_item",
    "as_value",
    "entry_starts",
    "insert_before_item",
    "insert_first_entry",
    "inside_quotes",
    "parse",
    "path_at",
    "remove_entry",
    "remove_item",
    "replace",
    "scope_below",
    "scopes_below",
]
