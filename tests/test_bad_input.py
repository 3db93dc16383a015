"""Texts that are no plan: each gives findings with places, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from command import PLAN, REFERRING, SHEET, Command, Outcome, lay
from report_format import hold


def checked(command: Command, content: bytes | str, name: str = "a.lights.yaml") -> Outcome:
    """The report on one file, which is as the plan language's page wants it."""
    lay({name: content})
    outcome = command.json(name)
    assert outcome.err == ""
    assert outcome.status in {0, 1}
    hold(outcome.json, Path())
    assert "Traceback" not in command("check", name).out
    return outcome


def places(outcome: Outcome) -> list[tuple[int, int, str]]:
    return [(finding["line"], finding["column"], finding["rule"]) for finding in outcome.json["findings"]]


# --- Texts that are no plan -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", [(1, 1, "missing-key")]),
        (b"# only a word\n", [(2, 1, "missing-key")]),
        (b"this is : : not [ yaml", [(1, 11, "syntax-error")]),
        (b"\x89PNG\r\n\x1a\n\x00\x00", [(1, 1, "unsupported-yaml")]),
        (PLAN.encode("utf-16"), [(1, 1, "unsupported-yaml")]),
        (PLAN.encode("utf-16-le"), [(1, 1, "unsupported-yaml")]),
        (PLAN.encode("utf-16-be"), [(1, 1, "unsupported-yaml")]),
        (PLAN.replace("Quarry", "Brüche").encode("utf-16"), [(1, 1, "unsupported-yaml")]),
        (b"\xff\xfe", [(1, 1, "unsupported-yaml")]),
        (PLAN.replace("Quarry", "Brüche").encode("latin-1"), [(1, 19, "unsupported-yaml")]),
        (PLAN.replace("Quarry", "Brüche @").encode().replace(b"@", b"\xff"), [(1, 24, "unsupported-yaml")]),
        (PLAN.replace("Quarry", "@").encode().replace(b"@", b"\xed\xa0\x80"), [(1, 17, "unsupported-yaml")]),
        (PLAN.encode() + b"\xe2\x82", [(10, 1, "unsupported-yaml")]),
        (PLAN.replace("Quarry", "@").encode().replace(b"@", b"\x00"), [(1, 17, "syntax-error")]),
        (PLAN.replace("Quarry", "Qu\x1b arry").encode(), [(1, 19, "syntax-error")]),
        (b"\x00" * 1000, [(1, 1, "syntax-error")]),
        (b"\xef\xbb\xbf" + PLAN.encode(), []),
        (b"\xef\xbb\xbf\xef\xbb\xbf" + PLAN.encode(), [(1, 1, "syntax-error")]),
        (PLAN.replace("\n", "\r\n").encode(), []),
        (PLAN.replace("\n", "\r").encode(), []),
        (PLAN.replace("Quarry", "Quarry \u202e \u2028 \U0001f686").encode(), []),
    ],
)
def test_a_text_that_cannot_be_read_says_where_and_why(
    command: Command, content: bytes, expected: list[tuple[int, int, str]]
) -> None:
    outcome = checked(command, content)
    assert places(outcome) == expected
    assert outcome.status == (1 if expected else 0)
    assert places(command.json("-", stdin=content)) == expected


@pytest.mark.parametrize("kind", ["a.lights.yaml", "a.decoder.yaml", "a.parts.yaml", "lampwright.yaml"])
@pytest.mark.parametrize(
    "text",
    [
        "",
        "7",
        "a",
        "[]",
        "{}",
        "- a",
        "? a",
        "---",
        "...",
        "%YAML 1.1",
        "\t",
        "\n\n",
        "!!",
        "&a",
        "*a",
        "'",
        "|",
        "{",
        "]",
        ":",
        "\\",
    ],
)
def test_every_kind_of_file_takes_every_scrap(command: Command, kind: str, text: str) -> None:
    checked(command, text, kind)


