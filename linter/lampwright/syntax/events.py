"""Where the parser comes from: the C one if it can be imported, else the pure one, and what it says when it gives up.

Loaded with the first text, because importing ruamel.yaml takes longer than reading a plan.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any

from lampwright.records import dataclass

# An event of ruamel.yaml. It has `start_mark` and `end_mark`, of which only `index` is used, and what its kind has.
Event = Any
NextEvent = Callable[[], Event]


@dataclass(frozen=True, slots=True)
class Failure:
    """Where the parser gave up, where the thing began that it was reading then, and its own words."""

    at: int
    since: int | None
    words: str


def event_reader(text: str, *, pure: bool) -> NextEvent:
    """What gives the next event of `text` at each call, the last one being a StreamEndEvent."""
    c_parser = None if pure else _c_parser()
    if c_parser is not None:
        next_event: NextEvent = c_parser(text).get_event
        return next_event
    from lampwright.syntax.pure import pure_events

    return pure_events(text)


@cache
def _c_parser() -> Callable[[str], Any] | None:
    try:
        _defer_package("ruamel.yaml")
        from _ruamel_yaml import CParser
    except ImportError:
        return None
    parser: Callable[[str], Any] = CParser
    return parser


def _defer_package(name: str) -> None:
    """Keeps a package from running its `__init__` before somebody asks it for a name.

    That of ruamel.yaml imports all loaders and dumpers; without them the parser is there in three quarters of the time.
    """
    spec = None if name in sys.modules else find_spec(name)
    if spec is not None:
        package = sys.modules[name] = module_from_spec(spec)
        package.__class__ = _Deferred
        parent, _, child = name.rpartition(".")
        setattr(sys.modules[parent], child, package)


class _Deferred(ModuleType):
    def __getattr__(self, name: str) -> Any:
        self.__class__ = ModuleType  # type: ignore[assignment]
        if self.__spec__ is not None and self.__spec__.loader is not None:
            self.__spec__.loader.exec_module(self)
        return getattr(self, name)


def failure(error: Exception, last: int, size: int) -> Failure:
    """What `error` says. An error without a mark is placed at `last`, the end of what was read; `size` bounds all."""
    mark, since = getattr(error, "problem_mark", None), getattr(error, "context_mark", None)
    words = " ".join(str(getattr(error, part, None) or "") for part in ("context", "problem"))
    # The pure parser goes on to name the token that it found, which the C parser does not.
    words = re.sub(r"(,? but (found|got) |, \().*", "", words or str(error), flags=re.DOTALL).strip()
    return Failure(
        min(mark.index if mark else last, size),
        min(since.index, size) if since else None,
        words,
    )
