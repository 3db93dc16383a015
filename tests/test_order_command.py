"""`lampwright order`: what has to be bought for plans, in four forms; what is left out; which exchanges are proved."""

from __future__ import annotations

import csv
import io
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

import pytest
from syrupy.assertion import SnapshotAssertion

from command import Command, lay
from lampwright.allotment import allot
from lampwright.analysis.ordering import Spares
from lampwright.cli.ordering import read_spares

EXAMPLES = Path(__file__).parent.parent / "examples"
DECODER = "{common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA, surge: 400 mA}, yellow: {number: 2, limit: 100 mA, surge: 400 mA}}, keys: {highest: 28, mapping: function-matrix}, registers: []}"
LAMP = "led: {forward-voltage: 3.0 V, current: 7 mA, maximum-current: 20 mA, colour: white}"
CLUB = f"""\
parts-catalogue: 1
lamps:
  white 0603: {{{LAMP}, stock: 2, pack: 10}}
resistors:
  - {{value: 1.5 kohm, rating: 1/4 W, tolerance: 5 %, stock: 1, pack: 25}}
  - {{value: 1.8 kohm, rating: 1/4 W, tolerance: 5 %, stock: 50}}
"""


def plan(
    resistor: str = "1.5 kohm", part: str = "white 0603", front: str = "front headlamp", club: str = "club"
) -> str:
    return f"""\
vehicle: {{name: Switcher}}
supply: {{track: 14.5 V}}
decoder: {DECODER}
parts: [{club}.parts.yaml]
lamps:
  {front}: {{part: {part}}}
outputs:
  white: {{circuit: [{resistor}, {front}]}}
keys:
  F0: {{label: Headlamps, turns-on: [{{output: white, when: forward}}]}}
"""


BURNING = plan().replace("[1.5 kohm, front headlamp]", "[front headlamp]")


def lines(document: dict[str, Any]) -> dict[str, tuple[int, int, int, int, int]]:
    fields = ("needed", "spare", "from-stock", "missing", "buy")
    return {each["part"]: tuple(each[field] for field in fields) for each in document["lines"]}  # type: ignore[misc]


@pytest.mark.parametrize("form", ["text", "csv", "json", "markdown"])
def test_what_the_example_club_has_to_buy(
    form: str, command: Command, monkeypatch: pytest.MonkeyPatch, snapshot: SnapshotAssertion
) -> None:
    monkeypatch.chdir(EXAMPLES)
    outcome = command("order", "vehicles", "--format", form, "--no-cache")
    assert (outcome.status, outcome.err) == (0, "")
    assert outcome.out == snapshot


def test_a_small_club_counted_by_hand(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, **{f"v{number}.lights.yaml": plan() for number in range(11)}})
    outcome = command("order", "--format", "json", "--no-suggestions")
    assert outcome.status == 0
    # 11 and 2 spare of each; 2 lamps and 1 resistor are there: 11 lamps are 2 packs of 10, 12 resistors 1 of 25.
    assert lines(outcome.json) == {"white 0603": (11, 2, 2, 11, 20), "1.5 kohm 1/4 W 5 %": (11, 2, 1, 12, 25)}
    assert [line["packs"] for line in outcome.json["lines"]] == [2, 1]
    assert outcome.json["lines"][1]["colour-bands"] == ["brown", "green", "red", "gold"]
    for line in outcome.json["lines"]:
        assert sum(each["needed"] for each in line["plans"]) == line["needed"]


@pytest.mark.parametrize(
    ("written", "quantity", "spare"),
    [("10 %", 1, 1), ("10 %", 10, 1), ("10 %", 11, 2), ("10%", 20, 2), ("12.5 %", 8, 1), ("0", 9, 0), ("3", 9, 3)],
)
def test_spares_are_a_share_rounded_up_or_a_number(written: str, quantity: int, spare: int) -> None:
    spares = read_spares(written)
    assert spares is not None
    assert spares.of(quantity) == spare


def test_no_other_spares_are_taken(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "v.lights.yaml": plan()})
    for wrong in ("ten", "-1", "10 % ohm", "1.5", ""):
        outcome = command("order", f"--spares={wrong}")
        assert (outcome.status, outcome.out) == (2, "")
        assert "neither a share" in outcome.err
    assert Spares(share=Fraction(1, 3)).of(3) == 1


