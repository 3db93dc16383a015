"""The text of a new lighting plan: what was asked for stands in it, the rest is there to be filled in.

A line that begins with `#:` is one of the plan, put out of action. All of them together are a plan as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lampwright.records import dataclass
from lampwright.syntax.quoting import scalar

GENERIC_LAMP = "{led: {forward-voltage: 2.8 V to 3.3 V, current: 4 mA, maximum-current: 20 mA, colour: warm white}}"
"""A white LED as most are: from memory, to be replaced by what its data sheet says."""


@dataclass(frozen=True, slots=True)
class OutputToFill:
    """An output of the decoder: its name, what is to be known of it in a word, and whether it feeds lamps at all."""

    name: str
    remark: str = ""
    feeds_lamps: bool = True


@dataclass(frozen=True, slots=True)
class HeadlampsToFill:
    """What lights the way: a lamp and a resistor in YAML, whether both return to a rail, what their key is called."""

    lamp: str
    resistor: str
    rail: bool = False
    label: str = "Headlamps"


@dataclass(frozen=True, slots=True)
class PlanToFill:
    """What is known of a vehicle. `decoder` and `parts` are paths as the plan writes them, None and () if it has none.

    Without `headlamps` the plan has no lamps yet.
    """

    name: str
    scale: str | None
    address: int | None
    shell: str | None
    decoder: str | None
    parts: Sequence[str]
    outputs: Sequence[OutputToFill]
    headlamps: HeadlampsToFill | None


def render_plan_to_fill(plan: PlanToFill) -> str:
    """The plan, with a line end."""
    wiring = _wiring(plan.outputs, plan.headlamps) if plan.headlamps is not None else _NO_WIRING
    return "".join([_HEAD, *_vehicle(plan), _SUPPLY, *_decoder(plan), *_parts(plan), *wiring])


_HEAD = """\
# A lighting plan: one vehicle, its lamps, what hangs on each output, what each key does.
# Lines that begin with #: are proposals; take the #: away from what your vehicle has, and correct the rest.
lighting-plan: 1

vehicle:
"""
_SUPPLY = """\
#:  motor: 250 mA                 # what the motor takes at most, for the limit of the whole decoder

# What stands on the track while trains run. Not said: as lampwright.yaml says, or as usual for the scale.
#:supply: {track: 14.5 V}         # or 13 V to 16 V; or common: 13.0 V, measured behind the decoder

"""
_NO_SHEET = """\
# What the decoder's manual says of its outputs, such as {number: 1, limit: 100 mA, surge: 400 mA}. A sheet of its
# own serves many plans: `lampwright new decoder` makes one, and its path stands here instead.
decoder:
  outputs:
"""
_NO_PARTS = """
# Catalogues of lamps and resistors (`lampwright new parts` makes one) are named like this: parts: [club.parts.yaml]
"""
_LAMPS = """
# Each lamp with the figures of its data sheet: an LED; or {bulb: {voltage: 12 V, current: 40 mA}};
# or a lamp of a catalogue, {part: warm white 0603}.
lamps:
"""
_OUTPUTS = """
# What hangs between the common wire and each output, in series: resistors, lamps, {parallel: [chain, chain]}.
outputs:
"""
_KEYS = """
# What each key turns on, and when: forward, reverse, moving, stopped, F0 to F68, each also with `not` before it.
# Beside `when` may stand effect, brightness and rate.
keys:
  F0:
"""
_NO_WIRING = f"""
# In the place of {{}} a line for each lamp, such as
#   front headlamp: {GENERIC_LAMP}
lamps: {{}}

# The same for what hangs on each output:  white: {{circuit: [1.5 kohm 1/4 W, front headlamp]}}
outputs: {{}}

# And for each key:  F0: {{label: Headlamps, turns-on: [{{output: white, when: forward}}]}}
keys: {{}}
"""
"""For where no circuit that we know of would be right, so that one who knows more has to begin."""


def _vehicle(plan: PlanToFill) -> Iterator[str]:
    yield f"  name: {scalar(plan.name)}\n"
    yield _known("scale", plan.scale, "HO", "Z, N, TT, HO, S, O, G; it tells the usual track voltage")
    yield _known("address", plan.address, 3, "1 to 127 short, 128 to 10239 long; {long: 112} forces a long one")
    yield _known("shell", plan.shell, "plastic", "plastic, resin, metal; it tells how hot a lamp may be")


def _known(key: str, value: object, proposal: object, remark: str) -> str:
    line = f"  {key}: {value}" if value is not None else f"#:  {key}: {proposal}"
    return f"{line:<34}# {remark}\n"


def _decoder(plan: PlanToFill) -> Iterator[str]:
    if plan.decoder is not None:
        yield f"decoder: {scalar(plan.decoder)}\n"
        return
    yield _NO_SHEET
    for number, output in enumerate(plan.outputs, 1):
        yield f"    {scalar(output.name)}: {{number: {number}}}\n"


def _parts(plan: PlanToFill) -> Iterator[str]:
    yield f"parts: [{', '.join(map(scalar, plan.parts))}]\n" if plan.parts else _NO_PARTS


def _wiring(outputs: Sequence[OutputToFill], headlamps: HeadlampsToFill) -> Iterator[str]:
    """Headlamps on the first two outputs that feed lamps, and a proposal for each of the others."""
    feeding = [each for each in outputs if each.feeds_lamps]
    lamps = [*zip(("front headlamp", "rear headlamp"), feeding, strict=False)]
    proposed = [(f"lamp on {each.name}", each) for each in feeding[2:]]
    yield _LAMPS
    yield from (f"  {name}: {headlamps.lamp}\n" for name, _ in lamps)
    yield from (f"#:  {scalar(name)}: {headlamps.lamp}\n" for name, _ in proposed)
    yield _OUTPUTS
    yield from (f"  {_output(each, name, headlamps)}\n" for name, each in lamps)
    yield from (f"#:  {_output(each, name, headlamps)}\n" for name, each in proposed)
    yield from (f"#   {scalar(each.name)}: {each.remark}\n" for each in outputs if not each.feeds_lamps)
    yield from (_KEYS, f"    label: {scalar(headlamps.label)}\n", "    turns-on:\n")
    for (_, output), direction in zip(lamps, ("forward", "reverse"), strict=False):
        yield f"      - {{output: {scalar(output.name)}, when: {direction}}}\n"
    for number, (_, output) in enumerate(proposed, 1):
        yield f"#:  F{number}: {{turns-on: [{{output: {scalar(output.name)}}}]}}\n"


def _output(output: OutputToFill, lamp: str, headlamps: HeadlampsToFill) -> str:
    back = ", return: rail" if headlamps.rail else ""
    remark = f"   # {output.remark}" if output.remark else ""
    chain = ", ".join(each for each in (headlamps.resistor, scalar(lamp)) if each)
    return f"{scalar(output.name)}: {{circuit: [{chain}]{back}}}{remark}"
