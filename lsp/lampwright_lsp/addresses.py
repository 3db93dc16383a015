"""URIs become paths, and paths URIs. Touches no file."""

from __future__ import annotations

import os
from functools import lru_cache
from pathlib import Path
from urllib.parse import unquote_to_bytes, urlsplit

_NOWHERE = Path(os.devnull)
"""No folder: what is below it neither exists nor can be made, so that nothing governs a text that has no place yet."""


# A key asks five times where the text is that it changes.
@lru_cache(maxsize=4096)
def path_of(uri: str) -> Path | None:
    """Where the text of `uri` is, or would be saved; None if that is no file, as in the past of a repository."""
    try:
        parts = urlsplit(uri)
    except ValueError:
        return None
    path = os.fsdecode(unquote_to_bytes(parts.path))
    if "\0" in path or not path:
        return None
    if parts.scheme == "file":
        return Path(_local(path, parts.netloc))
    if parts.scheme == "untitled":
        return Path(_local(path, "")) if path.startswith("/") else _NOWHERE / path
    return None


def uri_of(path: Path) -> str:
    """The URI of an absolute path."""
    return path.as_uri()


def _local(path: str, host: str) -> str:
    if os.name != "nt":
        return path
    if host and host != "localhost":
        return f"//{host}{path}"
    # file:///c:/club is c:/club.
    return path[1:] if path[2:3] == ":" else path