def test_a_plan_with_an_error_is_left_out_unless_it_shall_not(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "good.lights.yaml": plan(), "bad.lights.yaml": BURNING})
    outcome = command("order", "--format", "json")
    assert outcome.status == 1
    assert outcome.json["left-out"] == [{"plan": "bad.lights.yaml", "errors": 1}]
    assert [each["plan"] for each in outcome.json["plans"]] == ["good.lights.yaml"]
    outcome = command("order", "--format", "json", "--despite-errors")
    assert (outcome.status, outcome.json["left-out"]) == (0, [])
    assert lines(outcome.json)["white 0603"][0] == 2
    outcome = command("order", "--format", "csv")
    assert "bad.lights.yaml is left out: 1 error" in outcome.err


def test_an_error_in_the_catalogue_leaves_out_who_names_it(command: Command) -> None:
    lay({"club.parts.yaml": CLUB.replace("stock: 50", "stock: fifty"), "v.lights.yaml": plan()})
    outcome = command("order", "--format", "json", "v.lights.yaml")
    assert (outcome.status, outcome.json["left-out"]) == (1, [{"plan": "v.lights.yaml", "errors": 1}])


def test_what_is_allowed_or_known_is_no_error(command: Command) -> None:
    allowing = BURNING.replace(
        "  white: {circuit", "  # lampwright: allow unprotected-led -- a test\n  white: {circuit"
    )
    lay({"club.parts.yaml": CLUB, "v.lights.yaml": allowing})
    assert command("order").status == 0
    lay({"v.lights.yaml": BURNING})
    assert command("order").status == 1
    assert command("baseline", "known.jsonl").status == 0
    assert command("order", "--baseline", "known.jsonl").status == 0


def test_what_cannot_be_read_is_no_order(command: Command) -> None:
    assert command("order", "nowhere.lights.yaml").status == 2
    lay({"club.parts.yaml": CLUB})
    outcome = command("order", "club.parts.yaml")
    assert (outcome.status, outcome.out) == (2, "")
    assert "no lighting plan" in outcome.err


def test_lamps_of_two_catalogues_are_two(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "mine.parts.yaml": CLUB, "a.lights.yaml": plan(), "b.lights.yaml": plan(club="mine")})
    outcome = command("order", "--format", "json")
    lamps = [(each["name"], each["catalogue"]) for each in outcome.json["lines"] if each["kind"] == "LED"]
    assert lamps == [("white 0603", "club.parts.yaml"), ("white 0603", "mine.parts.yaml")]


def test_a_list_is_written_to_a_file_but_never_over_a_plan(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "v.lights.yaml": plan()})
    outcome = command("order", "--format", "csv", "--output", "order.csv")
    assert (outcome.status, outcome.out) == (0, "")
    rows = list(csv.reader(io.StringIO(Path("order.csv").read_bytes().decode(), newline="")))
    assert rows[1][:2] == ["LED", "white 0603"]
    assert command("order", "--output", "v.lights.yaml").status == 2
    assert Path("v.lights.yaml").read_text("utf-8") == plan()


HOSTILE = ["=1+1", "@cmd", "a|b", "<img src=x>", "`x`", "\u202eevil", "\U0001f600 lamp", 'say "so", please', "\uff1dA1"]


@pytest.mark.parametrize("form", ["text", "csv", "json", "markdown"])
@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_does_harm(name: str, form: str, command: Command) -> None:
    quoted = "'" + name + "'"
    lay({"club.parts.yaml": CLUB.replace("white 0603", quoted), "v.lights.yaml": plan(part=quoted)})
    outcome = command("order", "--format", form, "--despite-errors")
    assert outcome.status in (0, 1)
    assert "\u202e" not in outcome.out
    if form == "csv":
        assert outcome.out.count("\r\n") == outcome.out.count("\n")
        rows = list(csv.reader(io.StringIO(outcome.out, newline="")))
        assert all(len(row) == len(rows[0]) for row in rows)
        assert not any(cell[:1] in "=+-@\uff1d" for row in rows for cell in row if cell)
    if form == "markdown":
        rows = [line for line in outcome.out.splitlines() if line.startswith("|")]
        assert all(row.count("|") == 8 for row in rows)
        assert "<img" not in outcome.out or "`<img src=x>`" in outcome.out


# --- Stock ------------------------------------------------------------------------------------------------------------

A, B = ("club.parts.yaml", 1), ("club.parts.yaml", 2)


def test_stock_serves_as_many_as_can_be() -> None:
    # The first could have either; the second only A, so that the first makes room.
    assert allot([(3, (A, B)), (2, (A,))], {A: 3, B: 2}) == [{A: 1, B: 2}, {A: 2}]
    assert allot([(5, (A,)), (1, (A,))], {A: 4}) == [{A: 4}, {}]
    assert allot([(0, (A,)), (2, ())], {A: 4}) == [{}, {}]


