"""What the server says of the example club is what the command says of it, place by place and word by word."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import unquote, urlsplit

import pytest

from command import Command, lay
from conversation import Conversation, conversation

CLUB = Path(__file__).parents[2] / "examples"
ENCODINGS: dict[str, Any] = {"general": {"positionEncodings": ["utf-32"]}}
PULL = {"textDocument": {"diagnostic": {}}, **ENCODINGS}
LEVELS = {1: "error", 2: "warning", 3: "note"}
ASTRAL = """\
vehicle: {name: 𝔏ocomotive Ω}
supply: {track: 14.5 V}
decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
lamps:
  lamp 𝔏: {led: {colour: 𝔏𝔏 Ω, forward-voltage: 3.0 V, maximum-current: 20 mA}}  # lampwright: allow unwired-lamp -- 𝔏
outputs: {white: {circuit: [lamp 𝔏, 𝔏𝔏]}}
keys: {}
"""


class Said(NamedTuple):
    """A finding, whoever says so."""

    file: str
    start: tuple[int, int]
    end: tuple[int, int]
    rule: str
    level: str
    message: str
    fingerprint: str
    notes: tuple[tuple[str, tuple[int, int], tuple[int, int], str], ...]


def by_command(report: Mapping[str, Any]) -> list[Said]:
    def place(item: Mapping[str, Any]) -> tuple[tuple[int, int], tuple[int, int]]:
        return (item["line"] - 1, item["column"] - 1), (item["end-line"] - 1, item["end-column"] - 1)

    return sorted(
        Said(
            each["file"], *place(each), each["rule"], each["level"], each["message"], each["fingerprint"],
            tuple((note["file"], *place(note), note["message"]) for note in each["related"]),
        )
        for each in report["findings"]
        if each["allowed"] is None
    )  # fmt: skip


def by_server(talk: Conversation, uri: str, items: list[Mapping[str, Any]]) -> list[Said]:
    def place(item: Mapping[str, Any]) -> tuple[tuple[int, int], tuple[int, int]]:
        start, end = ((item["range"][name]["line"], item["range"][name]["character"]) for name in ("start", "end"))
        return start, end

    def name(uri: str) -> str:
        return Path(unquote(urlsplit(uri).path)).relative_to(talk.folder).as_posix()

    return [
        Said(
            name(uri), *place(item), item["code"], LEVELS[item["severity"]], item["message"], item["data"],
            tuple(
                (name(note["location"]["uri"]), *place(note["location"]), note["message"])
                for note in item.get("relatedInformation", ())
            ),
        )
        for item in items
    ]  # fmt: skip


@pytest.fixture
def club(tmp_path: Path) -> Path:
    folder = tmp_path / "the club's µ-folder"
    shutil.copytree(CLUB, folder)
    lay({"vehicles/astral.lights.yaml": ASTRAL, "vehicles/crlf.lights.yaml": ASTRAL.replace("\n", "\r\n")}, folder)
    lay({"vehicles/mark.lights.yaml": b"\xef\xbb\xbf" + ASTRAL.encode()}, folder)
    return folder


def files_of(club: Path) -> list[Path]:
    ends = (".lights.yaml", ".decoder.yaml", ".parts.yaml", "lampwright.yaml")
    return sorted(path for path in club.rglob("*.yaml") if path.name.endswith(ends))


def test_of_files_that_are_not_open(club: Path, command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(club)
    expected = by_command(command.json().json)
    assert len(expected) > 60
    with conversation(club) as talk:
        talk.initialize(PULL)
        reports = talk.ask("workspace/diagnostic", {"previousResultIds": []})["items"]
        assert sorted(said for each in reports for said in by_server(talk, each["uri"], each["items"])) == expected
        # What lies in a folder of its own settings says so for itself.
        assert len({each["uri"] for each in reports}) == len(reports) == len(files_of(club))


def test_of_open_files(club: Path, command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(club)
    expected = by_command(command.json().json)
    with conversation(club) as talk:
        talk.initialize(PULL)
        names = [path.relative_to(club).as_posix() for path in files_of(club)]
        # Editors keep line ends, and no byte order mark.
        uris = [talk.open(name, (club / name).read_bytes().decode("utf-8-sig", "replace")) for name in names]
        said = [
            each for uri in uris for each in by_server(talk, uri, talk.about("textDocument/diagnostic", uri)["items"])
        ]
        assert sorted(said) == expected
        assert talk.ask("workspace/diagnostic", {"previousResultIds": []})["items"] == []


def test_of_a_client_that_does_not_ask(club: Path, command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(club)
    expected = by_command(command.json().json)
    with conversation(club) as talk:
        talk.initialize(ENCODINGS)
        waited: list[Said] = []
        for _ in {said.file for said in expected}:
            sent = talk.note("textDocument/publishDiagnostics")
            waited += by_server(talk, sent["uri"], sent["diagnostics"])
        assert sorted(waited) == expected
