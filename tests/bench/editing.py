"""The language server against `yaml-language-server` with our JSON Schema: start, keystrokes, memory; writes `EDITING.md`.

Run by hand, on a quiet machine with Node.js: `python tests/bench/editing.py`. The status is 1 if a limit does not hold.
A keystroke is a change of one figure, sent as the whole text, until the findings of the new text are there.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from club import make_club
from measuring import ROOT, circumstances, environment, install, table, versions

from conversation import Conversation
from lampwright.engine import check
from lampwright.files import Files
from lampwright.settings import Governance

RESULTS = Path(__file__).with_name("EDITING.md")
PEER = "yaml-language-server"
PEER_DELAY = 0.2
"""Seconds that the peer waits after each change before it looks: `validationDelayMs` in its source."""

STARTS, KEYSTROKES, LONG_KEYSTROKES = 7, 200, 40
PLANS = 1000
LINES, LONG = 300, 5000
MEGABYTES = 200


@dataclass(frozen=True, slots=True)
class Limit:
    """A figure, what it may be at most, and both in words."""

    what: str
    figure: float
    most: float
    unit: str

    @property
    def row(self) -> tuple[str, ...]:
        return (
            self.what,
            f"{self.figure:.3g}",
            f"{self.most:.3g}",
            self.unit,
            "yes" if self.figure <= self.most else "NO",
        )


def main() -> int:
    load = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="lampwright-bench-") as name:
        folder = Path(name)
        programs = install(folder / "programs")
        ours = (str(programs / "lampwright"), "server")
        peer = _install_peer(folder / "peer")
        found = {**versions(programs), PEER: _peer_version(folder / "peer")}
        rows, limits = _measured(folder, ours, peer)
    text = "\n".join(_report(rows, limits, found, load))
    RESULTS.write_text(text + "\n", "utf-8")
    sys.stdout.write(text + "\n")
    return 0 if all(limit.figure <= limit.most for limit in limits) else 1


def _install_peer(folder: Path) -> tuple[str, ...]:
    folder.mkdir()
    line = ["npm", "install", "--silent", "--no-audit", "--no-fund", PEER]
    subprocess.run(line, cwd=folder, check=True, capture_output=True)
    return "node", str(folder / "node_modules" / ".bin" / PEER), "--stdio"


def _peer_version(folder: Path) -> str:
    line = ["node", "-p", f"require('./node_modules/{PEER}/package.json').version"]
    return subprocess.run(line, cwd=folder, check=True, capture_output=True, text=True).stdout.strip()


# --- What is measured -------------------------------------------------------------------------------------------------


def _measured(folder: Path, ours: tuple[str, ...], peer: tuple[str, ...]) -> tuple[list[tuple[str, ...]], list[Limit]]:
    few, many = folder / "few", folder / "many"
    for club, plans in ((few, 10), (many, PLANS)):
        club.mkdir()
        make_club(club, plans)
    plan = make_plan(few, LINES)
    long = make_plan(few, LONG)
    there = make_plan(many, LINES)
    starts: dict[str, list[float]] = {"ours": [], "peer": []}
    for _ in range(STARTS):
        starts["ours"].append(_start(ours, plan))
        starts["peer"].append(_start(peer, plan))
    own, theirs = _keystrokes(ours, plan, KEYSTROKES), _keystrokes(peer, plan, KEYSTROKES)
    own_long, theirs_long = _keystrokes(ours, long, LONG_KEYSTROKES), _keystrokes(peer, long, LONG_KEYSTROKES)
    crowded, megabytes = _crowded(ours, there)
    alone, alone_long = _in_process(plan, KEYSTROKES), _in_process(long, LONG_KEYSTROKES)
    rows = [
        ("start to first findings, ours", *_shown(starts["ours"])),
        (f"start to first findings, {PEER}", *_shown(starts["peer"])),
        (f"keystroke, {LINES} lines, ours", *_shown(own)),
        (f"keystroke, {LINES} lines, ours, {PLANS} plans in the workspace", *_shown(crowded)),
        (f"check(text) in process, {LINES} lines", *_shown(alone)),
        (f"keystroke, {LINES} lines, {PEER}", *_shown(theirs)),
        (f"keystroke, {LINES} lines, {PEER}, without its delay", *_shown([each - PEER_DELAY for each in theirs])),
        (f"keystroke, {LONG} lines, ours", *_shown(own_long)),
        (f"check(text) in process, {LONG} lines", *_shown(alone_long)),
        (f"keystroke, {LONG} lines, {PEER}", *_shown(theirs_long)),
        (f"keystroke, {LONG} lines, {PEER}, without its delay", *_shown([each - PEER_DELAY for each in theirs_long])),
    ]
    limits = [
        Limit(
            "start to first findings, of the peer's", _median(starts["ours"]) / _median(starts["peer"]), 1.0, "times"
        ),
        Limit(f"keystroke, {LINES} lines, p95", 1000 * _p95(own), 10, "ms"),
        Limit(f"keystroke, {LINES} lines, of check(text), p95", _p95(own) / _p95(alone), 3, "times"),
        Limit(f"keystroke, {LONG} lines, p95", 1000 * _p95(own_long), 120, "ms"),
        Limit(f"keystroke with {PLANS} plans, of one with 10", _median(crowded) / _median(own), 1.25, "times"),
        Limit(f"memory with {PLANS} plans", megabytes, MEGABYTES, "MB"),
    ]
    return rows, limits


def make_plan(club: Path, lines: int) -> Path:
    """A plan of about `lines` lines in block style, with as many outputs, lamps and keys as that makes; its path."""
    outputs = max(4, lines // 13)
    text = [
        f"# yaml-language-server: $schema={(ROOT / 'schemas' / 'lighting-plan.schema.json').as_uri()}",
        "lighting-plan: 1",
        "vehicle: {name: The long one, scale: HO, address: 2112, shell: plastic}",
        "supply: {track: 14.5 V}",
        f"decoder: long-{lines}.decoder.yaml",
        "lamps:",
    ]
    for number in range(outputs):
        text += [
            f"  lamp {number}:",
            "    led: {forward-voltage: 2.8 V to 3.2 V, current: 8 mA, maximum-current: 20 mA}",
        ]
    text.append("outputs:")
    for number in range(outputs):
        text += [f"  aux{number + 1}:", "    circuit:", "    - 1.2 kohm 1/4 W", f"    - lamp {number}"]
    text.append("keys:")
    share = -(-outputs // 20)
    for key in range(20):
        mine = range(key * share, min(outputs, (key + 1) * share))
        if mine:
            text += [f"  F{key}:", f"    label: Key {key}", "    turns-on:"]
        for number in mine:
            text += [f"    - output: aux{number + 1}", f"      when: {'forward' if number % 2 else 'reverse'}"]
    text += [f"# Remark {number}." for number in range(lines - len(text))]
    sheet = [
        "decoder-sheet: 1",
        "name: The long sheet",
        "common: {drop: 1.4 V}",
        "limits: {outputs-together: 50 A, whole-decoder: 60 A}",
        "outputs:",
        *(f"  aux{number + 1}: {{number: {number + 1}, limit: 100 mA}}" for number in range(outputs)),
        "keys: {highest: 28}",
    ]
    (club / f"long-{lines}.decoder.yaml").write_text("\n".join(sheet) + "\n", "utf-8")
    path = club / f"long-{lines}.lights.yaml"
    path.write_text("\n".join(text) + "\n", "utf-8")
    return path


class _Editor(Conversation):
    """A client that has a plan open. It asks where the server has that, else it is told."""

    def __init__(self, folder: Path, command: tuple[str, ...]) -> None:
        super().__init__(folder, command, environment())
        self.versions = count(1)
        said = self.initialize()
        self.asks = bool(said["capabilities"].get("diagnosticProvider"))

    def reply(self, message: dict[str, Any]) -> object:
        """Nothing is set where a server asks for its settings."""
        return [None for _ in message["params"]["items"]] if message["method"] == "workspace/configuration" else None

    def open(self, path: Path, text: str) -> None:
        document = {"uri": path.as_uri(), "languageId": "yaml", "version": next(self.versions), "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})
        self.wait(path)

    def type(self, path: Path, text: str) -> float:
        """Seconds until the findings of `text` are there."""
        document = {"uri": path.as_uri(), "version": next(self.versions)}
        start = time.perf_counter()
        self.tell("textDocument/didChange", {"textDocument": document, "contentChanges": [{"text": text}]})
        self.wait(path)
        return time.perf_counter() - start

    def wait(self, path: Path) -> None:
        if self.asks:
            self.ask("textDocument/diagnostic", {"textDocument": {"uri": path.as_uri()}})
            return
        while self.note("textDocument/publishDiagnostics")["uri"] != path.as_uri():
            pass


def _start(command: tuple[str, ...], plan: Path) -> float:
    start = time.perf_counter()
    editor = _Editor(plan.parent, command)
    editor.open(plan, plan.read_text("utf-8"))
    seconds = time.perf_counter() - start
    _end(editor)
    return seconds


def _end(editor: _Editor) -> None:
    editor.ask("shutdown")
    editor.tell("exit")
    editor.process.wait(20)


def _texts(plan: Path) -> Iterator[str]:
    """The text of `plan` again and again, each time with another value of the first resistor."""
    text = plan.read_text("utf-8")
    for number in count():
        yield text.replace("1.2 kohm", f"1.{number * 37 % 997 + 1000} kohm", 1)


def _keystrokes(command: tuple[str, ...], plan: Path, times: int) -> list[float]:
    editor = _Editor(plan.parent, command)
    seconds = _typed(editor, plan, times)
    _end(editor)
    return seconds


def _typed(editor: _Editor, plan: Path, times: int) -> list[float]:
    texts = _texts(plan)
    editor.open(plan, next(texts))
    # The first few load what is loaded once.
    return [editor.type(plan, next(texts)) for _ in range(times + 5)][5:]


def _crowded(command: tuple[str, ...], plan: Path) -> tuple[list[float], float]:
    """Keystrokes with many plans in the workspace, all of which were judged; the megabytes that the server has then."""
    editor = _Editor(plan.parent, command)
    reports = editor.ask("workspace/diagnostic", {"previousResultIds": []})["items"]
    assert len(reports) > PLANS, len(reports)
    seconds = _typed(editor, plan, KEYSTROKES)
    status = Path(f"/proc/{editor.process.pid}/status").read_text("ascii")
    kilobytes = next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))
    _end(editor)
    return seconds, int(kilobytes) / 1000


def _in_process(plan: Path, times: int) -> list[float]:
    files = Files(plan.parent)
    governance = Governance(files)
    texts, seconds = _texts(plan), []
    for _ in range(times + 5):
        source = files.given(plan, next(texts).encode())
        start = time.perf_counter()
        check(source, governance.settings(plan), files.load, govern=lambda each: governance.settings(files.path(each)))
        seconds.append(time.perf_counter() - start)
    return seconds[5:]


# --- What is said of it -----------------------------------------------------------------------------------------------


def _median(seconds: list[float]) -> float:
    return statistics.median(seconds)


def _p95(seconds: list[float]) -> float:
    return sorted(seconds)[int(0.95 * (len(seconds) - 1))]


def _shown(seconds: list[float]) -> tuple[str, ...]:
    return tuple(f"{1000 * each:.1f}" for each in (_median(seconds), _p95(seconds)))


def _report(rows: list[tuple[str, ...]], limits: list[Limit], found: dict[str, str], load: float) -> Iterator[str]:
    yield "# Editing"
    yield ""
    yield "Written by `tests/bench/editing.py`. Our server waits for nothing after a change: the client asks, and is answered."
    yield f"{PEER} waits {1000 * PEER_DELAY:.0f} ms before it looks, and validates against our JSON Schema."
    yield "No text comes twice."
    yield ""
    shown = {"keystrokes": f"{KEYSTROKES}, in the long plan {LONG_KEYSTROKES}", "starts": str(STARTS)}
    yield from table(("what", "with"), circumstances(found, load, **shown))
    yield ""
    yield from table(("what", "median ms", "p95 ms"), rows)
    yield ""
    yield from table(("what", "figure", "at most", "unit", "holds"), [limit.row for limit in limits])


if __name__ == "__main__":
    sys.exit(main())
