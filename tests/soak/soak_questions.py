"""Every question of the protocol, at places in the text, at its edges and far outside, and some that are none."""

from __future__ import annotations

import json
from random import Random
from typing import Any

from soak_client import INVALID_PARAMS, INVALID_REQUEST, REQUEST_FAILED, UNKNOWN_METHOD, Client
from soak_club import Buffer
from soak_findings import Shown
from soak_units import place_of, range_of

from questions import METHODS, params_of

HUGE = 2**31 - 1
NAMES = ("rear lamp", "x", "", "F0", "20 mA", "forward", "lamp Ω", "𝔏", "a: b", "white", "steady", "  cab   lamp ", "-", "ä" * 300)  # fmt: skip
KINDS = ("quickfix", "refactor", "refactor.extract", "refactor.rewrite", "source", "source.fixAll", "source.fixAll.lampwright", "", "x")  # fmt: skip


def place(random: Random, text: str, units: str) -> dict[str, int]:
    """Somewhere in the text; now and then beside it."""
    if random.random() < 0.08:
        line, character = (random.choice([0, 1, 7, 500, HUGE]) for _ in range(2))
        return {"line": line, "character": character}
    return place_of(text, random.randint(0, len(text)), units)


def ask(client: Client, random: Random, buffer: Buffer, units: str, shown: Shown, method: str = "") -> str:
    """Ask one of the questions about a text."""
    method = method or random.choice(METHODS)
    start, end = (place(random, buffer.text, units) for _ in range(2))
    params = params_of(method, buffer.uri, start, end if random.random() < 0.6 else start)
    if method == "rename":
        params["newName"] = random.choice(NAMES)
    if method == "references":
        params["context"]["includeDeclaration"] = random.random() < 0.5
    if method == "selectionRange":
        params["positions"] = [place(random, buffer.text, units) for _ in range(random.randint(0, 4))]
    if method == "inlayHint" and random.random() < 0.6:
        params["range"] = range_of(buffer.text, 0, len(buffer.text), units)
    if method == "codeAction":
        params["context"] = _context(random, shown.of(buffer.uri))
    # What cannot be renamed is refused in words.
    codes = (None, REQUEST_FAILED) if "ename" in method else (None,)
    return client.question(
        f"textDocument/{method}", params, uri=buffer.uri, version=buffer.version, codes=codes, as_text=random.random() < 0.1
    )  # fmt: skip


def _context(random: Random, shown: list[dict[str, Any]]) -> dict[str, Any]:
    context: dict[str, Any] = {"diagnostics": random.sample(shown, min(len(shown), random.randint(0, 3)))}
    if random.random() < 0.3:
        context["only"] = random.sample(KINDS, random.randint(0, 2))
    if random.random() < 0.4:
        context["triggerKind"] = random.choice([1, 2])
    return context


# --- Of the workspace -------------------------------------------------------------------------------------------------

NEVER = ("quarry/blast", "textDocument/formatting", "textDocument/onTypeFormatting", "workspace/willRenameFiles", "$/unknown", "textDocument/", "", "workspace/diagnostics", "textDocument/semanticTokens/range", "callHierarchy/incomingCalls")  # fmt: skip
"""Questions that the server has not said it can answer."""

NONE = (None, 7, "x", [], {}, [[]], {"uri": None}, {"line": -1}, True, 1.5, {"textDocument": []})


def ask_of_workspace(client: Client, random: Random) -> None:
    """Look for symbols, or run a command that nobody offered."""
    if random.random() < 0.6:
        query = random.choice(["", "lamp", "F0", "zzz", "Ω", "white", "a" * 3000])
        client.question("workspace/symbol", {"query": query})
        return
    name = random.choice(["lampwright.apply", "lampwright.apply", "lampwright.blast", ""])
    arguments = random.choice([None, [], [1], ["x", {}, {}], ["x", {"a": 1}, {"changes": 7}], [None, None, None]])
    params = {"command": name, **({} if arguments is None else {"arguments": arguments})}
    client.question(
        "workspace/executeCommand", params, codes=(REQUEST_FAILED, INVALID_PARAMS, UNKNOWN_METHOD), kind="a command that was not offered"
    )  # fmt: skip


