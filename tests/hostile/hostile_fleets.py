"""Many plans at once: addresses and sets that are none, one that is hostile among the sound, hundreds on one address."""

from __future__ import annotations

from command import BURNING, PLAN
from hostile_cases import Case
from hostile_texts import BOMB


def at(address: str, more: str = "") -> str:
    """A plan whose address begins at 1:44."""
    return PLAN.replace("switcher 7}", f"switcher 7, address: {address}{more}}}")


ADDRESSES = {
    "0": "zero",
    "-1": "below zero",
    "1.5": "a half",
    "10240": "one too high",
    "1e3": "an exponent",
    "0x83b": "hexadecimal",
    "true": "a truth",
    "[3, 4]": "a list",
    "'2107; DROP TABLE'": "a command",
    "'=2107+1'": "a formula",
    "9" * 10_000: "10,000 digits",
}
SETS = {
    "'<script>alert(1)</script>'": "markup",
    '"a\\n::error::b"': "a line",
    "[a, [b]]": "a list",
    "''": "nothing",
    f"'{'x' * 100_000}'": "100,000 characters",
}
FLEETS: dict[str, Case] = {
    **{f"an address that is {name}": Case({"a.lights.yaml": at(value)}, ("x",)) for value, name in ADDRESSES.items()},
    **{
        f"a set that is {name}": Case({f"{file}.lights.yaml": at("2107", f", set: {value}") for file in "ab"}, ("x",))
        for value, name in SETS.items()
    },
    "200 plans on one address": Case({f"p{n:03}.lights.yaml": at("2107") for n in range(200)}, ("x",), seconds=20),
    "a bomb among plans": Case({"a.lights.yaml": BOMB, **{f"p{n}.lights.yaml": PLAN for n in range(20)}}, ("x",), seconds=5),
    "a blob among plans": Case({"a.lights.yaml": b"\x00\xff" * 900_000, "b.lights.yaml": BURNING}, ("x",), seconds=5),
}
