"""What is found among many plans, and in none of them alone."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_flow

from command import Command
from lampwright.comparing import judged
from lampwright.diagnostics import Card, Severity, Spot, Want
from lampwright.fleet import Fleet
from lampwright.fleet.answering import Answering
from lampwright.text import Source, Span

PLAN = """lighting-plan: 1
vehicle: {{name: {name}, address: {address}{more}}}
supply: {{track: 14.5 V}}
decoder: {{common: {{drop: 1.4 V}}, outputs: {{white: {{number: 1, limit: 100 mA}}}}}}
parts: [club.parts.yaml]
lamps: {{front headlamp: {{part: warm white 0603}}}}
outputs: {{white: {{circuit: [{resistor}, front headlamp]}}}}
keys: {{F0: {{label: Headlamps, turns-on: [{{output: white}}]}}}}
"""
PARTS = """parts-catalogue: 1
lamps:
  warm white 0603:
    led: {forward-voltage: 2.8 V to 3.3 V, current: 9 mA, maximum-current: 20 mA}
    stock: 2
resistors:
  - {value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 1}
  - {value: 1.5 kohm, rating: 1/2 W, tolerance: 5 %, stock: 1}
"""


def plan(name: str, address: object, more: str = "", resistor: str = "1.5 kohm 1/4 W 5 %") -> str:
    return PLAN.format(name=name, address=address, more=more, resistor=resistor)


@pytest.fixture
def club(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "club.parts.yaml").write_text(PARTS, "utf-8")
    return tmp_path


def lay(club: Path, **plans: str) -> None:
    for name, text in plans.items():
        (club / f"{name}.lights.yaml").write_text(text, "utf-8")


def said(command: Command, *arguments: str) -> list[str]:
    outcome = command("check", "--format", "line", *arguments)
    assert outcome.err == ""
    *lines, _summary = outcome.out.splitlines()
    return lines


class TestAddresses:
    def test_two_vehicles_on_one_address(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        assert said(command) == [
            f'{file}:2:31: warning: "2107" is the address of "{other}", too, which is not of one set with it [shared-address]'
            for file, other in (("one.lights.yaml", "Two"), ("two.lights.yaml", "One"))
        ]

    @pytest.mark.parametrize(
        ("one", "two"),
        [
            ((2107, ""), (2108, "")),
            ((2107, ", set: railcar"), (2107, ", set: railcar")),
            # A short address and a long one of the same number are two.
            ((112, ""), ("{long: 112}", "")),
            ((2107, ", consist: {address: 42}"), (2108, ", consist: {address: 42}")),
        ],
    )
    def test_what_is_right(self, command: Command, club: Path, one: tuple, two: tuple) -> None:
        lay(club, one=plan("One", *one), two=plan("Two", *two, resistor="1.5 kohm 1/2 W 5 %"))
        assert said(command) == []

    @pytest.mark.parametrize(
        ("one", "two"),
        [
            ((2107, ", set: railcar"), (2107, ", set: shunters")),
            ((2107, ", set: railcar"), (2107, "")),
            (("{long: 112}", ""), ("{long: 112}", "")),
            # A consist has a short address (NMRA S-9.2.2, CV19), to which a vehicle of that number answers, too.
            ((42, ""), (2107, ", consist: {address: 42}")),
        ],
    )
    def test_what_is_wrong(self, command: Command, club: Path, one: tuple, two: tuple) -> None:
        lay(club, one=plan("One", *one), two=plan("Two", *two, resistor="1.5 kohm 1/2 W 5 %"))
        assert [line.rpartition(" ")[2] for line in said(command)] == ["[shared-address]"] * 2

    def test_one_alone_has_no_neighbour(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        assert said(command, "one.lights.yaml") == []

    def test_it_can_be_allowed_on_one_side(self, command: Command, club: Path) -> None:
        allowed = plan("One", 2107).replace(
            "vehicle", "# lampwright: allow shared-address -- never out together\nvehicle"
        )
        lay(club, one=allowed, two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        lines = said(command)
        assert [line.partition(":")[0] for line in lines] == ["two.lights.yaml"]

    def test_the_settings_of_each_file_count(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        (club / "lampwright.yaml").write_text("lampwright: 1\nlevels: {shared-address: note}\n", "utf-8")
        assert {line.split(": ")[1] for line in said(command)} == {"note"}
        (club / "lampwright.yaml").write_text("lampwright: 1\nlevels: {shared-address: ignore}\n", "utf-8")
        assert said(command) == []

    def test_a_second_run_says_the_same(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        first = command("check")
        assert "shared-address" in first.out
        assert command("check") == first
        assert command("check", "--no-cache") == first
        lay(club, two=plan("Two", 2108, resistor="1.5 kohm 1/2 W 5 %"))
        assert "shared-address" not in command("check").out

    def test_a_baseline_knows_it(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        assert command("baseline", "known.jsonl").status == 0
        assert said(command, "--baseline", "known.jsonl") == []

    def test_a_run_over_a_part_of_the_club_does_not_forget_it(self, command: Command, club: Path) -> None:
        half = "1.5 kohm 1/2 W 5 %"
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor=half))
        command("baseline", "known.jsonl")
        before = (club / "known.jsonl").read_bytes()
        for part in (["one.lights.yaml"], ["one.lights.yaml", "club.parts.yaml"]):
            assert command("check", "--baseline", "known.jsonl", *part).err.count("any more") == 0
            assert command("baseline", "known.jsonl", *part).status == 0
            assert (club / "known.jsonl").read_bytes() == before
        # Nor does one in which the other cannot be read, or has lost its address.
        for broken in ("vehicle: {name: [", plan("Two", "none", resistor=half)):
            lay(club, two=broken)
            command("baseline", "known.jsonl")
            assert b"shared-address" in (club / "known.jsonl").read_bytes()
        # Over all it is told, and taken out; so is one in a file that is there no more.
        lay(club, two=plan("Two", 2108, resistor=half))
        assert command("check", "--baseline", "known.jsonl").err.count("does not occur any more: ") == 2
        assert "2 taken out" in command("baseline", "known.jsonl").out

    def test_what_is_left_out_of_a_search_is_not_waited_for(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        (club / "lampwright.yaml").write_text("lampwright: 1\nexclude: [attic/]\n", "utf-8")
        (club / "attic").mkdir()
        (club / "attic" / "old.lights.yaml").write_text(plan("Old", 9), "utf-8")
        command("baseline", "known.jsonl")
        lay(club, two=plan("Two", 2108, resistor="1.5 kohm 1/2 W 5 %"))
        assert "2 taken out" in command("baseline", "known.jsonl").out

    def test_it_can_be_allowed_by_the_command(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2107, resistor="1.5 kohm 1/2 W 5 %"))
        outcome = command("allow", "shared-address", "one.lights.yaml:2", "--reason", "never out together")
        assert (outcome.status, outcome.err) == (0, "")
        assert outcome.out == "one.lights.yaml:2:31: allowed: 1 shared-address -- never out together\n"
        line = (club / "one.lights.yaml").read_text("utf-8").splitlines()[1]
        assert line.endswith("}  # lampwright: allow shared-address -- never out together")
        # The other one's is its own, and what is excused once is excused.
        assert [line.partition(":")[0] for line in said(command)] == ["two.lights.yaml"]
        again = command("allow", "shared-address", "one.lights.yaml:2", "--reason", "again")
        assert again.status == 2
        assert "allowed already: never out together" in again.err

    def test_without_a_clash_there_is_nothing_to_allow(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2108, resistor="1.5 kohm 1/2 W 5 %"))
        outcome = command("allow", "shared-address", "one.lights.yaml:2", "--reason", "never out together")
        assert (outcome.status, outcome.out) == (2, "")
        assert "no shared-address is found on line 2" in outcome.err

    def test_many_on_one_address_are_told_once_each(self, command: Command, club: Path) -> None:
        (club / "club.parts.yaml").write_text(PARTS.replace("stock: 2", "stock: 20"), "utf-8")
        lay(club, **{f"p{number}": plan(f"Plan {number}", 5, resistor="2.2 kohm 1/4 W") for number in range(12)})
        document = json.loads(command("check", "--format", "json").out)
        assert [each["rule"] for each in document["findings"]] == ["shared-address"] * 12
        assert {len(each["related"]) for each in document["findings"]} == {5}
        assert len({each["fingerprint"] for each in document["findings"]}) == 1


class TestStock:
    def test_more_than_there_is(self, command: Command, club: Path) -> None:
        lay(club, **{f"p{number}": plan(f"Plan {number}", 2100 + number) for number in range(3)})
        lines = said(command)
        assert lines == [
            'club.parts.yaml:3:3: warning: the plans need 3 of "warm white 0603", and there are 2 [short-stock]',
            'club.parts.yaml:7:5: warning: the plans need 3 of "1.5 kohm 1/4 W", and there are 2 [short-stock]',
        ]

    def test_a_better_resistor_does(self, command: Command, club: Path) -> None:
        lay(club, one=plan("One", 2107), two=plan("Two", 2108))
        assert said(command) == []

    def test_a_worse_one_does_not(self, command: Command, club: Path) -> None:
        half = "1.5 kohm 1/2 W 5 %"
        lay(club, one=plan("One", 2107, resistor=half), two=plan("Two", 2108, resistor=half))
        assert [line.partition(": ")[2] for line in said(command)] == [
            'warning: the plans need 2 of "1.5 kohm 1/2 W", and there is 1 [short-stock]'
        ]

    def test_where_nothing_is_said_there_is_enough(self, command: Command, club: Path) -> None:
        (club / "club.parts.yaml").write_text(PARTS.replace("    stock: 2\n", "").replace(", stock: 1", ""), "utf-8")
        lay(club, **{f"p{number}": plan(f"Plan {number}", 2100 + number) for number in range(3)})
        assert said(command) == []

    def test_it_can_be_allowed_in_the_catalogue(self, command: Command, club: Path) -> None:
        comment = "  # lampwright: allow short-stock -- on order\n  warm white 0603"
        (club / "club.parts.yaml").write_text(PARTS.replace("  warm white 0603", comment), "utf-8")
        lay(club, **{f"p{number}": plan(f"Plan {number}", 2100 + number) for number in range(3)})
        assert [line.partition(":")[2][:3] for line in said(command)] == ["8:5"]

    def test_it_can_be_allowed_there_by_the_command(self, command: Command, club: Path) -> None:
        lay(club, **{f"p{number}": plan(f"Plan {number}", 2100 + number) for number in range(3)})
        wrong = command("allow", "short-stock", "club.parts.yaml:4", "--reason", "on order")
        assert "no short-stock is found on line 4; there is on line 3, 7" in wrong.err
        outcome = command("allow", "short-stock", "club.parts.yaml:7", "--reason", "on order")
        assert (outcome.status, outcome.err) == (0, "")
        assert [line.partition(":")[2][:3] for line in said(command)] == ["3:3"]


# --- The sums themselves ----------------------------------------------------------------------------------------------

CATALOGUE = Source("club.parts.yaml", " " * 1000)


def spot(at: int) -> Spot:
    return Spot(Span(CATALOGUE, at, at + 1), (f"entry {at}",), Severity.WARNING, None)


def card(name: str, wants: list[tuple[int, list[tuple[int, int]]]]) -> Card:
    made = [
        Want("thing", quantity, Span(CATALOGUE, 0, 1), tuple((spot(place), count) for place, count in pool))
        for quantity, pool in wants
    ]
    return Card(Source(f"{name}.lights.yaml", ""), name, None, (), tuple(made))


@given(st.integers(min_value=0, max_value=10**9))
@settings(max_examples=200, deadline=None)
def test_pools_that_lie_in_each_other_are_shared_out_as_well_as_can_be(seed: int) -> None:
    """A want of lower grade may take all that one of a higher grade may, and more: by Hall's theorem enough is enough."""
    random = Random(seed)
    counts = [random.randint(0, 5) for _ in range(4)]
    wants = [(random.randint(1, 4), random.randint(0, 3)) for _ in range(random.randint(1, 6))]
    cards = [
        card(f"p{number}", [(quantity, [(place, counts[place]) for place in range(lowest, 4)])])
        for number, (quantity, lowest) in enumerate(wants)
    ]
    needed = [sum(quantity for quantity, lowest in wants if lowest >= grade) for grade in range(4)]
    suffices = all(needed[grade] <= sum(counts[grade:]) for grade in range(4))
    assert (not list(Fleet(cards).shortages())) == suffices


