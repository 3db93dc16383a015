"""Two vehicles that answer to one address and are not of one set: the throttle that drives one drives both.

Plans are compared with all others that are checked with them, so check the folder of the club, not one file; an editor
compares with all plans in its folders. A short address and a long one of the same number are two; the address of a
consist is a short one. Vehicles that always run together say so with one `set`, and those of one consist share its
address on purpose.

Other plan:

    vehicle: {name: Ore hauler 12, address: 2107}
    decoder: {outputs: {}}
    lamps: {}
    outputs: {}
    keys: {}

Bad:

    vehicle: {name: Quarry switcher 7, address: 2107}
    #                                           ^^^^ "2107" is the address of "Ore hauler 12", too, which is not of one
    #  set with it
    decoder: {outputs: {}}
    lamps: {}
    outputs: {}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7, address: 2108}
    decoder: {outputs: {}}
    lamps: {}
    outputs: {}
    keys: {}

Source: NMRA S-9.2.1 (2012), section A: a decoder obeys all packets with its address. That two vehicles on one address
are a mistake unless they run together is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Note, Severity
from lampwright.fleet import Clash, Fleet
from lampwright.rule import fleet_rule
from lampwright.rule.phrases import all_quoted, quoted

_MOST_NOTES = 5


@fleet_rule(Severity.WARNING)
def shared_address(fleet: Fleet) -> Iterator[Finding]:
    """An address that vehicles of more than one set answer to."""
    for card in fleet.cards:
        for clash in fleet.clashes(card):
            yield _finding(clash)


def _finding(clash: Clash) -> Finding:
    _, number = clash.number
    names = list(dict.fromkeys(other.name for other, _, _ in clash.others))
    what = "address of a consist" if clash.is_consist else "address"
    whose = all_quoted(names, more=clash.more)
    are = "which is" if len(names) + clash.more == 1 else "which are"
    return Finding(
        clash.spot.span,
        f"{quoted(str(number))} is the {what} of {whose}, too, {are} not of one set with it",
        tuple(Note(spot.span, "the other one") for _, _, spot in clash.others[:_MOST_NOTES]),
    )