@pytest.mark.parametrize(
    ("reference", "message"),
    [
        ('"\\0.decoder.yaml"', "cannot be read: there is no such file"),
        ('"../\\0/x.decoder.yaml"', "cannot be read: there is no such file"),
        ("b.lights.yaml", '"b.lights.yaml" cannot be read: its name must end in .decoder.yaml'),
        ("a.lights.yaml", '"a.lights.yaml" cannot be read: its name must end in .decoder.yaml'),
        ("club.parts.yaml", '"club.parts.yaml" cannot be read: its name must end in .decoder.yaml'),
        ("bench-six", '"bench-six" cannot be read: its name must end in .decoder.yaml'),
        ("bench-six.decoder.yaml/", '"bench-six.decoder.yaml/" cannot be read: its name must end in .decoder.yaml'),
        (".decoder.yaml", '".decoder.yaml" cannot be read: its name must end in .decoder.yaml'),
        ("nowhere.decoder.yaml", '"nowhere.decoder.yaml" cannot be read: there is no such file'),
        ("BENCH-SIX.decoder.yaml", '"BENCH-SIX.decoder.yaml" cannot be read: there is no such file'),
        ("x" * 300 + ".decoder.yaml", f'"{"x" * 59}…" cannot be read: file name too long'),
        ("a\u202e.decoder.yaml", '"a\u202e.decoder.yaml" cannot be read: there is no such file'),
    ],
)
def test_a_reference_that_leads_nowhere_says_why(command: Command, reference: str, message: str) -> None:
    lay({"b.lights.yaml": PLAN, "bench-six.decoder.yaml": SHEET})
    outcome = checked(command, REFERRING.replace("bench-six.decoder.yaml", reference))
    (found,) = [finding for finding in outcome.json["findings"] if finding["rule"] == "unreadable-file"]
    assert message in found["message"]


def test_two_references_that_lead_nowhere_are_two_findings(command: Command) -> None:
    plan = REFERRING.replace(
        "bench-six.decoder.yaml", "x.decoder.yaml\nparts: [y.parts.yaml, z.parts.yaml, y.parts.yaml]"
    )
    found = [
        finding["message"]
        for finding in checked(command, plan).json["findings"]
        if finding["rule"] == "unreadable-file"
    ]
    assert [message.partition('" ')[0] for message in found] == [
        '"x.decoder.yaml',
        '"y.parts.yaml',
        '"z.parts.yaml',
        '"y.parts.yaml',
    ]


@pytest.mark.parametrize(
    ("sheet", "rule"),
    [
        (b"\xff\xfe" + SHEET.encode("utf-16-le"), "unsupported-yaml"),
        (b"name: Br\xfcche\n", "unsupported-yaml"),
        (b"name: [", "syntax-error"),
        (b"", None),
        (b"7", "wrong-shape"),
        (PLAN.encode(), "unknown-key"),
    ],
)
def test_a_sheet_that_says_nothing_is_found_in_the_sheet(command: Command, sheet: bytes, rule: str | None) -> None:
    lay({"bench-six.decoder.yaml": sheet})
    found = {(finding["file"], finding["rule"]) for finding in checked(command, REFERRING).json["findings"]}
    assert {each for each in found if each[1] == rule} == ({("bench-six.decoder.yaml", rule)} if rule else set())
    assert {file for file, _ in found} <= {"bench-six.decoder.yaml"}


NASTY = [
    "\x1b[31mred",
    "two\nlines",
    "a\rb",
    "\u202eback",
    "\u2066",
    "\u2028",
    "\x07",
    "\x9b31m",
    "'; rm -rf",
    "%0A::error::",
    "\ufeff",
    "\U000e0001",
]


@pytest.mark.parametrize("name", NASTY)
def test_names_cannot_speak_to_the_terminal_or_break_a_line(command: Command, name: str) -> None:
    escaped = "".join(f"\\U{ord(character):08x}" for character in name)
    plan = (
        PLAN.replace("front headlamp]", f'"{escaped}"]')
        .replace("F0:", f'"{escaped}":')
        .replace("Quarry switcher 7", f'"{escaped}"')
    )
    checked(command, plan)
    for form in ("text", "json"):
        printed = command("check", "--format", form, "a.lights.yaml").out
        assert not {character for character in printed if not character.isprintable()} - {"\n"}


@pytest.mark.parametrize("name", [name for name in NASTY if "/" not in name])
def test_names_of_files_cannot_either(command: Command, name: str) -> None:
    lay({f"{name}.lights.yaml": PLAN.replace("14.5 V", "14.5"), f"{name}.txt": ""})
    outcome = command("check", f"{name}.lights.yaml", f"{name}.txt", name)
    assert (outcome.status, len(outcome.err.splitlines())) == (2, 2)
    for printed in (outcome.out, outcome.err, command.json().out):
        assert not {character for character in printed if not character.isprintable()} - {"\n"}
    assert [finding["file"] for finding in command.json().json["findings"]] == [f"{name}.lights.yaml"]