@given(st.integers(min_value=0, max_value=10**9))
@settings(max_examples=200, deadline=None)
def test_pools_that_overlap_are_shared_out_as_well_as_can_be(seed: int) -> None:
    """As many are missing as in the maximum flow that SciPy finds from wants to entries."""
    random = Random(seed)
    counts = [random.randint(0, 4) for _ in range(5)]
    wants = [(random.randint(1, 4), random.sample(range(5), random.randint(1, 4))) for _ in range(random.randint(1, 6))]
    cards = [
        card(f"p{number}", [(quantity, [(place, counts[place]) for place in pool])])
        for number, (quantity, pool) in enumerate(wants)
    ]
    size = len(wants) + len(counts) + 2
    network = np.zeros((size, size), dtype=np.int32)
    for number, (quantity, pool) in enumerate(wants, 1):
        network[0, number] = quantity
        for place in pool:
            network[number, 1 + len(wants) + place] = quantity
    for place, count in enumerate(counts):
        network[1 + len(wants) + place, size - 1] = count
    most = maximum_flow(csr_matrix(network), 0, size - 1).flow_value
    missing = sum(each.needed - each.are for each in Fleet(cards).shortages())
    assert missing == sum(quantity for quantity, _ in wants) - most


def test_a_card_takes_the_place_of_an_older_one() -> None:
    fleet = Fleet([card("one", [(3, [(0, 2)])])])
    assert [each.needed for each in fleet.shortages()] == [3]
    fleet.take(card("one", [(2, [(0, 2)])]))
    assert fleet.is_in_order
    fleet.take(card("two", [(1, [(0, 2)])]))
    assert [(each.needed, each.are) for each in fleet.shortages()] == [(3, 2)]
    assert [finding.message for finding in judged(fleet)] == ['the plans need 3 of "thing", and there are 2']
    fleet.drop("one.lights.yaml")
    assert fleet.is_in_order


