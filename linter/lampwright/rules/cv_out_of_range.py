"""A value that does not fit into a CV or its field, or a CV number above 1024.

A CV holds 0 to 255, a decimal digit 0 to 9, a hex digit 0 to 15, and CVs are numbered from 1 to 1024. A number outside
of that was mistyped, or stands in the wrong field.

Bad (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects:
      steady: {code: 0}
      beacon: {code: 12}
      #              ^^ the code "12" does not fit into the tens digit, which holds 0 to 9
    registers:
      - cv: {white: 121}
        holds: [{what: effect, digit: tens}]
        default: 0

Good (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects:
      steady: {code: 0}
      beacon: {code: 12}
    registers:
      - cv: {white: 121}
        holds: [{what: effect, digit: high}]
        default: 0

Source: S-9.2.2 (2012), read: all CVs have eight bits; S-9.2.1 (2012), read: a CV number has ten.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming.sheet import Misfit, misfits
from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.programming import said_place


@rule(Severity.ERROR)
def cv_out_of_range(context: Context) -> Iterator[Verdict]:
    """A value that does not fit 0 to 255 or its field; a CV number above 1024."""
    if context.decoder is not None:
        for misfit in misfits(context.decoder):
            notes = (Note(misfit.place.span, "the field is here"),) if misfit.place and misfit.place.span else ()
            yield Finding(misfit.span, _message(misfit), notes, data={"limit": misfit.most})


def _message(misfit: Misfit) -> str:
    written = f'"{misfit.number}"'
    if misfit.what == "CV":
        return f"there is no CV {written}: they are numbered from 1 to {misfit.most}"
    if misfit.place is None:
        return f"the value {written} does not fit into a CV, which holds 0 to {misfit.most}"
    what = "brightness" if misfit.what == "full" else "code"
    return f"the {what} {written} does not fit into {said_place(misfit.place)}, which holds 0 to {misfit.most}"
