"""An address that no packet can carry.

Short addresses are 1 to 127, long ones 128 to 10239; `{long: 112}` forces a long one. The address of a consist stands
in the lower seven bits of CV19, so it is 1 to 127.

Bad:

    vehicle: {name: Quarry switcher 7, address: 20000}
    #                                           ^^^^^ "20000" is no address: a short one is 1 to 127, a long one
    #  128 to 10239
    decoder: {outputs: {}}
    lamps: {}
    outputs: {}
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7, address: {long: 112}, consist: {address: 42}}
    decoder: {outputs: {}}
    lamps: {}
    outputs: {}
    keys: {}

Source: NMRA S-9.2.1 (2012), section A, and S-9.2.2 (2012), CV1, CV17, CV18 and CV19.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.diagnostics import Finding, Severity
from lampwright.model.vehicle import Address
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted

# NMRA S-9.2.1 (2012), read: short ones are 1 to 127; 10239 is what CV17 from 192 to 231 and CV18 can hold.
HIGHEST_SHORT, HIGHEST_LONG = 127, 10239


@rule(Severity.ERROR, needs_plan=True)
def address_out_of_range(context: Context) -> Iterator[Verdict]:
    """An address that is not 1 to 127 or 128 to 10239."""
    vehicle = context.plan.vehicle
    if vehicle.address is not None and not _is_possible(vehicle.address):
        yield _finding(vehicle.address)
    if vehicle.consist is not None and not 1 <= vehicle.consist.address.number <= HIGHEST_SHORT:
        address = vehicle.consist.address
        number = quoted(str(address.number))
        yield Finding(address.span, f"{number} is no address of a consist: CV19 holds 1 to {HIGHEST_SHORT}")


def _is_possible(address: Address) -> bool:
    return 1 <= address.number <= (HIGHEST_LONG if address.is_long else HIGHEST_SHORT)


def _finding(address: Address) -> Finding:
    kinds = f"a short one is 1 to {HIGHEST_SHORT}, a long one {HIGHEST_SHORT + 1} to {HIGHEST_LONG}"
    return Finding(address.span, f"{quoted(str(address.number))} is no address: {kinds}")
