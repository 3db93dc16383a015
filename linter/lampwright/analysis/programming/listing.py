"""In which order CVs are safely written: page registers before what is on the page, the address last.

An address that changes while others are still to be written would leave a decoder that is programmed on the main deaf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lampwright.analysis.programming.claims import PageNumber, Setting
from lampwright.analysis.programming.rcn_pages import SELECTOR
from lampwright.analysis.programming.vehicle import (
    ADDRESS,
    CONFIGURATION,
    CONSIST,
    CONSIST_HUNDREDS,
    CONSIST_KEYS,
    CONSIST_MORE_KEYS,
    LONG_HIGH,
    LONG_LOW,
    MAKER,
    PAGE_HIGH,
    PAGE_LOW,
)

POINTERS = (PAGE_HIGH, PAGE_LOW)
"""CVs that say where to write next, and nothing of what the decoder does."""

RESET = Setting(MAKER, None, 8, 255, None, ())
"""The write that takes a decoder back to what it was on delivery, by RCN-226, read second-hand."""

COMMANDS = (*POINTERS, RESET.cv)
"""CVs that are written for what then happens; what they held before is no matter."""

# CV17 before CV18, with which it takes effect (S-9.2.1), and the bit that makes them the address after both.
_LAST = (
    CONSIST_KEYS, CONSIST_MORE_KEYS, CONSIST_HUNDREDS, CONSIST, ADDRESS, LONG_HIGH, LONG_LOW, CONFIGURATION
)  # fmt: skip
_FIRST_PAGE: PageNumber = (0, 0)


def in_writing_order(settings: Iterable[Setting]) -> Iterator[Setting]:
    """All settings, with the page registers that each page needs before it, and back again behind the last one."""
    listed = sorted(settings, key=_order)
    page: PageNumber | None = None
    for setting in listed:
        if setting.page is None and page is not None:
            yield from turn_to(_FIRST_PAGE)
            page = None
        elif setting.page is not None and setting.page != page:
            yield from turn_to(setting.page)
            page = setting.page
        yield setting
    if page is not None:
        yield from turn_to(_FIRST_PAGE)


def turn_to(page: PageNumber) -> Iterator[Setting]:
    """The two writes that choose a page."""
    for cv, value in zip(POINTERS, page, strict=True):
        yield Setting(cv, None, value, 255, None, ())


def _order(setting: Setting) -> tuple[int, PageNumber, int]:
    page = setting.page or (-1, -1)
    if setting.page is None and setting.cv in _LAST:
        return 3, page, _LAST.index(setting.cv)
    if setting.page is None:
        return (0 if setting.cv == SELECTOR else 1), page, setting.cv
    return 2, page, setting.cv
