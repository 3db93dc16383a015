"""Many plans at once: addresses and sets that are none, one that is hostile among the sound, hundreds on one address."""

from __future__ import annotations

from hostile_cases import Case
from hostile_texts import BOMB

from command import BURNING, PLAN


def at(address: str, more: str = "") -> str:
    """A plan whose address begins at 1:44."""
    return PLAN.replace("switcher 7}", f"switcher 7, address: {address}{more}}}")


ADDRESSES = {
    "-0": "below zero by nothing",
    "-1": "below zero",
    "1.5": "a half",
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
    f"'{'x' * 100_000}'": "100,000 characters",
}
FLEETS: dict[str, Case] = {
    **{
        f"an address that is {name}": Case({"a.lights.yaml": at(value)}, ("1:45 wrong-shape",))
        for value, name in ADDRESSES.items()
    },
    **{
        f"a set that is {name}": Case({f"{file}.lights.yaml": at("2107", f", set: {value}") for file in "ab"})
        for value, name in SETS.items()
    },
    "an address of nought": Case({"a.lights.yaml": at("0")}, ("1:45 address-out-of-range",)),
    "an address one too high": Case({"a.lights.yaml": at("10240")}, ("1:45 address-out-of-range",)),
    "sets that are lists": Case(
        {f"{file}.lights.yaml": at("2107", ", set: [a, [b]]") for file in "ab"},
        ("1:56 wrong-shape", "b.lights.yaml:1:56 wrong-shape"),
    ),
    "a set that is nothing beside one that is sound": Case(
        {"a.lights.yaml": at("2107", ", set: ''"), "b.lights.yaml": at("2107", ", set: x")}, ("1:56 wrong-shape",)
    ),
    "200 plans on one address": Case(
        {f"p{n:03}.lights.yaml": at("2107") for n in range(200)},
        (
            "p000.lights.yaml:1:45 shared-address",
            "p001.lights.yaml:1:45 shared-address",
            "p002.lights.yaml:1:45 shared-address",
            "p003.lights.yaml:1:45 shared-address",
        ),
        status=0,
        total=200,
        seconds=5,
    ),
    "a bomb among plans": Case(
        {"a.lights.yaml": BOMB, **{f"p{n}.lights.yaml": PLAN for n in range(20)}},
        ("1:1 missing-key", "1:1 missing-key", "1:1 missing-key", "1:1 missing-key"),
        total=118,
    ),
    "a blob among plans": Case(
        {"a.lights.yaml": b"\x00\xff" * 900_000, "b.lights.yaml": BURNING},
        ("1:1 unsupported-yaml", "b.lights.yaml:7:21 unprotected-led"),
    ),
}
