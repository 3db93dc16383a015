"""A wire that the plan uses and the plug does not have, such as the common on NEM 651.

What the decoder's sheet lists exists, for loose wires beside a plug are usual. Beyond that there is what the stated
interface has: that of the sheet (`interface:`), else that of the vehicle (`socket:`). Where none is stated, nothing is
missing.

NEM 651 and NEM 654 have no contact for the common: there each output returns to a rail (`return: rail`). A common that
was measured (`supply: {common: 13 V}` in the plan) or that the sheet says is regulated is a wire that exists.

Bad:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {interface: NEM 651, common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp]}
    # ^^^^^ the lamps of the output "white" return to the common, for which NEM 651 has no wire
    keys: {}

Good:

    vehicle: {name: Quarry switcher 7}
    supply: {track: 14.5 V}
    decoder: {interface: NEM 651, common: {drop: 1.4 V}, outputs: {white: {number: 1, limit: 100 mA}}}
    lamps:
      front headlamp: {led: {forward-voltage: 3.0 V, maximum-current: 20 mA}}
    outputs:
      white: {circuit: [1.5 kohm 1/4 W, front headlamp], return: rail}
    keys: {}

Source: NEM 651, 652 (2017) and 660 (2015), read; NEM 654 and Next18 read second-hand, PluX22 from memory, and so
warnings at most.
"""

from __future__ import annotations

from collections.abc import Iterator

from lampwright.analysis.plugs import Plug, plug_is_readable, stated_plug
from lampwright.analysis.returns import uses_common
from lampwright.diagnostics import Finding, Note, Severity, Undecided
from lampwright.model.interfaces import Interface, output_wire
from lampwright.model.lighting import LightingPlan, Output
from lampwright.rule import Context, Verdict, rule
from lampwright.rule.phrases import quoted


@rule(Severity.ERROR, needs_plan=True)
def missing_wire(context: Context) -> Iterator[Verdict]:
    """A wire that neither the sheet lists nor the stated interface has."""
    plan = context.plan
    plug = stated_plug(plan)
    if not plug_is_readable(plan):
        yield from (Undecided(output.span, "a readable interface") for output in plan.outputs.values())
    elif plug is not None:
        yield from _missing_common(plan, plug)
        yield from _missing_outputs(plan, plug)


def _missing_common(plan: LightingPlan, plug: Plug) -> Iterator[Verdict]:
    using = [output for output in plan.outputs.values() if output.circuit is not None and uses_common(output.circuit)]
    if not using or plug.interface.has_common or _common_exists(plan):
        return
    first, *others = using
    notes = [Note(other.span, f"so do those of {quoted(other.name)}") for other in others]
    yield Finding(
        first.span,
        f"the lamps of the output {quoted(first.name)} return to the common, for which {plug.name} has no wire"
        f"{_trust(plug.interface)}",
        (*notes, Note(plug.span, "the interface is stated here")),
        ceiling=Severity.WARNING if plug.interface.origin.is_weak else None,
    )


def _common_exists(plan: LightingPlan) -> bool:
    """Whether somebody speaks of the common as of a wire that is there: has measured it, or says it is regulated."""
    measured = plan.supply.common
    is_measured = measured is not None and measured.span is not None and plan.span.holds(measured.span)
    is_regulated = plan.decoder is not None and plan.decoder.regulated is not None
    return is_measured or is_regulated or plan.common_measured is not None


def _missing_outputs(plan: LightingPlan, plug: Plug) -> Iterator[Verdict]:
    """The outputs that a sheet with a list of outputs lacks are unknown names; here are those of one without."""
    decoder = plan.decoder
    if decoder is None or decoder.outputs_are_listed:
        return
    for output in plan.outputs.values():
        wire = output_wire(output.name)
        if output.name in decoder.outputs or wire in plug.interface.outputs:
            continue
        if wire is None or "outputs" in decoder.unreadable:
            yield Undecided(output.span, "a readable list of outputs on the decoder sheet")
        else:
            yield _missing_output(output, plug)


def _missing_output(output: Output, plug: Plug) -> Finding:
    return Finding(
        output.span,
        f"{plug.name} has no wire for the output {quoted(output.name)}, and the decoder sheet lists none"
        f"{_trust(plug.interface)}",
        (Note(plug.span, "the interface is stated here"),),
        ceiling=Severity.WARNING if plug.interface.origin.is_weak else None,
    )


def _trust(interface: Interface) -> str:
    return f" ({interface.origin.value})" if interface.origin.is_weak else ""
