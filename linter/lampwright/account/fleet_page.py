"""What a club wants to see of its fleet on one page: each vehicle with its findings, its worst current, parts and keys.

Gathers what the check and the analyses say, and orders it. Knows no form of page, and not how the plans were found.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping

from lampwright.account.words import LEVELS
from lampwright.analysis.electrical import electrical_facts
from lampwright.analysis.electrical.facts import Undetermined
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.needs import PlanNeeds, plan_needs
from lampwright.analysis.together import Together, worst_together
from lampwright.diagnostics import Finding, Report, Severity
from lampwright.kinds import Kind, kind_of
from lampwright.model.keys import Key, mean_the_same
from lampwright.model.lighting import LightingPlan
from lampwright.model.vehicle import Vehicle
from lampwright.records import dataclass


@dataclass(frozen=True, slots=True)
class KeyCell:
    """What a key does in one vehicle: its label, None without one; whether it is on only while pressed.

    `meant` is what it means by the convention that governs the plan, None where that leaves it free.
    """

    name: str
    label: str | None
    is_momentary: bool
    meant: str | None

    @property
    def is_off_convention(self) -> bool:
        """Whether its label says something else than the convention."""
        return self.label is not None and self.meant is not None and not mean_the_same(self.label, self.meant)


@dataclass(frozen=True, slots=True)
class DecoderLoad:
    """How much of a limit of the decoder, amperes, is taken at most, as a share.

    `motor` amperes are a part of that where the limit is that of the whole decoder; else they are none.
    """

    limit: float
    share: float
    motor: float = 0.0


@dataclass(frozen=True, slots=True)
class FleetVehicle:
    """A vehicle by its plan in `file`. `vehicle` and all behind it are None where nothing of the plan can be read.

    `findings` are those in its own file that no comment allows, the worst first. `together` says why its outputs cannot
    be told together where it is text.
    """

    file: str
    name: str
    findings: tuple[Finding, ...]
    allowed: int
    undecided: int
    vehicle: Vehicle | None = None
    together: Together | str | None = None
    load: DecoderLoad | None = None
    needs: PlanNeeds | None = None
    keys: Mapping[int, KeyCell] | None = None

    @property
    def set(self) -> str | None:
        """The set that it runs in; None if it runs alone."""
        return self.vehicle.set.text if self.vehicle is not None and self.vehicle.set is not None else None

    def count(self, level: Severity) -> int:
        """How many of its findings have that level."""
        return sum(finding.level is level for finding in self.findings)

    @property
    def rules(self) -> list[tuple[Severity, str, int]]:
        """The level and the name of each rule that has found something, and how often; the worst first."""
        counts = Counter((finding.level, finding.rule) for finding in self.findings)
        return [(level, rule, count) for (level, rule), count in counts.items()]


@dataclass(frozen=True, slots=True)
class FleetSet:
    """Vehicles that run together; those that run alone are the set without a name."""

    name: str | None
    vehicles: tuple[FleetVehicle, ...]


@dataclass(frozen=True, slots=True)
class KeyColumn:
    """A key that any vehicle has. `meant` is what it means by the convention of most plans, if by any."""

    number: int
    name: str
    meant: str | None


@dataclass(frozen=True, slots=True)
class FleetPage:
    """A whole fleet: its sets by name and the rest last, the keys that any vehicle has, findings in other files."""

    sets: tuple[FleetSet, ...]
    keys: tuple[KeyColumn, ...]
    elsewhere: tuple[Finding, ...]

    @property
    def vehicles(self) -> list[FleetVehicle]:
        """All of them, in the order of the page."""
        return [vehicle for each in self.sets for vehicle in each.vehicles]

    def count(self, level: Severity) -> int:
        """How many findings of that level there are in all files."""
        here = sum(finding.level is level for finding in self.elsewhere)
        return here + sum(vehicle.count(level) for vehicle in self.vehicles)


def fleet_page(report: Report, plans: Mapping[str, LightingPlan]) -> FleetPage:
    """The page of all plans that `report` is of. `plans` has what could be read of them, by file."""
    files = [source.name for source in report.sources if kind_of(source.name) is Kind.LIGHTING_PLAN]
    found = _found(report, files)
    undecided = _undecided(report)
    vehicles = [_vehicle(file, plans.get(file), found[file], undecided.get(file, 0)) for file in files]
    return FleetPage(
        sets=tuple(_sets(vehicles)),
        keys=tuple(_columns(vehicles)),
        elsewhere=_worst_first(found[None]),
    )


# --- Findings ---------------------------------------------------------------------------------------------------------


def _found(report: Report, files: Iterable[str]) -> dict[str | None, list[Finding]]:
    """The findings by plan, and under None those in other files."""
    found: dict[str | None, list[Finding]] = {None: [], **{file: [] for file in files}}
    for finding in report.findings:
        file = finding.span.source.name
        if file in found:
            found[file].append(finding)
        elif finding.allowed is None:
            found[None].append(finding)
    return found


def _undecided(report: Report) -> dict[str, int]:
    """How often a rule could not tell, by file."""
    counts: dict[str, int] = {}
    for item in report.undecided:
        counts[item.span.source.name] = counts.get(item.span.source.name, 0) + 1
    return counts


def _worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda finding: LEVELS.index(finding.level)))


# --- Vehicles ---------------------------------------------------------------------------------------------------------


def _vehicle(file: str, plan: LightingPlan | None, found: Collection[Finding], undecided: int) -> FleetVehicle:
    opened = _worst_first(finding for finding in found if finding.allowed is None)
    allowed = len(found) - len(opened)
    if plan is None:
        return FleetVehicle(file, file, opened, allowed, undecided)
    together = worst_together(electrical_facts(plan), logic_facts(plan))
    return FleetVehicle(
        file=file,
        name=plan.vehicle.name.text if plan.vehicle.name is not None else file,
        findings=opened,
        allowed=allowed,
        undecided=undecided,
        vehicle=plan.vehicle,
        together=together.lacks if isinstance(together, Undetermined) else together,
        load=_load(plan, together) if isinstance(together, Together) else None,
        needs=plan_needs(plan),
        keys={number: _cell(key, plan.settings.keys.get(number)) for number, key in sorted(plan.keys.items())},
    )


def _load(plan: LightingPlan, together: Together) -> DecoderLoad | None:
    """The limit of the decoder that is nearest; None where none is known, or what the motor takes of it is not."""
    decoder, vehicle = plan.decoder, plan.vehicle
    if decoder is None:
        return None
    current, loads = together.current.highest, []
    if decoder.outputs_together is not None:
        loads.append((decoder.outputs_together.usual, 0.0))
    if decoder.whole_decoder is not None and "motor" not in vehicle.unreadable:
        loads.append((decoder.whole_decoder.usual, vehicle.motor.highest if vehicle.motor is not None else 0.0))
    known = [DecoderLoad(limit, (current + motor) / limit, motor) for limit, motor in loads if limit > 0]
    return max(known, key=lambda load: load.share, default=None)


def _cell(key: Key, meant: str | None) -> KeyCell:
    return KeyCell(key.name, key.label.text if key.label is not None else None, key.momentary, meant)


# --- Order ------------------------------------------------------------------------------------------------------------


def _sets(vehicles: Iterable[FleetVehicle]) -> Iterator[FleetSet]:
    grouped: dict[str | None, list[FleetVehicle]] = {}
    for vehicle in sorted(vehicles, key=lambda each: (_natural(each.name), each.file)):
        grouped.setdefault(vehicle.set, []).append(vehicle)
    for name in sorted(grouped, key=lambda each: (each is None, _natural(each or ""))):
        yield FleetSet(name, tuple(grouped[name]))


def _natural(name: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    """Sorts no. 2 before no. 10, and capitals like small letters where they are all that differs."""
    pieces = re.findall(r"0*([0-9]+)|([^0-9]+)", name.casefold())
    # Of two numbers without leading zeros the longer one is larger; no digits need be counted, however many.
    return tuple((0, len(digits), digits) if digits else (1, 0, letters) for digits, letters in pieces), name


def _columns(vehicles: Iterable[FleetVehicle]) -> Iterator[KeyColumn]:
    by_number: dict[int, list[KeyCell]] = {}
    for vehicle in vehicles:
        for number, cell in (vehicle.keys or {}).items():
            by_number.setdefault(number, []).append(cell)
    for number, cells in sorted(by_number.items()):
        meanings = Counter(cell.meant for cell in cells if cell.meant is not None)
        # Folders may have settings of their own; of two that are as common, the first by the alphabet.
        meant = min(meanings, key=lambda each: (-meanings[each], each), default=None)
        yield KeyColumn(number, cells[0].name, meant)
