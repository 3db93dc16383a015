"""CV7 or CV8 as a register.

They tell version and maker and cannot be written; many decoders take a write to CV8 as a wish to be reset to what they
were on delivery, which costs all that was programmed before.

Bad (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects: {steady: {code: 0}}
    registers:
      - cv: {white: 8}
      #             ^ CV "8" is read-only: it tells the maker, and no register can be there
        holds: [{what: effect, digit: ones}]
        default: 0

Good (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects: {steady: {code: 0}}
    registers:
      - cv: {white: 118}
        holds: [{what: effect, digit: ones}]
        default: 0

Source: S-9.2.2 (2012), table 1, read. That a write to CV8 resets is of RCN-226, read second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming.sheet import read_only
from lampwright.diagnostics import Finding, Severity
from lampwright.rule import Context, Verdict, rule

_MEANING = {7: "the version", 8: "the maker"}


@rule(Severity.ERROR)
def read_only_cv(context: Context) -> Iterator[Verdict]:
    """CV7 or CV8 in a register."""
    if context.decoder is not None:
        for cv in read_only(context.decoder):
            meaning = _MEANING[cv.value]
            yield Finding(cv.span, f'CV "{cv.value}" is read-only: it tells {meaning}, and no register can be there')
