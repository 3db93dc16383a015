"""Regular expressions that are compiled when they are first used: a run uses few of them, and compiling takes time."""

from __future__ import annotations

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from re import compile as pattern
    from typing import Any
else:

    def pattern(text, flags=0):
        """As `re.compile`, put off."""
        return _Pattern(text, flags)


__all__ = ["pattern"]

_METHODS = ("findall", "finditer", "fullmatch", "match", "search", "split", "sub")


class _Pattern:
    """A pattern whose methods are those of the compiled one, as soon as there is one."""

    __slots__ = ("flags", "pattern", *_METHODS)

    def __init__(self, text: str | bytes, flags: int) -> None:
        self.pattern = text
        self.flags = flags

    def __getattr__(self, name: str) -> Any:
        import re

        # Python comes here for a slot that is empty; afterwards it finds the method there by itself.
        compiled = re.compile(self.pattern, self.flags)
        for method in _METHODS:
            setattr(self, method, getattr(compiled, method))
        return getattr(compiled, name)
