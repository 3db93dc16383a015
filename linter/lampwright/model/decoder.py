"""What a decoder sheet says about outputs, their limits and effects, in SI with its places."""

from __future__ import annotations

from collections.abc import Mapping

from lampwright.model.mapping import KeyMapping
from lampwright.model.registers import Register
from lampwright.model.values import Figure, Name, Number
from lampwright.records import dataclass
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class DecoderOutput:
    """One output of the sheet. Amperes and volts; None where the sheet is silent.

    `logic_level` is its voltage if it is no power output; `level_is_readable` is false where what is said of that was
    dropped with a problem. `number` is what it is called in the function mapping.
    """

    name: str
    span: Span
    limit: Figure | None = None
    surge: Figure | None = None
    logic_level: Figure | None = None
    level_is_readable: bool = True
    number: Number | None = None


@dataclass(frozen=True, slots=True)
class EffectSheet:
    """One effect of the sheet: its code, or the codes of the two outputs of a pair, and the rates it can have, hertz.

    `span` is its name. `pairs` are the outputs that it works for, as far as they could be read, None where the sheet
    names none. `is_readable` is false where anything that the sheet says of it was dropped with a problem.
    """

    name: str
    span: Span
    code: Number | None = None
    first_code: Number | None = None
    second_code: Number | None = None
    pairs: tuple[tuple[Name, Name], ...] | None = None
    rate: Figure | None = None
    is_for_pairs: bool = False
    is_readable: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Decoder:
    """A decoder as its sheet describes it. Exactly one of `drop` and `regulated` counts: regulated where it is stated.

    `common_is_readable` is false where the sheet says something about its common that was dropped with a problem.
    `effects` is None where the sheet lists none, so that nobody can tell which exist; `outputs_are_listed` is false
    where the same holds for outputs. `outputs_together` and `whole_decoder` are limits in amperes, `interface` is the
    standard of its plug, `highest_key` the number of the highest key that it knows; None where the sheet is silent, and
    also where it could not be read: `unreadable` names those. The same holds for `mapping` and `registers`, but of
    registers those that could be read are there all the same. Two of them are equal only if they are the same one, so
    that results can be kept by decoder.
    """

    span: Span
    drop: Figure
    regulated: Figure | None
    common_is_readable: bool
    outputs: Mapping[str, DecoderOutput]
    effects: Mapping[str, EffectSheet] | None
    outputs_are_listed: bool = True
    interface: Name | None = None
    outputs_together: Figure | None = None
    whole_decoder: Figure | None = None
    highest_key: Number | None = None
    mapping: KeyMapping | None = None
    registers: tuple[Register, ...] | None = None
    unreadable: frozenset[str] = frozenset()
