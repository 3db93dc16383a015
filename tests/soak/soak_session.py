"""One life of the server: started, asked, held against the command again and again, and ended as one should."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from soak_client import Client
from soak_club import Club
from soak_deeds import do
from soak_findings import Shown
from soak_hands import Hands
from soak_oracle import differences
from soak_profiles import profile_of

_LAST = 20
"""Questions that are still open when the client takes its leave."""


@dataclass(slots=True)
class Outcome:
    """What came of it. `memory` has the messages, and the megabytes after them; `seconds` are the server's."""

    seed: int
    words: str
    account: Any
    memory: list[tuple[int, float]] = field(default_factory=list)
    compared: list[int] = field(default_factory=list)
    seconds: float = 0.0
    elapsed: float = 0.0

    @property
    def faults(self) -> list[str]:
        """All that was not as it should be."""
        return self.account.faults  # type: ignore[no-any-return]

    @property
    def growth(self) -> float:
        """The megabytes that came on top after the first fifth."""
        fifth = next(each for each in self.memory if each[0] >= self.memory[-1][0] / 5)
        return self.memory[-1][1] - fifth[1]


def soak(
    messages: int,
    seed: int,
    folder: Path,
    *,
    every: int = 5000,
    failures: Path | None = None,
    tells: Any = None,
    minutes: float = 1e9,
) -> Outcome:
    """Send so many messages in `folder`, which is empty; the findings are compared `every` so many.

    In `failures` the texts are laid down about which the two do not agree, with the last messages; `tells` hears how it goes. No more
    is sent after so many `minutes`.
    """
    began = time.perf_counter()
    club = Club.laid(folder / "root")
    client = Client(club.root, profile_of(seed))
    outcome = Outcome(seed, client.profile.words, client.account)
    try:
        hands = _begun(client, club)
        number, due = 0, every
        while client.account.messages < messages:
            if time.perf_counter() - began > 60 * minutes:
                messages = client.account.messages
            else:
                do(hands, seed, number)
            number += 1
            if client.account.messages >= min(due, messages):
                before = len(outcome.faults)
                _compare(hands, outcome, folder / "mirror")
                if failures is not None and len(outcome.faults) > before:
                    _lay_down(hands, outcome.faults[before:], failures / f"{seed}-{client.account.messages}")
                due += every
                if tells is not None:
                    tells(outcome)
        outcome.seconds = client.ticks() / 100
        _end(hands, Random(f"{seed} end"))
    finally:
        client.process.kill()
        client.process.communicate()
    outcome.elapsed = time.perf_counter() - began
    return outcome


def _begun(client: Client, club: Club) -> Hands:
    folders = [{"uri": (club.root / each).as_uri(), "name": each} for each in club.folders]
    params = {"processId": None, "rootUri": None, "capabilities": client.profile.capabilities, "workspaceFolders": folders}  # fmt: skip
    answer = client.wait_for(client.question("initialize", params))
    client.notify("initialized", {})
    said = answer["result"]["capabilities"]
    assert ("diagnosticProvider" in said) is client.profile.asks
    units = said.get("positionEncoding", "utf-16")
    assert units == client.profile.units
    return Hands(client, club, Shown(client, club), units)


def _compare(hands: Hands, outcome: Outcome, mirror: Path) -> None:
    client = hands.client
    for key in [key for key in client.waiting if client.asked[key].waits]:
        client.cancel(key)
        hands.shown.take_of_all(client.wait_for(key))
    held = hands.shown.settled()
    outcome.memory.append((client.account.messages, client.megabytes()))
    tells = client.settings.get("workspaceDiagnostics") is not False
    count, only = differences(hands.club, held, hands.units, mirror, tells_of_closed=tells)
    outcome.compared.append(count)
    client.account.faults += [f"after {client.account.messages} messages, {each}" for each in only]
    if client.refusals_due:
        client.account.faults.append(f"{client.refusals_due} messages too many or too few were refused")
        client.refusals_due = 0
    # What was answered is accounted for.
    client.asked = {key: asked for key, asked in client.asked.items() if asked.answer is None or key in hands.shown.pulls}  # fmt: skip


def _end(hands: Hands, random: Random) -> None:
    """What is asked before the end is answered; after it there is no process, and nothing on standard error."""
    client = hands.client
    for _ in range(_LAST):
        hands.edit(random)
    # The library cancels what is open when the end is asked for.
    for key in client.waiting:
        client.asked[key].is_cancelled = True
    client.wait_for(client.question("shutdown", None))
    client.wait_until(0)
    children = client.children()
    client.tell("exit")
    status, complaint = client.process.wait(30), client.errors()
    if status or complaint:
        client.account.faults.append(f"ended with status {status}: {complaint[-2000:]}")
    if children:
        client.account.faults.append(f"the server had started processes: {children}")


def _lay_down(hands: Hands, faults: list[str], place: Path) -> None:
    hands.club.laid_out(place)
    (place / "faults.txt").write_text("\n".join(faults), "utf-8")
    (place / "messages.txt").write_text("\n".join(hands.client.latest), "utf-8")
