"""What a hasty user does with texts and files, and what his editor tells of it."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

import soak_questions as questions
from soak_client import Client
from soak_club import UNTITLED, Buffer, Club, originals
from soak_findings import Shown
from soak_texts import edit_of, kind_of_text, made, muddled, stock
from soak_units import place_of, range_of

STOCK = stock()
FRESH = ("club/vehicles/new {}.lights.yaml", "club/mistakes/wagon µ {}.lights.yaml", "club/vehicles/𝔏 & {}%.lights.yaml", "annex/new-{}.lights.yaml", "annex/bench-{}.decoder.yaml", "club/bench-{}.decoder.yaml", "club/more-{}.parts.yaml", "club/mistakes/lampwright.yaml", "club/attic/old {}.lights.yaml")  # fmt: skip
UNSAVED = ("loco-{}.lights.yaml", "bench.decoder.yaml", "club.parts.yaml", "lampwright.yaml", "other-{}.lights.yaml")
BYTES = (b"\xff\xfev\x00e\x00", b"vehicle: {name: \xe9t\xe9}\n", b"\x00\x01", b"\xef\xbb\xbfvehicle: {name: A}\n", b"")
HALVES = ("\ud83d", "\ude80", "\ud83d\ude80")


@dataclass(slots=True)
class Hands:
    """All that a deed needs. `units` are those that the server has chosen."""

    client: Client
    club: Club
    shown: Shown
    units: str

    # --- Texts --------------------------------------------------------------------------------------------------------

    def some(self, random: Random) -> Buffer:
        """An open text; if there is none, one is opened."""
        if not self.club.buffers:
            self.open(random)
        return self.club.buffers[random.choice(sorted(self.club.buffers))]

    def lay(self, uri: str, text: str) -> None:
        """Open a text, also one that is open already."""
        buffer = Buffer(uri, self.club.next_version(), text)
        self.club.buffers[uri] = buffer
        document = {"uri": uri, "languageId": "yaml", "version": buffer.version, "text": text}
        self.client.notify("textDocument/didOpen", {"textDocument": document})
        self.shown.changed(uri)

    def change(self, buffer: Buffer, changes: list[dict[str, Any]], text: str) -> None:
        """Send changes that make `text` of what is open."""
        buffer.version, buffer.text = self.club.next_version(), text
        document = {"uri": buffer.uri, "version": buffer.version}
        kind = "whole text" if "range" not in changes[-1] else "pieces"
        self.client.notify(
            "textDocument/didChange", {"textDocument": document, "contentChanges": changes}, f"textDocument/didChange, {kind}"
        )  # fmt: skip
        self.shown.changed(buffer.uri)

    def open(self, random: Random) -> None:
        """Open a file, a new one, or a text without a place."""
        choice, number = random.random(), random.randint(1, 9)
        if choice < 0.12:
            uri = f"untitled:{random.choice(UNSAVED).format(number)}"
        elif choice < 0.16:
            uri = f"{UNTITLED}:{self.club.root.as_posix()}/club/vehicles/unsaved-{number}.lights.yaml"
        elif choice < 0.30:
            uri = self.club.uri(random.choice(FRESH).format(number))
        else:
            uri = self.club.uri(random.choice(self.club.files()))
        holder = self.club.holder(self.club.name(uri))
        if holder is not None and holder.uri != uri:
            return
        text = self.club.on_disk(self.club.name(uri)) if random.random() < 0.8 else None
        self.lay(uri, self.sound(random, uri) if text is None else text)

    def sound(self, random: Random, uri: str) -> str:
        """Some text for a file of that kind, usually a sound one."""
        text = random.choice(STOCK[self.club.kind(uri)])
        if random.random() < 0.2:
            text = text.replace("../", "")
        return muddled(random, text, 4) if random.random() < 0.3 else text

    def close(self, random: Random) -> None:
        """Close a text, saved or not."""
        self.let_go(self.some(random))

    def let_go(self, buffer: Buffer) -> None:
        """Close that text."""
        del self.club.buffers[buffer.uri]
        self.client.notify("textDocument/didClose", {"textDocument": {"uri": buffer.uri}})
        self.shown.closed(buffer.uri)

    def edit(self, random: Random) -> None:
        """Type, and look as an editor does what comes of it."""
        buffer = self.some(random)
        if random.random() < 0.12 or len(buffer.text) > 20_000:
            text = self.sound(random, buffer.uri)
            whole = range_of(buffer.text, 0, len(buffer.text), self.units)
            self.change(buffer, [{"text": text, **({"range": whole} if random.random() < 0.3 else {})}], text)
        else:
            changes, text = [], buffer.text
            for _ in range(random.choice([1, 1, 1, 2, 4])):
                start, end, fresh = edit_of(random, text)
                changes.append({"range": range_of(text, start, end, self.units), "text": fresh})
                text = made(text, (start, end, fresh))
            self.change(buffer, changes, text)
        self.look(random, buffer)

    def look(self, random: Random, buffer: Buffer) -> None:
        """Ask what is wrong, and what else an editor shows beside a text."""
        if self.client.profile.asks and random.random() < 0.6:
            self.shown.ask(buffer.uri)
        if random.random() < 0.25:
            for method in ("semanticTokens/full", "inlayHint", "codeLens"):
                questions.ask(self.client, random, buffer, self.units, self.shown, method)

    def halve(self, random: Random) -> None:
        """Put in half of a character, which no text should hold, and take it out again with all."""
        buffer = self.some(random)
        at = place_of(buffer.text, len(buffer.text), self.units)
        change = {"range": {"start": at, "end": at}, "text": random.choice(HALVES)}
        text = buffer.text
        self.change(buffer, [change], text)
        questions.ask(self.client, random, buffer, self.units, self.shown)
        self.change(buffer, [{"text": text}], text)

    # --- Files --------------------------------------------------------------------------------------------------------

    def watched(self, *changes: tuple[str, int]) -> None:
        """Tell of files that have come (1), changed (2) or gone (3)."""
        events = [{"uri": self.club.uri(name), "type": kind} for name, kind in changes]
        self.client.notify("workspace/didChangeWatchedFiles", {"changes": events})

    def save(self, random: Random) -> None:
        """Save an open text that has a place."""
        buffer = self.some(random)
        name = self.club.name(buffer.uri)
        if buffer.uri.startswith(UNTITLED):
            return
        self.club.write(name, buffer.text)
        more = {"text": buffer.text} if random.random() < 0.3 else {}
        self.client.notify("textDocument/didSave", {"textDocument": {"uri": buffer.uri}, **more})
        self.watched((name, 2))

    def rename(self, random: Random) -> None:
        """Give a file another name; if it is open, it is closed and opened under the new one."""
        old = random.choice(self.club.files())
        new = random.choice(FRESH).format(random.randint(1, 9))
        if kind_of_text(old) != kind_of_text(new) or (self.club.root / new).exists() or self.club.holder(new):
            return
        buffer = self.club.holder(old)
        text = buffer.text if buffer is not None else None
        if buffer is not None:
            self.let_go(buffer)
        (self.club.root / new).parent.mkdir(parents=True, exist_ok=True)
        (self.club.root / old).rename(self.club.root / new)
        files = [{"oldUri": self.club.uri(old), "newUri": self.club.uri(new)}]
        self.client.notify("workspace/didRenameFiles", {"files": files})
        if text is not None:
            self.lay(self.club.uri(new), text)
        self.watched((old, 3), (new, 1))

    def delete(self, random: Random) -> None:
        """Take a file away, now and then with its buffer."""
        files = self.club.files()
        if len(files) < 50:
            self.restore(random)
            return
        name = random.choice(files)
        (self.club.root / name).unlink()
        buffer = self.club.holder(name)
        if buffer is not None and random.random() < 0.5:
            self.let_go(buffer)
        self.watched((name, 3))

    def restore(self, random: Random) -> None:
        """Bring a few files of the examples back, as a revision does that is checked out."""
        fresh = originals()
        names = random.sample(sorted(fresh), 12)
        for name in names:
            self.club.write(name, fresh[name])
        self.watched(*((name, random.choice([1, 2])) for name in names))

    def rewrite(self, random: Random) -> None:
        """Another program writes a file, or makes one."""
        name = (
            random.choice(self.club.files())
            if random.random() < 0.7
            else random.choice(FRESH).format(random.randint(1, 9))
        )
        text: str | bytes = random.choice(BYTES) if random.random() < 0.08 else self.sound(random, name)
        if random.random() < 0.1:
            name, text = "club/.gitignore", random.choice(["/attic/\n", "new*\n", "", "vehicles/snow*\n"])
        self.club.write(name, text)
        self.watched((name, 2))
