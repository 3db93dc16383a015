"""What a decoder cannot be made to do, and what nobody can tell: facts for the rules, without words."""

from __future__ import annotations

from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.programming.wishes import Wanted
from lampwright.model.keys import Condition, Key, LookProperty
from lampwright.model.values import Name, Number
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class Unreachable:
    """A key whose CVs have no bit for an output. `output` is its name in the entry, `number` that on the sheet.

    `window` are the first and last number that the key reaches, None if it has no CV: `last_key` is the last one that
    has. `reached` are the outputs of the sheet that it reaches.
    """

    output: Name
    number: Number
    key: Key
    window: tuple[int, int] | None
    last_key: int
    reached: tuple[str, ...]
    is_second_hand: bool


@dataclass(frozen=True, slots=True)
class Unsayable:
    """An entry that no CV value says exactly, alone or together with `earlier` ones.

    `could` are conditions under which its key could turn the output on, by the vehicle's directions; `may_forbid` tells
    whether the mapping knows keys that forbid. `fact` is None where the decoder lights an output and the plan does not.
    `shared` are outputs for which the same setting would have to say something else.
    """

    output: str
    span: Span
    fact: EntryFact | None
    earlier: tuple[EntryFact, ...]
    could: tuple[Condition, ...]
    may_forbid: bool
    is_second_hand: bool
    shared: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class UnsayableLook:
    """A property of a look that no register can hold, or of which two values are wanted.

    `span` is where it is said, `other` where the other value is, if one is. `could` are the values nearest to it that
    its register holds, none where the output has no such register.
    """

    output: str
    span: Span
    what: LookProperty
    value: Wanted
    could: tuple[float, ...] = ()
    has_register: bool = False
    other_value: Wanted = None
    other: Span | None = None
    are_two: bool = False


@dataclass(frozen=True, slots=True)
class Unjudged:
    """A place of which the rules named `rules` cannot tell, and what is lacking."""

    rules: tuple[str, ...]
    span: Span
    lacks: str


Fault = Unreachable | Unsayable | UnsayableLook
