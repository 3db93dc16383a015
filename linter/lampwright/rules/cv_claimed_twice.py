"""Two settings that write different values to the same bits of one CV.

On a sheet two fields overlap, or a register stands in a CV that has a meaning of its own: one of them was copied wrong.
In a plan two outputs share a register and want different things of it: whichever is written last counts for both.

Bad (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects: {steady: {code: 0}}
    registers:
      - cv: {white: 121}
        holds:
          - {what: effect, bits: 0 to 3}
          - {what: brightness, bits: 3 to 7}
          #                          ^^^^^^ "bits 3 to 7" of CV121 overlap another field, bits 0 to 3
        default: 0

Good (mast-three.decoder.yaml):

    decoder-sheet: 1
    outputs: {white: {number: 1}}
    effects: {steady: {code: 0}}
    registers:
      - cv: {white: 121}
        holds:
          - {what: effect, bits: 0 to 3}
          - {what: brightness, bits: 4 to 7}
        default: 0

Source: logic; for CVs with a meaning of their own S-9.2.2 (2012), tables 1 and 2, read.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.programming import Claim, Clash
from lampwright.analysis.programming.sheet import SharedBits, shared_bits
from lampwright.diagnostics import Finding, Note, Severity
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted
from lampwright.rule.programming import said_place


@rule(Severity.ERROR)
def cv_claimed_twice(context: Context) -> Iterator[Verdict]:
    """Two settings that write different values to the same bits of one CV."""
    if context.decoder is not None:
        for shared in shared_bits(context.decoder):
            yield _on_sheet(shared)
    if context.lighting_plan is not None and context.plan.decoder is not None:
        faulty = {shared.cv for shared in shared_bits(context.plan.decoder)}
        for clash in context.programming.clashes:
            if clash.later.cv not in faulty:
                yield _in_plan(clash, context)


def _on_sheet(shared: SharedBits) -> Finding:
    if shared.earlier is None:
        return Finding(
            shared.later, f'CV "{shared.cv}" has a meaning of its own by S-9.2.2, and a register cannot stand there'
        )
    later, earlier = _field(shared.later.text), _field(shared.earlier.text)
    verb = "overlap" if later.startswith("bits") else "overlaps"
    message = f'"{later}" of CV{shared.cv} {verb} another field, {earlier}'
    return Finding(shared.later, message, (Note(shared.earlier, "the other field is here"),))


def _field(text: str) -> str:
    if " to " in text:
        return f"bits {text}"
    return f"bit {text}" if text.isdecimal() else f"the digit {text}"


def _in_plan(clash: Clash, context: Context) -> Finding:
    one, other = clash.earlier, clash.later
    span = other.span or one.span or context.plan.span
    notes = (Note(one.span, "and this, too, is written there"),) if one.span is not None and one.span != span else ()
    place = said_place(other.place)
    return Finding(
        span, f"CV{other.cv} cannot hold {_wanted(other)} and {_wanted(one)} in {place} at the same time", notes
    )


def _wanted(claim: Claim) -> str:
    return f"{claim.value} for {quoted(claim.output)}" if claim.output is not None else f"{claim.value}"
