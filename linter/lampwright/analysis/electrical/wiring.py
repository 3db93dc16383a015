"""From the circuits of a plan to networks: what lies in series, what side by side, and what feeds it.

Knows which elements return to a rail; solves nothing. Takes only circuits without a lack (see `outside.first_lack`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from lampwright.analysis.electrical.characteristics import Characteristic
from lampwright.analysis.electrical.law import RAIL_SHARE, Spread, characteristic, has_spread
from lampwright.analysis.electrical.nests import Joint, Network, Part, apart, closed, network_of
from lampwright.analysis.electrical.supply import CommonSupply
from lampwright.analysis.electrical.weakness import LawfulElement
from lampwright.model.circuit import Chain, Element, Parallel, Unreadable
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class Leaf:
    """One element with its path, and the share of time in which it gets anything.

    Its characteristics are those with its figures at their lowest, usual and highest: of an element without spread one
    and the same object.
    """

    element: LawfulElement
    path: str
    share_of_time: float
    characteristics: tuple[Characteristic, Characteristic, Characteristic]


@dataclass(frozen=True, slots=True)
class Fed:
    """A network straight across a supply. `places` are the numbers of its elements among all leaves of the wiring."""

    network: Network
    places: tuple[int, ...]
    supply: CommonSupply
    is_at_rail: bool


@dataclass(frozen=True, slots=True)
class Wiring:
    """All elements of some circuits in reading order, and the networks that they form.

    The first `in_lead` of them stand in the common lead. An element in no network carries nothing: there is a gap in
    its way.
    """

    leaves: tuple[Leaf, ...]
    in_lead: int
    fed: tuple[Fed, ...]


@dataclass(frozen=True, slots=True)
class Feeds:
    """What feeds a circuit: the common wire, and where something returns to a rail, that."""

    common: CommonSupply
    rail: CommonSupply | None

    @property
    def volts(self) -> tuple[float, ...]:
        """All voltages in them."""
        common, rail = self.common.voltage, self.rail.voltage if self.rail is not None else None
        of_common = (common.lowest, common.usual, common.highest)
        return (*of_common, rail.lowest, rail.usual, rail.highest) if rail is not None else of_common

    def of(self, *, is_at_rail: bool) -> CommonSupply:
        """What feeds a network, which returns to a rail or to the common."""
        return self.rail if is_at_rail and self.rail is not None else self.common


def wire(lead: Chain, circuits: Mapping[str, Chain], feeds: Feeds) -> Wiring:
    """The networks of `circuits`, by their paths, side by side behind `lead`."""
    assembly = _Assembly()
    lead_parts = tuple(assembly.parts(lead, "common.circuit", 1.0))
    in_lead = len(assembly.leaves)
    behind = [assembly.branch(circuit, path, 1.0) for path, circuit in circuits.items()]
    # A circuit with nothing in it is no wire but a gap: nothing hangs on that output.
    own = tuple(joint for joint in behind if joint is not None and (joint.parts or not joint.is_series))
    nest = Joint(is_series=True, parts=(*lead_parts, Joint(is_series=False, parts=own)))
    fed = list(_fed(nest, feeds, is_at_rail=False))
    for rail in assembly.rails:
        fed.extend(_fed(rail, feeds, is_at_rail=True))
    return Wiring(tuple(assembly.leaves), in_lead, tuple(fed))


def _fed(nest: Joint, feeds: Feeds, *, is_at_rail: bool) -> Iterator[Fed]:
    whole = closed(nest)
    for part in apart(whole) if whole is not None else ():
        yield Fed(*network_of(part), feeds.of(is_at_rail=is_at_rail), is_at_rail)


class _Assembly:
    """Numbers the elements while it puts them together; what returns to a rail is set aside."""

    def __init__(self) -> None:
        self.leaves: list[Leaf] = []
        self.rails: list[Joint] = []

    def branch(self, chain: Chain, path: str, share: float) -> Joint | None:
        """`chain` in series; None if it returns to a rail."""
        if chain.rail_span is None:
            return Joint(is_series=True, parts=tuple(self.parts(chain, path, share)))
        self.rails.append(Joint(is_series=True, parts=tuple(self.parts(chain, path, RAIL_SHARE))))
        return None

    def parts(self, chain: Chain, path: str, share: float) -> Iterator[Part]:
        """What is in series in `chain`."""
        for number, element in enumerate(chain.elements):
            yield from self._parts(element, f"{path}.{number}", share)

    def _parts(self, element: Element, path: str, share: float) -> Iterator[Part]:
        match element:
            case Chain():
                yield from self.parts(element, f"{path}.series", share)
            case Parallel(branches=branches):
                yield self._parallel(branches, path, share)
            case Unreadable():
                raise TypeError(f"no law for {element!r}")
            case _:
                self.leaves.append(_leaf(element, path, share))
                yield len(self.leaves) - 1

    def _parallel(self, branches: Iterable[Chain], path: str, share: float) -> Joint:
        joints = [self.branch(chain, f"{path}.parallel.{number}", share) for number, chain in enumerate(branches)]
        return Joint(is_series=False, parts=tuple(joint for joint in joints if joint is not None))


def _leaf(element: LawfulElement, path: str, share: float) -> Leaf:
    usual = characteristic(element, Spread.USUAL, share)
    if not has_spread(element):
        return Leaf(element, path, share, (usual, usual, usual))
    low, high = (characteristic(element, spread, share) for spread in (Spread.LOWEST, Spread.HIGHEST))
    return Leaf(element, path, share, (low, usual, high))