@pytest.mark.parametrize("seed", range(40))
def test_stock_is_shared_out_as_well_as_can_be(seed: int) -> None:
    random = Random(seed)
    entries = [("club.parts.yaml", place) for place in range(random.randint(1, 4))]
    counts = {entry: random.randint(0, 3) for entry in entries}
    wishes = [
        (random.randint(0, 4), random.sample(entries, random.randint(0, len(entries))))
        for _ in range(random.randint(1, 4))
    ]
    given = allot(wishes, counts)
    for entry in entries:
        assert sum(shares.get(entry, 0) for shares in given) <= counts[entry]
    for (quantity, named), shares in zip(wishes, given, strict=True):
        assert sum(shares.values()) <= quantity
        assert all(count >= 0 and (entry in named or not count) for entry, count in shares.items())
    # By Hall: what can be had in all is, over all sets of wishes, the least of what they may have and others wish.
    most = min(
        sum(counts[entry] for entry in {entry for number in some for entry in wishes[number][1]})
        + sum(quantity for number, (quantity, _) in enumerate(wishes) if number not in some)
        for size in range(len(wishes) + 1)
        for some in combinations(range(len(wishes)), size)
    )
    assert sum(sum(shares.values()) for shares in given) == most


@pytest.mark.parametrize("seed", range(6))
def test_sums_are_those_of_the_plans(seed: int, command: Command) -> None:
    random = Random(seed)
    values = ["1.5 kohm", "1.8 kohm", "1.2 kohm 1/2 W", "1.5 kohm 1/4 W 1 %"]
    chosen = {f"v{number}.lights.yaml": random.choice(values) for number in range(8)}
    lay({"club.parts.yaml": CLUB, **{name: plan(value) for name, value in chosen.items()}})
    document = command("order", "--format", "json", "--spares", "0").json
    alone: dict[str, int] = {}
    for name in chosen:
        for part, figures in lines(command("order", name, "--format", "json", "--spares", "0").json).items():
            alone[part] = alone.get(part, 0) + figures[0]
    assert {part: figures[0] for part, figures in lines(document).items()} == alone
    for needed, spare, taken, missing, buy in lines(document).values():
        assert spare == 0
        assert missing == needed - taken <= buy


# --- Exchanges --------------------------------------------------------------------------------------------------------


def test_an_exchange_from_stock_is_suggested_and_holds(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "a.lights.yaml": plan(), "b.lights.yaml": plan()})
    (instead,) = command("order", "--format", "json").json["suggestions"]
    assert (instead["use"]["part"], instead["instead-of"]["part"]) == ("1.8 kohm 1/4 W 5 %", "1.5 kohm 1/4 W 5 %")
    assert (instead["from-stock"], instead["places"], instead["saves"]) == (True, 2, {"kinds": 1, "pieces": 25})
    assert instead["current"]["highest"] == pytest.approx(0.836, abs=0.01)
    before = command("check", "--format", "json").json["findings"]
    lay({"a.lights.yaml": plan("1.8 kohm 1/4 W 5 %"), "b.lights.yaml": plan("1.8 kohm 1/4 W 5 %")})
    # What is not in stock is said by the check as well; what takes its place is there.
    assert [each["rule"] for each in before] == ["short-stock"]
    assert command("check", "--format", "json").json["findings"] == []


def test_no_exchange_is_suggested_that_causes_a_finding(command: Command) -> None:
    # With 1.2 kohm it would carry 8.8 mA, more than it stands: nothing is to be gained there, however many there are.
    tight = CLUB.replace("maximum-current: 20 mA", "maximum-current: 8.6 mA").replace("1.8 kohm", "1.2 kohm")
    lay({"club.parts.yaml": tight, "v.lights.yaml": plan()})
    outcome = command("order", "--format", "json")
    assert (outcome.status, outcome.json["suggestions"]) == (0, [])
    assert command("order", "--format", "json", "--no-suggestions").json["suggestions"] == []
    lay({"club.parts.yaml": tight.replace("8.6 mA", "20 mA")})
    (instead,) = command("order", "--format", "json").json["suggestions"]
    assert instead["use"]["part"] == "1.2 kohm 1/4 W 5 %"


def test_the_order_of_the_files_does_not_matter(command: Command) -> None:
    lay({"club.parts.yaml": CLUB, "a.lights.yaml": plan(), "b.lights.yaml": plan("1.8 kohm")})
    one = command("order", "a.lights.yaml", "b.lights.yaml").out
    assert command("order", "b.lights.yaml", "a.lights.yaml", "a.lights.yaml").out == one
