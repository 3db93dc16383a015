"""Plans of keys for the rules that the key logic decides, and what is asked of such a rule's verdict."""

from __future__ import annotations

import json
from collections.abc import Mapping

from lampwright.diagnostics import Finding, Severity
from lampwright.model.settings import Settings
from rule_cases import lacks
from seam import report

NOTE = Severity.NOTE
TOO_LONG = "an answer within the time for one question"
UNREAD = "entries and looks that can all be read"

EFFECTS = (
    "{steady: {code: 0}, strobe: {code: 1, rate: 10 to 300 per minute}, beacon: {code: 2, rate: 50 to 120 per minute},"
    " firebox flicker: {code: 3, rate: 5 to 300 per minute}, glow: {code: 4},"
    " wig-wag: {codes: {first: 5, second: 6}, pairs: [[green, violet], [aux1, aux2]], rate: 40 to 120 per minute}}"
)
SHEET = (
    "{common: {drop: 1.4 V}, keys: {highest: 28}, outputs: {white: {number: 1}, yellow: {number: 2},"
    " green: {number: 3}, violet: {number: 4}, brown: {number: 5}, aux1: {number: 6}, aux2: {number: 7}},"
    f" effects: {EFFECTS}}}"
)

# Thirty pairs of keys that are on alike: in the order of their numbers nobody keeps 2 to the 30th cases apart.
HARD = f"[{', '.join(f'{{any: [[F{key}, F{key + 14}], [not F{key}, not F{key + 14}]]}}' for key in range(1, 15))}]"


def plan(
    keys: str = "{}",
    outputs: Mapping[str, str] | None = None,
    *,
    always: str = "[]",
    lamps: Mapping[str, str] | None = None,
    vehicle: str = "",
    sheet: str = SHEET,
) -> str:
    """A plan with these keys, where `outputs` have a look of their own and a lamp each, named as `lamps` say."""
    outputs = outputs if outputs is not None else dict.fromkeys(named_outputs(keys + always), "")
    named = {output: (lamps or {}).get(output, f"lamp of {output}") for output in outputs}
    lines = [f"  {lamp}: {{bulb: {{voltage: 14 V, current: 30 mA}}}}" for lamp in named.values()]
    wires = [f"  {output}: {{circuit: [{named[output]}]{look}}}" for output, look in outputs.items()]
    return "\n".join(
        [
            f"vehicle: {{name: Tipper 9{vehicle}}}",
            "supply: {track: 14.5 V}",
            f"decoder: {sheet}",
            "lamps:" if lines else "lamps: {}",
            *lines,
            "outputs:" if wires else "outputs: {}",
            *wires,
            f"always: {always}",
            f"keys: {keys}",
            "",
        ]
    )


def named_outputs(text: str) -> list[str]:
    """The outputs that are turned on somewhere in `text`."""
    return [name for name in ("white", "yellow", "green", "violet", "brown", "aux1", "aux2") if name in text]


def entries(*texts: str) -> str:
    return f"{{turns-on: [{', '.join(f'{{{text}}}' for text in texts)}]}}"


def keys(**turned_on: str | tuple[str, ...]) -> str:
    """`keys(F0="output: white")`."""
    each = {key: entries(*([item] if isinstance(item, str) else item)) for key, item in turned_on.items()}
    return f"{{{', '.join(f'{key}: {text}' for key, text in each.items())}}}"


def only(rule: str, text: str, settings: Settings | None = None) -> Finding:
    """The one finding of the plan, which is one of `rule`, in one sentence that quotes what is wrong."""
    findings = report(text, settings=settings).findings
    assert [finding.rule for finding in findings] == [rule], [(each.rule, each.message) for each in findings]
    (found,) = findings
    assert '"' in found.message
    assert not found.message.endswith(".")
    assert ". " not in found.message.replace("S-9.2.1", "")
    json.dumps(dict(found.data), allow_nan=False)
    return found


def silent(rule: str, text: str, settings: Settings | None = None) -> None:
    """That `rule` came to a verdict everywhere, and has nothing to say."""
    whole = report(text, settings=settings)
    assert [finding.message for finding in whole.findings if finding.rule == rule] == []
    assert lacks(whole, rule) == []


def undecided(rule: str, text: str, settings: Settings | None = None) -> list[tuple[str, str]]:
    """Where `rule` cannot decide, for want of what; it finds nothing there."""
    whole = report(text, settings=settings)
    assert [finding.message for finding in whole.findings if finding.rule == rule] == []
    return lacks(whole, rule)


def state(*on: str, direction: str = "forward", moving: bool = False) -> dict[str, object]:
    return {"keys": list(on), "direction": direction, "moving": moving}