def ask_for_nothing(client: Client, random: Random) -> None:
    """A method that nobody knows, as a question or as news."""
    method = random.choice(NEVER)
    params = random.choice(NONE)
    if random.random() < 0.4:
        client.notify(method, params, "news that nobody knows")
    else:
        codes = (UNKNOWN_METHOD, INVALID_PARAMS, INVALID_REQUEST)
        client.question(method, params, codes=codes, kind="a question that nobody knows")


def ask_wrongly(client: Client, random: Random, buffer: Buffer) -> None:
    """A known question with something in it that does not belong there."""
    method = random.choice(METHODS)
    params = params_of(method, buffer.uri, {"line": 0, "character": 0})
    wrong = random.choice(NONE)
    name = random.choice([*params, ""])
    codes = (None, INVALID_PARAMS, REQUEST_FAILED)
    client.question(
        f"textDocument/{method}", {**params, name: wrong} if name else wrong, codes=codes, kind="a question of the wrong shape"
    )  # fmt: skip


def tell_wrongly(client: Client, random: Random) -> None:
    """News of the wrong shape, which must change nothing."""
    method = random.choice(
        ["textDocument/didOpen", "textDocument/didChange", "textDocument/didClose", "textDocument/didSave", "workspace/didChangeWatchedFiles",
         "workspace/didChangeConfiguration", "workspace/didChangeWorkspaceFolders", "$/cancelRequest", "$/setTrace", "initialized?"]
    )  # fmt: skip
    params = random.choice([None, 7, "x", [], {}, {"textDocument": None}, {"textDocument": {"uri": 5}}, {"id": []}, {"event": 1}])  # fmt: skip
    if method == "workspace/didChangeConfiguration":
        params = random.choice([7, "x", []])
    client.notify(method, params, "news of the wrong shape")


GARBLED = (
    b"Content-Length: many\r\n\r\n", b"Content-Length: -5\r\n\r\n", b"no header at all\r\n\r\n", b"\xff\xfe\x00\r\n\r\n", b"Content-Length: 12345678901234567890\r\n\r\n",
)  # fmt: skip
BODIES = (b"{not json", b"\xc3\x28\xa0\xa1", b"[" * 20_000, b"[]", b"7", b"null", b'"x"', b'{"jsonrpc": "1.0", "id": 1, "method": "shutdown"}', b'[{"jsonrpc": "2.0", "id": 1, "method": "shutdown"}]', b"", b"{}")  # fmt: skip


def garble(client: Client, random: Random) -> None:
    """Bytes that are no message; after them stands a sound one, so that each is refused by itself."""
    if random.random() < 0.4:
        client.garble(random.choice(GARBLED), "a header that cannot be read")
    elif random.random() < 0.2:
        number = random.choice([[], {}, 1.5, True, [1]])
        client.garble(raw({"jsonrpc": "2.0", "id": number, "method": "shutdown"}), "a number that is none")
    else:
        body = random.choice(BODIES)
        client.garble(b"Content-Length: %d\r\n\r\n" % len(body) + body, "a body that is no message")
    client.notify("$/setTrace", {"value": "off"})


def answer_unasked(client: Client, random: Random) -> None:
    """Answers to nothing, and a cancellation of nothing."""
    number = random.choice([999_999_999, "x", 0, -1])
    if random.random() < 0.5:
        client.notify("$/cancelRequest", {"id": number}, "a cancellation of nothing")
    else:
        client.account.sent["an answer to nothing"] += 1
        client.send(raw({"jsonrpc": "2.0", "id": number, **random.choice([{"result": None}, {"error": {"code": 1, "message": "x"}}])}))  # fmt: skip


def raw(message: dict[str, Any]) -> bytes:
    """A message as it goes over the wire, with an odd but allowed header."""
    body = json.dumps(message, ensure_ascii=False).encode("utf-8", "replace")
    head = b"content-type: application/vscode-jsonrpc; charset=utf-8\r\nCONTENT-LENGTH:   %d\r\n\r\n" % len(body)
    return head + body
