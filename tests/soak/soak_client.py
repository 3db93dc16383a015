"""A client that keeps account: of what it asked, whether and when that was answered, and what it was told of each file."""

from __future__ import annotations

import json
import queue
import time
from collections import Counter, deque
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from soak_profiles import Profile

from conversation import Conversation

PATIENCE = 300.0
"""Seconds after which an answer is missed, on a machine that does other things as well."""

_LATEST = 5000
"""Messages that are remembered."""

_QUIET_LOOKS = 6
"""Looks, a tenth of a second apart, at which the server must be at rest."""

CANCELLED, UNKNOWN_METHOD, INVALID_PARAMS, REQUEST_FAILED, INVALID_REQUEST = -32800, -32601, -32602, -32803, -32600


@dataclass(slots=True)
class Asked:
    """A question that was asked. `codes` are the errors that may come; None stands for a result."""

    method: str
    uri: str
    version: int | None
    at: float
    codes: frozenset[int | None]
    waits: bool = False
    is_cancelled: bool = False
    answer: dict[str, Any] | None = None


class _Stamped(queue.Queue[Any]):
    """What was heard, with when."""

    def put(self, item: Any, block: bool = True, timeout: float | None = None) -> None:
        super().put((time.perf_counter(), item), block, timeout)


@dataclass(slots=True)
class Account:
    """What has gone to and fro."""

    sent: Counter[str] = field(default_factory=Counter)
    answers: Counter[str] = field(default_factory=Counter)
    slowest: dict[str, float] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    logged: Counter[str] = field(default_factory=Counter)

    @property
    def messages(self) -> int:
        """All that the client has sent of its own accord."""
        return sum(self.sent.values())


