"""What a decoder sheet says about outputs, their limits and effects, in SI with its places."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lampwright.model.values import Figure, Name
from lampwright.text import Span


@dataclass(frozen=True, slots=True)
class DecoderOutput:
    """One output of the sheet. Amperes and volts; None where the sheet is silent.

    `logic_level` is its voltage if it is no power output; `level_is_readable` is false where what is said of that was
    dropped with a problem.
    """

    name: str
    span: Span
    limit: Figure | None = None
    surge: Figure | None = None
    logic_level: Figure | None = None
    level_is_readable: bool = True


@dataclass(frozen=True, slots=True)
class Decoder:
    """A decoder as its sheet describes it. Exactly one of `drop` and `regulated` counts: regulated where it is stated.

    `common_is_readable` is false where the sheet says something about its common that was dropped with a problem.
    `effects` is None where the sheet lists none, so that nobody can tell which exist; `outputs_are_listed` is false
    where the same holds for outputs. `outputs_together` and `whole_decoder` are limits in amperes, `interface` is the
    standard of its plug; None where the sheet is silent, and also where it could not be read: `unreadable` names those.
    """

    span: Span
    drop: Figure
    regulated: Figure | None
    common_is_readable: bool
    outputs: Mapping[str, DecoderOutput]
    effects: frozenset[str] | None
    outputs_are_listed: bool = True
    interface: Name | None = None
    outputs_together: Figure | None = None
    whole_decoder: Figure | None = None
    unreadable: frozenset[str] = frozenset()
