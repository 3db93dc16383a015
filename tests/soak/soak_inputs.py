"""The inputs of the fuzzer on their way through the server: opened or changed, judged, and asked about."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from inputs import made
from soak_client import REQUEST_FAILED, Client
from soak_profiles import WAYS, Profile
from soak_questions import place

from questions import METHODS, params_of

MOST_SECONDS, MOST_MEGABYTES = 1.0, 300.0
_SHARES = {"grammar": 40, "words": 25, "bytes": 25, "faulty": 10}
_MOST_OPEN = 12
_CAPABILITIES: dict[str, Any] = {
    "textDocument": {"diagnostic": {}, "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}}}},
    "workspace": {"diagnostics": {"refreshSupport": True}, "workspaceEdit": {"documentChanges": True}},
}  # fmt: skip


@dataclass(slots=True)
class Passed:
    """What came of it: seconds are those of the server's processor time, `waited` those on the clock."""

    inputs: int = 0
    seconds: float = 0.0
    slowest: tuple[float, str, int] = (0.0, "", 0)
    waited: float = 0.0
    megabytes: float = 0.0
    faults: list[str] = field(default_factory=list)
    account: Any = None


def pass_through(count: int, seed: int, folder: Path, tells: Any = None) -> Passed:
    """So many inputs of that seed through one server; `tells` hears how it goes."""
    client = Client(folder, Profile(WAYS[0], "utf-16", _CAPABILITIES))
    passed = Passed(account=client.account)
    try:
        client.wait_for(client.question("initialize", _initial(folder)))
        client.notify("initialized", {})
        opened: dict[str, str] = {}
        for number in range(count):
            _pass(client, passed, opened, folder, seed, number)
            if tells is not None and number % 1000 == 999:
                tells(passed)
        passed.seconds = client.processor_seconds()
        client.wait_for(client.question("shutdown", None))
        client.tell("exit")
        status, complaint = client.process.wait(30), client.errors()
        passed.faults += [f"ended with status {status}: {complaint}"] if status or complaint else []
    finally:
        client.process.kill()
        client.process.communicate()
    return passed


def _initial(folder: Path) -> dict[str, Any]:
    folders = [{"uri": folder.as_uri(), "name": "inputs"}]
    return {"processId": None, "rootUri": None, "capabilities": _CAPABILITIES, "workspaceFolders": folders}


def _pass(client: Client, passed: Passed, opened: dict[str, str], folder: Path, seed: int, number: int) -> None:
    random = Random(f"server {seed} {number}")
    (kind,) = random.choices([*_SHARES], [*_SHARES.values()])
    errors = random.choice(["replace", "replace", "surrogateescape"])
    files = {name.rpartition("/")[2]: data.decode("utf-8", errors) for name, data in made(kind, seed, number).files.items()}  # fmt: skip
    uris = {name: (folder / name).as_uri() for name in files}
    for name, text in reversed(files.items()):
        _lay(client, opened, uris[name], text, number)
    uri, text = next((uris[name], text) for name, text in files.items())
    method = random.choice(METHODS)
    start, end = (place(random, text.encode("utf-8", "replace").decode(), "utf-16") for _ in range(2))
    questions = [
        ("textDocument/diagnostic", {"textDocument": {"uri": uri}}),
        (f"textDocument/{method}", params_of(method, uri, start, end)),
    ]
    for asked, params in questions:
        before, began = client.processor_seconds(), time.perf_counter()
        client.wait_for(client.question(asked, params, codes=(None, REQUEST_FAILED)))
        passed.waited = max(passed.waited, time.perf_counter() - began)
        seconds = client.processor_seconds() - before
        passed.slowest = max(passed.slowest, (seconds, f"{asked}, {kind}", number))
        if seconds > MOST_SECONDS:
            passed.faults.append(f"{kind} {number}: {asked} took {seconds:.2f} s")
    passed.inputs += 1
    passed.faults += [f"{kind} {number}: {fault}" for fault in client.account.faults]
    client.account.faults.clear()
    client.asked.clear()
    passed.megabytes = max(passed.megabytes, client.megabytes())
    if client.megabytes() > MOST_MEGABYTES:
        passed.faults.append(f"{kind} {number}: {client.megabytes():.0f} MB")


def _lay(client: Client, opened: dict[str, str], uri: str, text: str, number: int) -> None:
    """Have that text open, and not too many others."""
    if opened.get(uri) == text:
        return
    document = {"uri": uri, "version": number}
    if uri in opened:
        client.notify("textDocument/didChange", {"textDocument": document, "contentChanges": [{"text": text}]})
    else:
        client.notify("textDocument/didOpen", {"textDocument": {**document, "languageId": "yaml", "text": text}})
    opened.pop(uri, None)
    opened[uri] = text
    while len(opened) > _MOST_OPEN:
        oldest = next(iter(opened))
        del opened[oldest]
        client.notify("textDocument/didClose", {"textDocument": {"uri": oldest}})
