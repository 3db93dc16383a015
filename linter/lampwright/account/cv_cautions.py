"""What to mind before a list of CVs is written into a decoder, in words. Knows no form of the list."""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import Programming
from lampwright.analysis.programming.listing import RESET
from lampwright.analysis.programming.rcn_pages import ByOutputMatrix, ByOutputNumbers
from lampwright.analysis.programming.vehicle import CONFIGURATION, DEFAULT_ADDRESS, unsayable_consist_keys
from lampwright.model.lighting import LightingPlan
from lampwright.model.vehicle import Address
from lampwright.rule.phrases import quoted
from lampwright.rule.programming import SECOND_HAND, said_keys


def cautions(plan: LightingPlan, programming: Programming) -> Iterator[str]:
    """A sentence or two each; the first ones matter most."""
    vehicle = plan.vehicle
    if vehicle.set is not None:
        yield (
            f"Put this vehicle on the programming track alone: another one of the set {quoted(vehicle.set.text)} may"
            " have the same address and would obey every write on the main. Where they cannot be parted, lock the other"
            " one first: a decoder takes writes only while its CV15 and CV16 are equal."
        )
    if RESET in programming.settings:
        yield _of_reset(vehicle.address)
    yield (
        "Write on the programming track, in this order, and hold each line against the decoder's own manual first: the"
        " list is as right as the decoder sheet."
    )
    yield (
        "A default is what the CV holds on delivery, by the decoder sheet or by S-9.2.2; unknown is what neither says."
    )
    if programming.method is not None and programming.method.is_second_hand:
        assumed = isinstance(programming.method, ByOutputMatrix | ByOutputNumbers)
        order = "; that forward comes before reverse on its page is an assumption" if assumed else ""
        yield f"The mapping of keys behind CV96 is {SECOND_HAND}{order}."
    if any(setting.must_be_read_first for setting in programming.settings):
        yield "Where it says to read first, read the CV, change only what is named, and write it back."
    if vehicle.reversed:
        yield f"CV{CONFIGURATION} turns the decoder round: its forward, also here below, is reverse for this vehicle."
    if vehicle.consist is not None and (keys := unsayable_consist_keys(vehicle.consist)):
        yield f"No CV lets {said_keys(keys)} alone obey the consist: beyond F12 it is eight keys or none."


def _of_reset(address: Address | None) -> str:
    until = "and the plan names no other" if address is None else "until the list gives it another one"
    return (
        f"CV{RESET.cv} = {RESET.value} is a reset (RCN-226, read second-hand): all that was ever programmed into the"
        " decoder is lost, not its lights alone. Write it only if the decoder's manual says so, and on the programming"
        f" track only. From then on the address is {DEFAULT_ADDRESS}, {until}."
    )
