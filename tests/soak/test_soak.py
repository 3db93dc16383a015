"""A short life of the server, and a few inputs of the fuzzer through it, always the same; `run.py` is for more."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

if not sys.platform.startswith("linux"):
    pytest.skip("what the server takes is read from /proc", allow_module_level=True)

for folder in ("fuzz", "hostile"):
    sys.path.append(str(Path(__file__).parents[1] / folder))

from soak_inputs import MOST_MEGABYTES, pass_through  # noqa: E402
from soak_profiles import UNITS, WAYS, profile_of  # noqa: E402
from soak_session import soak  # noqa: E402
from soak_units import column_of, offset_of, place_of  # noqa: E402


@pytest.mark.parametrize("seed", [4, 10])
def test_a_short_life_is_without_fault(tmp_path: Path, seed: int) -> None:
    outcome = soak(200, seed, tmp_path, every=200)
    assert outcome.faults == []
    assert sum(outcome.compared) > 30


def test_inputs_of_the_fuzzer_are_answered(tmp_path: Path) -> None:
    passed = pass_through(30, 7, tmp_path)
    assert passed.faults == []
    assert 0 < passed.megabytes < MOST_MEGABYTES


def test_neighbouring_seeds_are_different_clients() -> None:
    profiles = [profile_of(seed) for seed in range(12)]
    assert {(each.way, each.units) for each in profiles} == {(way, units) for way in WAYS for units in UNITS}
    assert profile_of(3) == profile_of(3)


@pytest.mark.parametrize("units", UNITS)
def test_places_are_found_again(units: str) -> None:
    text = "a𝔏é\r\nΩx\n\r b"
    offsets = [at for at in range(len(text) + 1) if text[at - 1 : at + 1] != "\r\n" or not at]
    assert [offset_of(text, place_of(text, at, units), units) for at in offsets] == offsets


def test_a_place_within_a_character_is_none() -> None:
    assert column_of("𝔏a", 1, "utf-16") == -1
    assert column_of("𝔏a", 4, "utf-8") == 1
    assert column_of("a", 2, "utf-32") == -1
