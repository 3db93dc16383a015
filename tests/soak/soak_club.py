"""The files of a club as a client has them: on the disk, and in buffers on top of them."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote, urlsplit

from soak_texts import EXAMPLES, OURS, kind_of_text

FOLDERS = ("club", "annex")
UNTITLED = "untitled"
_ANNEX = ("vehicles/railcar-51.lights.yaml", "vehicles/saddle-tank-5.lights.yaml", "decoders/grit-six.decoder.yaml", "club.parts.yaml", "lampwright.yaml")  # fmt: skip


@dataclass(slots=True)
class Buffer:
    """An open text."""

    uri: str
    version: int
    text: str


@dataclass(slots=True)
class Club:
    """Two folders side by side below `root`, of which the client has some; `buffers` by URI."""

    root: Path
    folders: list[str] = field(default_factory=lambda: ["club"])
    buffers: dict[str, Buffer] = field(default_factory=dict)
    version: int = 0

    @classmethod
    def laid(cls, root: Path) -> Club:
        """A fresh one: the examples, and beside them a small one without folders of its own."""
        club = cls(root.resolve())
        for name, data in originals().items():
            club.write(name, data)
        return club

    # --- Names --------------------------------------------------------------------------------------------------------

    def uri(self, name: str) -> str:
        """The URI of a name, which begins with a folder or with `untitled`."""
        folder, _, rest = name.partition("/")
        return f"untitled:{rest}" if folder == UNTITLED else (self.root / name).as_uri()

    def name(self, uri: str) -> str:
        """The name of a URI: a path from the root. One file may have two URIs."""
        parts = urlsplit(uri)
        path = os.fsdecode(unquote(parts.path).encode("utf-8", "surrogateescape"))
        return f"{UNTITLED}/{path}" if not path.startswith("/") else Path(path).relative_to(self.root).as_posix()

    def files(self) -> list[str]:
        """The names of all files of ours on the disk, in order."""
        found = (path for folder in FOLDERS for path in (self.root / folder).rglob("*.yaml"))
        return sorted(path.relative_to(self.root).as_posix() for path in found if path.name.endswith(OURS))

    def holder(self, name: str) -> Buffer | None:
        """The buffer that holds the file of that name."""
        return next((each for uri, each in self.buffers.items() if self.name(uri) == name), None)

    def kind(self, uri: str) -> str:
        """The end of its name that says what it is."""
        return kind_of_text(unquote(uri))

    # --- Files --------------------------------------------------------------------------------------------------------

    def on_disk(self, name: str) -> str | None:
        """What the file holds, as an editor opens it."""
        path = self.root / name
        return path.read_bytes().decode("utf-8-sig", "replace") if path.is_file() else None

    def write(self, name: str, text: str | bytes) -> None:
        """Put a file on the disk, as editors do that replace it."""
        path = self.root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "replace"))

    def next_version(self) -> int:
        """Versions only grow, whatever is closed and opened again."""
        self.version += 1
        return self.version

    def laid_out(self, mirror: Path) -> None:
        """The same files in `mirror`, with what the buffers hold in the place of what is on the disk."""
        shutil.rmtree(mirror, ignore_errors=True)
        shutil.copytree(self.root, mirror)
        for uri, buffer in self.buffers.items():
            path = mirror / self.name(uri)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(buffer.text.encode())


def originals() -> dict[str, bytes]:
    """The files of the club as it begins, by name."""
    paths = (path for path in EXAMPLES.rglob("*.yaml") if path.name.endswith(OURS))
    found = {f"club/{path.relative_to(EXAMPLES).as_posix()}": path.read_bytes() for path in paths}
    for name in _ANNEX:
        flat = (EXAMPLES / name).read_bytes().replace(b"../decoders/", b"").replace(b"../", b"")
        found[f"annex/{Path(name).name}"] = flat
    return found
