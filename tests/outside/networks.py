"""Random networks as plans of ours and as setups for the simulator, and how far the currents of both lie apart."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from random import Random

from analysis.circuits import Maker, Value, chain, exactly, parallel, plan, resistor, to_rail
from lampwright.analysis.electrical import common_facts, electrical_facts
from lampwright.analysis.electrical.facts import CommonFacts, OutputFacts
from lampwright.model.circuit import Chain, Element
from lampwright.model.lighting import LightingPlan
from lampwright.model.values import Figure
from outside.spice import Corner, Setup

LEAST = 1e-6
"""Amperes below which a current counts as this one, where the difference to another is put in proportion."""


class Asked(Enum):
    """Which currents of a network are compared."""

    ALL = "each element and the supply"
    LEAD = "each element of the common lead and the supply"
    HIGHEST = "the highest of the supply"
    LOWEST = "the lowest of the supply"


@dataclass(frozen=True)
class Case:
    """One network, and the same for the simulator."""

    name: str
    plan: LightingPlan
    setup: Setup
    asked: Asked = Asked.ALL


def case(seed: int) -> Case:
    """Always the same one for a seed; the kinds take turns."""
    make = KINDS[seed % len(KINDS)]
    return replace(make(Random(seed)), name=f"{make.__name__.strip('_')} {seed}")


# --- The kinds of networks --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class RareMaker(Maker):
    """Makes circuits of what is rare in others: wires, regulators, boards, drivers, reversed LEDs."""

    def _rare(self) -> list[Callable[[], Element]]:
        return [*super()._rare(), lambda: resistor(0.0)]

    def _element(self, levels: int, length: int) -> Element:
        if self.random.random() < 0.3:
            return self.random.choice(self._rare())()
        return super()._element(levels, length)


def _plain(random: Random) -> Case:
    maker = Maker(random)
    return _single(maker.circuit(2), maker.supply())


def _deep(random: Random) -> Case:
    maker = Maker(random)
    return _single(maker.circuit(4, 2), maker.supply())


def _rare(random: Random) -> Case:
    maker = RareMaker(random)
    return _single(maker.circuit(2), maker.supply())


def _lead(random: Random) -> Case:
    maker = Maker(random)
    return _single(maker.circuit(2), maker.supply(), maker.circuit(1, 2))


def _ends(random: Random) -> Case:
    """Each figure at one end of its spread."""
    maker = Maker(random, spread=True)
    circuit = maker.circuit(2)
    supply = maker.supply()
    assert isinstance(supply, tuple)

    def end(one: Figure) -> Figure:
        return Figure.exact(random.choice([one.lowest, one.highest]), one.span)

    return _single(exactly(circuit, end), random.choice(supply))


def _single(circuit: Chain, supply: Value, lead: Chain | None = None) -> Case:
    made = plan({"white": circuit}, common=supply, lead=lead)
    return Case("", made, Setup((circuit,), supply, lead or chain()))


def _coupled(random: Random) -> Case:
    """Outputs that are on together behind a common lead."""
    maker = Maker(random)
    lead, supply = maker.circuit(1, 2), maker.supply()
    circuits = {name: maker.circuit(1) for name in ("white", "yellow", "green")[: random.randint(2, 3)]}
    return Case("", plan(circuits, common=supply, lead=lead), Setup(tuple(circuits.values()), supply, lead), Asked.LEAD)


def _rail(random: Random) -> Case:
    """With a branch that returns to a rail, which is one diode of the rectifier above the common."""
    maker = Maker(random)
    returned = to_rail(maker.circuit(1))
    circuit = random.choice(
        [lambda: returned, lambda: chain(parallel(maker.circuit(1), returned)), lambda: _shared(maker, returned)]
    )()
    track, drop = random.uniform(6, 22), random.choice([0.7, 1.4, 2.0])
    made = plan({"white": circuit}, track=track, drop=drop)
    return Case("", made, Setup((circuit,), track - drop, chain(), rail=track - drop / 2))


def _shared(maker: Maker, returned: Chain) -> Chain:
    return chain(*maker.circuit(1).elements, parallel(maker.circuit(0), returned))


def _highest(random: Random) -> Case:
    """The bounds of the current: everything lets through as much as it can."""
    return _bound(random, Corner.EAGER, Asked.HIGHEST)


def _lowest(random: Random) -> Case:
    return _bound(random, Corner.RELUCTANT, Asked.LOWEST)


def _bound(random: Random, corner: Corner, asked: Asked) -> Case:
    maker = Maker(random, spread=True)
    circuit, lead = maker.circuit(2), maker.circuit(0, 1)
    supply = maker.supply()
    assert isinstance(supply, tuple)
    made = plan({"white": circuit}, common=supply, lead=lead)
    volts = max(supply) if asked is Asked.HIGHEST else min(supply)
    return Case("", made, Setup((circuit,), volts, lead, corner=corner), asked)


KINDS = (_plain, _rare, _lead, _plain, _ends, _coupled, _plain, _deep, _rail, _highest, _lowest)


# --- The currents of both, and how far they lie apart -----------------------------------------------------------------


def ours(case: Case) -> list[float]:
    """The currents that are compared, the supply's own last."""
    together = common_facts(case.plan)
    assert isinstance(together, CommonFacts)
    in_lead = [element.current.usual for element in together.elements]
    match case.asked:
        case Asked.HIGHEST:
            return [together.current.highest]
        case Asked.LOWEST:
            return [together.current.lowest]
        case Asked.LEAD:
            return [*in_lead, together.current.usual]
    white = electrical_facts(case.plan).outputs["white"]
    assert isinstance(white, OutputFacts)
    return [*in_lead, *(element.current.usual for element in white.elements), white.current.usual]


def theirs(case: Case, measured: Sequence[float], count: int) -> list[float]:
    """Of all measured currents, those that are compared."""
    kept = measured if case.asked is Asked.ALL else [*measured[: count - 1], measured[-1]]
    assert len(kept) == count, case.name
    return list(kept)


@dataclass(frozen=True)
class Difference:
    """Of one current."""

    case: Case
    ours: float
    theirs: float

    @property
    def share(self) -> float:
        """Of the larger of the current and a microampere."""
        return abs(self.ours - self.theirs) / max(abs(self.theirs), LEAST)


@dataclass(frozen=True)
class Comparison:
    """Of many networks: each difference, and the networks of which the simulator knows no currents."""

    differences: tuple[Difference, ...]
    unsolved: tuple[Case, ...]

    def worst(self, least: float = 0.0) -> Difference:
        """Of the currents that are more than `least`, in amperes."""
        return max((each for each in self.differences if each.theirs >= least), key=lambda each: each.share)


def compared(cases: Iterable[Case], measured: Iterable[Sequence[float] | None]) -> Comparison:
    found: list[Difference] = []
    unsolved: list[Case] = []
    for case, amperes in zip(cases, measured, strict=True):
        if amperes is None:
            unsolved.append(case)
        else:
            own = ours(case)
            pairs = zip(own, theirs(case, amperes, len(own)), strict=True)
            found.extend(Difference(case, *pair) for pair in pairs)
    return Comparison(tuple(found), tuple(unsolved))