def answering(number: int, group: str | None, addresses: list[tuple[int, bool]]) -> Card:
    source = Source(f"{number:03}.lights.yaml", " " * 10)
    made = [
        ("short", address, is_consist, Spot(Span(source, at, at + 1), (), Severity.WARNING, None))
        for at, (address, is_consist) in enumerate(addresses)
    ]
    return Card(source, f"Vehicle {number}", group, tuple(made), ())


@given(st.integers(min_value=0, max_value=10**9))
@settings(max_examples=300, deadline=None)
def test_those_who_answer_too_are_counted_as_if_each_were_looked_at(seed: int) -> None:
    random = Random(seed)
    fleet, cards = Fleet(), {}
    for _ in range(random.randint(2, 25)):
        number = random.randint(0, 12)
        addresses = [(random.randint(1, 2), False)] + [(random.randint(1, 2), True)] * random.randint(0, 1)
        cards[number] = answering(number, random.choice([None, None, "railcar", "shunters"]), addresses)
        fleet.take(cards[number])
        if random.random() < 0.2:
            fleet.drop(cards.pop(number).plan.name)
    # Also one that is not in the fleet any more.
    for one in (*cards.values(), answering(0, None, [(1, False)])):
        expected = []
        for _, address, is_consist, _ in one.addresses:
            others = [
                (other.name, is_other)
                for _, other in sorted(cards.items())
                for _, other_address, is_other, _ in other.addresses
                if other_address == address
                and other.plan.name != one.plan.name
                and not (one.set is not None and one.set == other.set)
                and not (is_consist and is_other)
            ]
            named = others if len(others) <= 6 else others[:5]
            if others:
                expected.append((is_consist or others[0][1], named, len(others) - len(named)))
        found = [
            (clash.is_consist, [(other.name, is_other) for other, is_other, _ in clash.others], clash.more)
            for clash in fleet.clashes(one)
        ]
        assert found == expected


def test_one_more_on_an_address_costs_no_more_if_there_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    looks = 0
    original = Answering.others

    def counted(*given: object, **more: object) -> Iterator[object]:
        nonlocal looks
        for each in original(*given, **more):
            looks += 1
            yield each

    monkeypatch.setattr(Answering, "others", counted)
    for count in (10, 1000):
        looks = 0
        findings = list(judged(Fleet(answering(number, None, [(3, False)]) for number in range(count))))
        assert len(findings) == count
        assert looks <= 6 * count
    assert findings[0].message == (
        '"3" is the address of "Vehicle 1", "Vehicle 2", "Vehicle 3", "Vehicle 4", "Vehicle 5" and 994 more, too, which are not'
        " of one set with it"
    )