class Client(Conversation):
    """Talks with a server in `folder` as a client of that profile."""

    def __init__(self, folder: Path, profile: Profile, command: tuple[str, ...] | None = None) -> None:
        super().__init__(folder) if command is None else super().__init__(folder, command)
        # Nothing is heard before the first question.
        self._heard = _Stamped()
        self.profile, self.account = profile, Account()
        self.asked: dict[str, Asked] = {}
        self.waiting: set[str] = set()
        self.refusals_due = 0
        self.settings: dict[str, Any] = {}
        self.published: dict[str, tuple[int | None, list[dict[str, Any]]]] = {}
        self.is_told_to_ask = False
        self.to_apply: deque[tuple[object, dict[str, Any]]] = deque()
        self.lateness = 0.0
        self.latest: deque[str] = deque(maxlen=_LATEST)
        self._late: deque[tuple[float, dict[str, Any]]] = deque()

    # --- Speaking -----------------------------------------------------------------------------------------------------

    def say(self, message: Mapping[str, Any]) -> None:
        """Send a message, and remember it for a while."""
        self.latest.append(json.dumps(message))
        super().say(message)

    def notify(self, method: str, params: object, kind: str | None = None) -> None:
        """Tell something; it is counted under `kind`."""
        self.account.sent[kind or method] += 1
        self.tell(method, params)

    def question(
        self,
        method: str,
        params: object,
        *,
        uri: str = "",
        version: int | None = None,
        codes: tuple[int | None, ...] = (None,),
        kind: str | None = None,
        waits: bool = False,
        as_text: bool = False,
    ) -> str:
        """Ask and do not wait; the key of the question."""
        self._number += 1
        number: object = f"question {self._number}" if as_text else self._number
        key = json.dumps(number)
        self.asked[key] = Asked(kind or method, uri, version, time.perf_counter(), frozenset(codes), waits)
        self.waiting.add(key)
        self.account.sent[kind or method] += 1
        self.say({"id": number, "method": method, "params": params})
        return key

    @property
    def last_number(self) -> int:
        """The number of the latest question."""
        return self._number

    def cancel(self, key: str, kind: str | None = None) -> None:
        """Take a question back, whether it was answered or not, or never asked."""
        if key in self.asked:
            self.asked[key].is_cancelled = True
        self.notify("$/cancelRequest", {"id": json.loads(key)}, kind)

    def garble(self, data: bytes, kind: str) -> None:
        """Send what is no message; that is refused once."""
        self.account.sent[kind] += 1
        self.refusals_due += 1
        self.send(data)

    # --- Hearing ------------------------------------------------------------------------------------------------------

    def hear(self, seconds: float = 0.0) -> bool:
        """Take in all that has come; wait so long for something if nothing has. Whether there was anything."""
        self._say_what_is_late()
        heard = False
        while True:
            try:
                at, message = self._heard.get(block=not heard and seconds > 0, timeout=seconds or None)
            except queue.Empty:
                return heard
            if message is None:
                raise AssertionError(f"the server ended: {self.errors()[-4000:]}")
            heard = True
            self._take(at, message)

    def wait_for(self, key: str) -> dict[str, Any]:
        """The answer to a question, as soon as it is there."""
        asked = self.asked[key]
        while asked.answer is None:
            self._miss(asked)
            self.hear(0.05)
        return asked.answer

    def wait_until(self, most: int) -> None:
        """Go on when no more than so many questions are open, those left out that may stay open."""
        while len(open_ones := [key for key in self.waiting if not self.asked[key].waits]) > most:
            self._miss(min((self.asked[key] for key in open_ones), key=lambda asked: asked.at))
            self.hear(0.05)

    def settle(self) -> None:
        """Wait until all is answered and the server does nothing any more, which takes longer than it waits for quiet."""
        self.wait_until(0)
        quiet, before = 0, self.ticks()
        while quiet < _QUIET_LOOKS:
            is_news = self.hear(0.1)
            now = self.ticks()
            quiet = 0 if is_news or self._late or now != before or self.is_busy() else quiet + 1
            before = now

    def _miss(self, asked: Asked) -> None:
        if time.perf_counter() - asked.at > PATIENCE:
            raise AssertionError(f"no answer within {PATIENCE:.0f} s: {asked}")

    def _take(self, at: float, message: dict[str, Any]) -> None:
        if "method" not in message:
            self._take_answer(at, message)
        elif "id" in message:
            self._take_question(message)
        elif message["method"] == "textDocument/publishDiagnostics":
            params = message["params"]
            self.published[params["uri"]] = params.get("version"), params["diagnostics"]
        elif message["method"] == "window/logMessage":
            text = message["params"]["message"]
            self.account.logged[text.split(":")[0][:80]] += 1
            if "our fault" in text or "Traceback" in text:
                self.account.faults.append(f"logged: {text}")
        else:
            self.account.faults.append(f"told of {message['method']}")

    def _take_answer(self, at: float, message: dict[str, Any]) -> None:
        number, error = message.get("id"), message.get("error")
        if number is None:
            self.refusals_due -= 1
            return
        asked, key = self.asked.get(json.dumps(number)), json.dumps(number)
        if asked is None or key not in self.waiting:
            self.account.faults.append(f"answered though not asked, or twice: {str(message)[:300]}")
            return
        self.waiting.remove(key)
        asked.answer = message
        code = error["code"] if error is not None else None
        self.account.answers["result" if code is None else str(code)] += 1
        if code not in asked.codes and not (code == CANCELLED and asked.is_cancelled):
            self.account.faults.append(f"{asked.method} {asked.uri}: {str(message)[:500]}")
        if not asked.waits:
            self.account.slowest[asked.method] = max(at - asked.at, self.account.slowest.get(asked.method, 0.0))

    def _take_question(self, message: dict[str, Any]) -> None:
        method, reply = message["method"], {"id": message["id"], "result": None}
        if method == "workspace/configuration":
            reply["result"] = [self.settings for _ in message["params"]["items"]]
        elif method == "workspace/applyEdit":
            self.to_apply.append((message["id"], message["params"]["edit"]))
            return
        elif method == "workspace/diagnostic/refresh":
            self.is_told_to_ask = True
        self._late.append((time.perf_counter() + self.lateness, reply))
        self._say_what_is_late()

    def _say_what_is_late(self) -> None:
        while self._late and self._late[0][0] <= time.perf_counter():
            reply = self._late.popleft()[1]
            # As late as it is, it says how things are now.
            if isinstance(reply["result"], list):
                reply["result"] = [self.settings for _ in reply["result"]]
            self.say(reply)

    # --- The process --------------------------------------------------------------------------------------------------

    def ticks(self) -> int:
        """Hundredths of a second of processor time that the server has taken."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text("ascii").rpartition(")")[2].split()
        return int(fields[11]) + int(fields[12])

    def processor_seconds(self) -> float:
        """The same, to the microsecond, of the threads that there are."""
        stats = Path(f"/proc/{self.process.pid}/task").glob("*/schedstat")
        return sum(int((_text(each) or "0").split()[0]) for each in stats) / 1e9

    def is_busy(self) -> bool:
        """Whether one of its threads runs, or would if others left it a processor."""
        stats = Path(f"/proc/{self.process.pid}/task").glob("*/stat")
        return any(_text(each).rpartition(")")[2].split()[:1] in (["R"], ["D"]) for each in stats)

    def megabytes(self) -> float:
        """The resident memory of the server."""
        lines = Path(f"/proc/{self.process.pid}/status").read_text("ascii").splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1000

    def children(self) -> list[str]:
        """The processes that the server has started and that still run."""
        tasks = Path(f"/proc/{self.process.pid}/task")
        return [number for each in tasks.glob("*/children") for number in each.read_text("ascii").split()]


def _text(path: Path) -> str:
    """What a file of the system says; nothing if its thread has ended meanwhile."""
    try:
        return path.read_text("ascii")
    except OSError:
        return ""


def items_of(answer: Mapping[str, Any]) -> Mapping[str, Any]:
    """The result of an answer; nothing if it is an error."""
    result = answer.get("result")
    return result if isinstance(result, dict) else {}
