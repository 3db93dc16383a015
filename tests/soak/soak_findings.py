"""What a client shows of each file: as it was told, or as it has asked, no more often than it has reason to."""

from __future__ import annotations

from typing import Any

from soak_client import CANCELLED, UNKNOWN_METHOD, Client, items_of
from soak_club import Club
from soak_oracle import Held

DOCUMENT, WORKSPACE = "textDocument/diagnostic", "workspace/diagnostic"


class Shown:
    """The findings of a client that asks; for one that is told, its client has them already."""

    def __init__(self, client: Client, club: Club) -> None:
        self._client, self._club = client, club
        self._of_open: dict[str, tuple[str, list[dict[str, Any]]]] = {}
        self._of_closed: dict[str, tuple[str, list[dict[str, Any]]]] = {}
        self.pulls: dict[str, str] = {}
        self._stale: set[str] = set()

    # --- What happens -------------------------------------------------------------------------------------------------

    def changed(self, uri: str) -> None:
        """A text was opened or changed."""
        self._stale.add(uri)

    def closed(self, uri: str) -> None:
        """A text was closed: its findings are those of the file from now on."""
        self._stale.discard(uri)
        self._of_open.pop(uri, None)

    def ask(self, uri: str) -> str:
        """Ask what is wrong in an open text."""
        asks = self._client.profile.asks
        known = self._of_open.get(uri)
        params = {"textDocument": {"uri": uri}, **({"previousResultId": known[0]} if known else {})}
        buffer = self._club.buffers.get(uri)
        key = self._client.question(
            DOCUMENT, params, uri=uri, version=buffer.version if buffer else None, codes=(None,) if asks else (UNKNOWN_METHOD,)
        )  # fmt: skip
        if asks:
            self.pulls[uri] = key
        return key

    def ask_of_all(self) -> str:
        """Ask what is wrong in all files that are not open; it may take until there is news."""
        asks = self._client.profile.asks
        known = [{"uri": uri, "value": name} for uri, (name, _) in sorted(self._of_closed.items())]
        return self._client.question(
            WORKSPACE, {"previousResultIds": known}, codes=(None,) if asks else (UNKNOWN_METHOD,), waits=asks and bool(known)
        )  # fmt: skip

    def take(self) -> None:
        """Take in the answers that have come, each about the latest question."""
        for uri, key in list(self.pulls.items()):
            asked = self._client.asked[key]
            if asked.answer is None:
                continue
            del self.pulls[uri]
            buffer = self._club.buffers.get(uri)
            if buffer is None or buffer.version != asked.version:
                continue
            if asked.answer.get("error", {}).get("code") != CANCELLED:
                self._stale.discard(uri)
                self._keep(self._of_open, uri, items_of(asked.answer))

    def take_of_all(self, answer: dict[str, Any]) -> None:
        """Take in the answer about the files that are not open."""
        for report in items_of(answer).get("items", ()):
            self._keep(self._of_closed, report["uri"], report)

    def _keep(self, kept: dict[str, tuple[str, list[dict[str, Any]]]], uri: str, report: Any) -> None:
        if report["kind"] == "full":
            kept[uri] = report["resultId"], report["items"]
        elif kept.get(uri, ("", []))[0] != report["resultId"]:
            self._client.account.faults.append(f"unchanged since a result that was never given: {uri}")

    # --- What is shown ------------------------------------------------------------------------------------------------

    def of(self, uri: str) -> list[dict[str, Any]]:
        """What is shown of a file now."""
        if not self._client.profile.asks:
            return self._client.published.get(uri, (None, []))[1]
        kept = self._of_open if uri in self._club.buffers else self._of_closed
        return kept.get(uri, ("", []))[1]

    def settled(self) -> Held:
        """All that is shown once nothing is on its way any more."""
        self._client.settle()
        if not self._client.profile.asks:
            self._check_versions()
            return {uri: items for uri, (_, items) in self._client.published.items()}
        self._catch_up()
        waiting = self.ask_of_all()
        while True:
            self._client.settle()
            self._catch_up()
            answer = self._client.asked[waiting].answer
            if answer is not None:
                self.take_of_all(answer)
                waiting = self.ask_of_all()
                continue
            # It waits for news, and there is none.
            self._client.cancel(waiting)
            self._client.wait_for(waiting)
            break
        if not self._client.profile.is_asked_again:
            # Nobody tells it of what other files have changed.
            self._stale.update(self._club.buffers)
            self._catch_up()
        opened = {uri: items for uri, (_, items) in self._of_open.items()}
        return {**{uri: items for uri, (_, items) in self._of_closed.items() if uri not in opened}, **opened}

    def _catch_up(self) -> None:
        """Ask again of what has changed, or of all if the server has said so, until it says nothing any more."""
        while True:
            self.take()
            if self._client.is_told_to_ask:
                self._client.is_told_to_ask = False
                self._stale.update(self._club.buffers)
            if not self._stale:
                return
            for uri in sorted(self._stale):
                self.ask(uri)
            self._client.settle()

    def _check_versions(self) -> None:
        for uri, buffer in self._club.buffers.items():
            version = self._client.published.get(uri, (None, []))[0]
            if version != buffer.version:
                self._client.account.faults.append(f"{uri}: told of version {version}, open is {buffer.version}")
