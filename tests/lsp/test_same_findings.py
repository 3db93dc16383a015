"""What the server says of the example club is what the command says of it, place by place and word by word."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest

from command import Command, lay
from conversation import Conversation, conversation
from said import Said, by_command, by_server

CLUB = Path(__file__).parents[2] / "examples"
ENCODINGS: dict[str, Any] = {"general": {"positionEncodings": ["utf-32"]}}
PULL = {"textDocument": {"diagnostic": {}}, **ENCODINGS}
ASTRAL = """\
vehicle: {name: 𝔏ocomotive Ω}
supply: {track: 14.5 V}
decoder: {common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
lamps:
  lamp 𝔏: {led: {colour: 𝔏𝔏 Ω, forward-voltage: 3.0 V, maximum-current: 20 mA}}  # lampwright: allow unwired-lamp -- 𝔏
outputs: {white: {circuit: [lamp 𝔏, 𝔏𝔏]}}
keys: {}
"""


def named(talk: Conversation) -> Callable[[str], str]:
    """What a file is called from the client's folder."""
    return lambda uri: Path(unquote(urlsplit(uri).path)).relative_to(talk.folder).as_posix()


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
        assert (
            sorted(said for each in reports for said in by_server(named(talk), each["uri"], each["items"])) == expected
        )
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
            each
            for uri in uris
            for each in by_server(named(talk), uri, talk.about("textDocument/diagnostic", uri)["items"])
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
            waited += by_server(named(talk), sent["uri"], sent["diagnostics"])
        assert sorted(waited) == expected
