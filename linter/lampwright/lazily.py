"""Attributes that are computed when they are first asked for, and kept.

That of the standard library has one lock for all objects of a class until Python 3.12: while one thread follows the
keys of a plan, another one could not begin with those of another plan.
"""

from __future__ import annotations

# What `typing` calls so, without importing it: type checkers know the name.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from functools import cached_property
    from functools import cached_property as shared_property
else:

    class cached_property:  # noqa: N801  # the name of the standard library
        """As `functools.cached_property` is from Python 3.12 on: of two threads that ask at once each computes."""

        def __init__(self, function):
            self.function = function
            self.__doc__ = function.__doc__

        def __set_name__(self, owner, name):
            self.name = name

        def __get__(self, one, owner=None):
            """The value of `one`. What another thread has found meanwhile comes first."""
            return self if one is None else one.__dict__.setdefault(self.name, self.function(one))

    class shared_property(cached_property):  # noqa: N801  # the same
        """The same for objects that several threads ask: one computes, the others wait for it. They have a `lock`."""

        def __get__(self, one, owner=None):
            """The value of `one`."""
            if one is None:
                return self
            with one.lock:
                known = one.__dict__
                if self.name not in known:
                    known[self.name] = self.function(one)
                return known[self.name]


__all__ = ["cached_property", "shared_property"]
