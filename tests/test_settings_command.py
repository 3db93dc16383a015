"""`lampwright settings`: what governs a file and where it was written; and mistakes in the settings themselves."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from command import PLAN, SPARE, Command, lay
from lampwright.model.settings import Margins, Settings
from lampwright.plan.settings import Settings as WrittenSettings
from lampwright.rules import RULES

FULL = """\
lampwright: 1
supply: {track: 13 V to 16 V}
resistors:
  series: E24
  tolerance: 1 %
  rating: 1/4 W
margins:
  output-current: 80 %
  resistor-power: 60 %
keys: {F0: Headlamps, F12: Cab}
levels: {unwired-lamp: ignore, key-off-convention: note}
inside: 35 °C
exclude: [attic/, "*.old.lights.yaml"]
order: {spares: 10 %}
"""
PRACTICE = "default (common practice)"


def settings(command: Command, path: str = ".") -> dict[str, dict[str, Any]]:
    outcome = command("settings", path, "--format", "json")
    return {each["name"]: each for each in outcome.json["settings"]}


def origins(command: Command, path: str = ".") -> dict[str, tuple[str | None, str]]:
    """What each setting is, and where it comes from, as it is printed; levels that are as usual left out."""
    rows = [line.split("  ", 1) for line in command("settings", path).out.splitlines()[1:-1]]
    cells = {name: [cell.strip() for cell in rest.split("  ") if cell.strip()] for name, rest in rows}
    return {name: (said, origin) for name, (said, origin) in cells.items()}


def test_what_is_written_has_its_place(command: Command) -> None:
    lay({"club/lampwright.yaml": FULL, "club/fleet/a.lights.yaml": PLAN})
    at = "club/lampwright.yaml"
    assert origins(command, "club/fleet/a.lights.yaml") == {
        "supply.track": ("13 V to 16 V", f"{at}:2"),
        "supply.common": ("-", "default (nothing)"),
        "resistors.series": ("E24", f"{at}:4"),
        "resistors.tolerance": ("1 %", f"{at}:5"),
        "resistors.rating": ("1/4 W", f"{at}:6"),
        "margins.output-current": ("80 %", f"{at}:8"),
        "margins.lamp-current": ("90 %", PRACTICE),
        "margins.resistor-power": ("60 %", f"{at}:9"),
        "keys.F0": ("Headlamps", f"{at}:10"),
        "keys.F12": ("Cab", f"{at}:10"),
        "inside": ("35 °C", f"{at}:12"),
        "meter": ("2 %", PRACTICE),
        "exclude": ("attic/, *.old.lights.yaml", f"{at}:13"),
        "order.spares": ("10 %", f"{at}:14"),
        "levels.unwired-lamp": ("ignore", f"{at}:11"),
        "levels.key-off-convention": ("note", f"{at}:11"),
    }
    first, *_, last = command("settings", "club/fleet/a.lights.yaml").out.splitlines()
    assert first == "club/fleet/a.lights.yaml is governed by club/lampwright.yaml"
    assert last.startswith("levels of ")


def test_without_settings_everything_is_a_default(command: Command) -> None:
    lay({"a.lights.yaml": PLAN})
    outcome = command("settings", "a.lights.yaml", "--format", "json")
    assert (outcome.status, outcome.err, outcome.json["settings-file"]) == (0, "", None)
    found = settings(command)
    assert {each["from"] for each in found.values()} == {None}
    assert all(each["default"].startswith("default (") for each in found.values())
    margins = Margins()
    assert found["margins.output-current"]["value"] == margins.output_current
    assert found["margins.lamp-current"]["value"] == margins.lamp_current
    assert found["margins.resistor-power"]["value"] == margins.resistor_power
    assert found["inside"]["value"]["usual"] == Settings().inside.usual
    assert {name for name in found if name.startswith("levels.")} == {f"levels.{rule.name}" for rule in RULES}
    for rule in RULES:
        assert found[f"levels.{rule.name}"]["value"] == rule.level.word


def test_json_has_the_place_and_the_value_in_si(command: Command) -> None:
    lay({"lampwright.yaml": FULL})
    found = settings(command)
    assert found["supply.track"] == {
        "name": "supply.track",
        "value": {"lowest": 13.0, "usual": 14.5, "highest": 16.0},
        "text": "13 V to 16 V",
        "from": {"file": "lampwright.yaml", "line": 2, "column": 10},
        "default": None,
    }
    assert found["resistors.rating"]["value"] == 0.25
    assert found["margins.output-current"]["value"] == 0.8
    assert found["exclude"]["value"] == ["attic/", "*.old.lights.yaml"]


@pytest.mark.parametrize(
    ("text", "name", "said", "line"),
    [
        ("resistors: E6\n", "resistors.series", "E6", 1),
        ("\ufeff# x\r\nresistors: {series: 'E96'}\r\n", "resistors.series", "E96", 2),
        (
            "supply: {track: {lowest: 13 V, usual: 14 V, highest: 16 V}}\n",
            "supply.track",
            "13 V to 16 V, usually 14 V",
            1,
        ),
        ("supply:\n  common: 12 V\n", "supply.common", "12 V", 2),
        ("exclude: []\n", "exclude", None, 1),
    ],
)
def test_each_way_of_writing_is_found(command: Command, text: str, name: str, said: str | None, line: int) -> None:
    lay({"lampwright.yaml": text})
    found = settings(command)[name]
    assert (found["text"], found["from"]["line"], found["default"]) == (said, line, None)


def test_every_setting_that_can_be_written_is_printed(command: Command) -> None:
    lay({"lampwright.yaml": FULL})
    printed = {name.partition(".")[0] for name in settings(command)}
    assert printed == set(WrittenSettings.names()) - {"lampwright"}


# --- The nearest file -------------------------------------------------------------------------------------------------


def test_the_nearest_file_governs_and_nothing_is_merged(command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    lay(
        {
            "lampwright.yaml": FULL,
            "guests/lampwright.yaml": "inside: 30 °C\n",
            "guests/fleet/a.lights.yaml": PLAN,
            "b.lights.yaml": PLAN,
        }
    )
    for path in ("guests", "guests/fleet", "guests/fleet/a.lights.yaml", "guests/lampwright.yaml"):
        found = origins(command, path)
        assert found.pop("inside") == ("30 °C", "guests/lampwright.yaml:1")
        # Not even what the file above says and this one does not.
        assert all(origin.startswith("default") for _, origin in found.values())
        assert found["keys"] == ("-", "default (nothing)")
    assert origins(command, "b.lights.yaml")["inside"] == ("35 °C", "lampwright.yaml:12")
    monkeypatch.chdir("guests/fleet")
    assert origins(command)["inside"] == ("30 °C", "../lampwright.yaml:1")


def test_a_link_is_governed_from_where_it_leads(command: Command) -> None:
    lay({"club/lampwright.yaml": FULL, "club/a.lights.yaml": PLAN, "desk/notes.txt": ""})
    Path("desk/link.lights.yaml").symlink_to("../club/a.lights.yaml")
    assert origins(command, "desk/link.lights.yaml")["inside"] == ("35 °C", "club/lampwright.yaml:12")


# --- Mistakes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "rule", "message"),
    [
        ("margin: {lamp-current: 90 %}\n", "unknown-key", '"margin" is no key of this place; did you mean "margins"?'),
        ("margins: {lamp-curent: 90 %}\n", "unknown-key", '"lamp-curent" is no key of this place; did you mean "lamp-current"?'),
        ("resistors: {seris: E12}\n", "unknown-key", '"seris" is no key of this place; did you mean "series"?'),
        ("resistors: E13\n", "unknown-name", '"E13" is no series of IEC 60063'),
        ("levels: {unwird-lamp: note}\n", "unknown-name", 'there is no rule "unwird-lamp"; did you mean "unwired-lamp"?'),
        ("levels: {unwired-lamp: warn}\n", "unknown-name", '"warn" is no level; did you mean "warning"?'),
        ("margins: {lamp-current: 90}\n", "missing-unit", '"90" has no unit; did you mean "90 %"?'),
        ("inside: 40 C\n", "misspelt-unit", '"40 C" is not how this unit is written; did you mean "40 °C"?'),
        ("supply: {track: 14.5 mA}\n", "wrong-unit", '"14.5 mA" is a current; a voltage belongs here'),
        ("exclude: attic/\n", "wrong-shape", 'a list belongs here, not "attic/"; did you mean [attic/]?'),
        ("inside: 40 °C\ninside: 30 °C\n", "duplicate-key", ""),
    ],
)  # fmt: skip
def test_settings_get_the_care_that_plans_get(command: Command, text: str, rule: str, message: str) -> None:
    lay({"lampwright.yaml": text, "a.lights.yaml": PLAN})
    (found,) = command.json("a.lights.yaml").json["findings"]
    assert (found["rule"], found["file"]) == (rule, "lampwright.yaml")
    assert found["message"].startswith(message)
    outcome = command("settings")
    assert outcome.status == 1
    assert outcome.err.splitlines() == [
        f"lampwright.yaml:{found['line']}:{found['column']}: error: {found['message']} [{rule}]"
    ]


def test_what_cannot_be_read_is_said_to_be_a_default(command: Command) -> None:
    lay({"lampwright.yaml": "margins: {lamp-current: 90, output-current: 80 %}\nsupply: {track: 14}\n"})
    found = origins(command)
    assert found["margins.lamp-current"] == ("90 %", f"{PRACTICE}, since line 1 cannot be read")
    assert found["margins.output-current"] == ("80 %", "lampwright.yaml:1")
    assert found["supply.track"] == ("-", "cannot be read, so that what depends on it is not decided")
    assert settings(command)["supply.track"]["from"] is None


@pytest.mark.parametrize("path", ["nowhere.lights.yaml", "nowhere", ""])
def test_a_path_that_is_not_there_is_one_line(command: Command, path: str) -> None:
    outcome = command("settings", path)
    assert (outcome.status, outcome.out, outcome.err.count("\n")) == (2, "", 1)
    assert outcome.err.endswith("there is no such file\n")


def test_settings_that_cannot_be_read_are_one_line(command: Command) -> None:
    Path("lampwright.yaml").symlink_to("/etc/hostname")
    Path("lampwright.yaml").unlink()
    lay({"lampwright.yaml": b"\xff\xfe"})
    outcome = command("settings")
    assert (outcome.status, len(outcome.err.splitlines())) == (1, 1)


def test_a_terminal_is_not_obeyed(command: Command) -> None:
    lay({"lampwright.yaml": 'keys: {F0: "\\e[31m\\u202e"}\n', "a.lights.yaml": SPARE})
    outcome = command("settings")
    assert "\x1b" not in outcome.out
    assert "\\u001b[31m\\u202e" in outcome.out
