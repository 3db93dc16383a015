"""Where the page of a rule stands, for reports that can link to it: an address with the rule's name in it.

We have no site of our own. A club that puts the pages somewhere (`lampwright explain --into` writes them) says where.
"""

from __future__ import annotations

import re

from lampwright.patterns import pattern

NAME = "{rule}"
"""What stands for the name of a rule in an address."""

# What RFC 3986 lets stand in a URI, less the brackets and the apostrophe, which would end links of other forms.
_ADDRESS = pattern(r"(?:https?|file)://[\w.~:/?#@!$&*+,;=%-]+\Z", re.ASCII)


def fault_of_pages(pages: str) -> str:
    """Why `pages` is no address of pages; empty if it is one."""
    if NAME not in pages:
        return f"it needs a {NAME} where the name of the rule belongs"
    fits = _ADDRESS.match(pages.replace(NAME, "rule"))
    return "" if fits else "it must be a whole address that begins with https://, http:// or file://"


def page_of(pages: str, rule: str) -> str:
    """The address of the page of `rule`."""
    return pages.replace(NAME, rule)
