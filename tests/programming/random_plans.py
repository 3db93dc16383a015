"""Plans with a decoder sheet inside, at random: every mapping method, every kind of field, keys enough to go through all states."""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import product
from typing import Any

from hypothesis import strategies as st

from lampwright.analysis.programming import Programming, programming_facts
from lampwright.engine import Refusal, plan_of
from lampwright.model.lighting import LightingPlan
from lampwright.model.settings import Settings
from lampwright.text import Source

METHODS = ("function-matrix", "by-function", "by-output-matrix", "by-output-numbers", "by-output-states", "fixed")
NAMES = ("white", "yellow", "green", "violet")
KEYS = ("F0", "F1", "F5", "F9")
CONDITIONS: tuple[Any, ...] = (
    [], "forward", "reverse", "moving", "stopped", "F0", "not F1", ["forward", "F0"], ["reverse", "not F5"],
    {"any": ["forward", "F1"]}, ["stopped", {"any": ["reverse", "F9"]}],
)  # fmt: skip
PLAIN = ([], [], "forward", "reverse", "not F1", ["forward", "F0"])
RATES = ("20 per minute", "40 per minute", "60 per minute", "100 per minute")


@dataclass(frozen=True)
class Case:
    """A plan as plain values, its sheet among them, and what the program knows of it."""

    text: dict[str, Any]
    plan: LightingPlan
    programming: Programming

    @property
    def sheet(self) -> dict[str, Any]:
        sheet: dict[str, Any] = self.text["decoder"]
        return sheet

    @property
    def lines(self) -> list[dict[str, Any]]:
        """The list as the command prints it, without the words."""
        return self.lines_of(self.programming)

    @staticmethod
    def lines_of(programming: Programming) -> list[dict[str, Any]]:
        return [
            {"cv": each.cv, "value": each.value, "mask": each.mask, "page": list(each.page) if each.page else None}
            for each in programming.settings
        ]


def case_of(text: dict[str, Any]) -> Case:
    source = Source("plan.lights.yaml", json.dumps(text))
    plan = plan_of(source, Settings(), lambda *_: Refusal("missing"))
    assert plan is not None
    return Case(text, plan, programming_facts(plan))


def states(keys: tuple[str, ...] = KEYS) -> list[tuple[frozenset[str], bool, bool]]:
    on = [
        frozenset(key for key, is_on in zip(keys, some, strict=True) if is_on)
        for some in product([False, True], repeat=len(keys))
    ]
    return list(product(on, (True, False), (True, False)))


# --- Sheets -----------------------------------------------------------------------------------------------------------


@st.composite
def sheets(draw: st.DrawFn) -> dict[str, Any]:
    names = NAMES[: draw(st.integers(1, 4))]
    numbers = draw(st.lists(st.integers(1, 12), min_size=len(names), max_size=len(names), unique=True))
    return {
        "outputs": {name: {"number": str(number)} for name, number in zip(names, numbers, strict=True)},
        "keys": draw(_keys(names)),
        "effects": {
            "steady": {"code": "0"},
            "glow": {"code": "3"},
            "beacon": {"code": "5", "rate": "40 to 120 per minute"},
            "alternating flash": {"codes": {"first": "1", "second": "2"}, "pairs": [list(names[:2])], "rate": "20 to 60 per minute"}
            if len(names) > 1
            else {"code": "1"},
        },
        "registers": draw(_registers(names)),
    }  # fmt: skip


@st.composite
def _keys(draw: st.DrawFn, names: tuple[str, ...]) -> dict[str, Any]:
    method = draw(st.sampled_from(METHODS))
    keys: dict[str, Any] = {"highest": draw(st.sampled_from(["12", "28", "68"])), "mapping": method}
    if method == "function-matrix" and draw(st.booleans()):
        keys["mapping"] = {
            "function-matrix": {"first-output": {"F4 to F8": draw(st.sampled_from(["1", "2"])), "F9": "1"}}
        }
    if method == "fixed":
        entry = st.fixed_dictionaries({"output": st.sampled_from(names), "when": st.sampled_from(PLAIN)})
        keys["fixed"] = {key: draw(st.lists(entry, max_size=3)) for key in KEYS}
    return keys


@st.composite
def _registers(draw: st.DrawFn, names: tuple[str, ...]) -> list[dict[str, Any]]:
    """A register of conditions and effects, one of brightness, one of rates, or some of these in one CV."""
    default = draw(st.booleans())
    layout = draw(st.sampled_from(["none", "decimal", "bits", "hex", "whole", "shared", "several"]))
    if layout == "none":
        return []
    page = {"CV31": "16", "CV32": "0"} if draw(st.booleans()) else None
    first = 301 if page else 151

    def register(at: int, *holds: dict[str, Any], given: str = "0", shared: bool = False) -> dict[str, Any]:
        cvs = {name: str(first + at + (0 if shared else index)) for index, name in enumerate(names)}
        more = {"page": page} if page else {}
        return {"cv": cvs, "holds": list(holds), **more, **({"default": given} if default else {})}

    codes = draw(st.lists(st.sampled_from(CONDITIONS), min_size=1, max_size=5, unique_by=json.dumps))
    condition = {"what": "condition", "codes": [{"code": str(code), "when": when} for code, when in enumerate(codes)]}
    rate = draw(st.sampled_from([
        {"per-step": "20 per minute"},
        {"per-step": "10 per minute", "offset": "10 per minute"},
        {"codes": [{"code": "2", "rate": "40 per minute"}, {"code": "1", "rate": "60 per minute"}]},
    ]))  # fmt: skip
    rate = {"what": "rate", **rate}
    match layout:
        case "decimal":
            return [
                register(0, {"what": "effect", "digit": "tens"}, {**condition, "digit": "ones"}),
                register(
                    10, {**rate, "digit": "ones"}, {"what": "brightness", "digit": "tens", "full": "9"}, given="91"
                ),
            ]
        case "bits":
            return [
                register(0, {"what": "effect", "bits": "0 to 3"}, {**condition, "bits": "4 to 6"}),
                register(
                    10, {"what": "brightness", "bits": "0 to 4", "full": "20"}, {**rate, "bits": "5 to 7"}, given="84"
                ),
            ]
        case "hex":
            return [
                register(0, {"what": "brightness", "digit": "high"}, {"what": "effect", "digit": "low"}, given="240"),
                register(10, {**condition, "digit": "high"}, {**rate, "digit": "low"}, given="2"),
            ]
        case "whole":
            whole = [
                {"cv": "140", "holds": [{**rate, "bits": "0 to 6"}]},
                {"cv": "141", "holds": [{**condition, "bits": "1 to 3"}]},
            ]
            return [*whole, register(0, {"what": "effect", "digit": "ones"})]
        case "shared":
            return [
                register(
                    0, {**condition, "digit": "low"}, {"what": "brightness", "digit": "high"}, shared=True, given="240"
                )
            ]
    return [
        register(0, {"what": "effect", "bits": "0 to 2"}),
        register(10, {**condition, "digit": "ones"}),
        {"cv": "140", "holds": [{"what": "condition", "bits": "7", "codes": [{"code": "0", "when": []}, {"code": "1", "when": "forward"}]}]},
        register(20, {"what": "brightness", "bits": "2 to 7"}, given="255"),
    ]  # fmt: skip


# --- Plans ------------------------------------------------------------------------------------------------------------


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    sheet = draw(sheets())
    names = list(sheet["outputs"])
    keys = draw(st.lists(st.sampled_from(KEYS), min_size=1, max_size=3, unique=True))
    text = {
        "vehicle": {
            "name": "Tipper 9",
            "reversed": draw(st.sampled_from(["false", "false", "true"])),
            "address": "2107",
        },
        "decoder": sheet,
        "lamps": {},
        "outputs": {
            name: {"circuit": [], **draw(_looks())} for name in draw(st.sets(st.sampled_from(names), min_size=1))
        },
        "keys": {key: {"turns-on": draw(st.lists(_entries(names), max_size=3))} for key in sorted(keys)},
    }
    if draw(st.integers(0, 9)) == 0:
        text["always"] = draw(st.lists(_entries(names), max_size=1))
    return text


@st.composite
def _entries(draw: st.DrawFn, names: list[str]) -> dict[str, Any]:
    when = draw(st.sampled_from(PLAIN) | st.sampled_from(CONDITIONS))
    look = draw(_looks()) if draw(st.integers(0, 4)) == 0 else {}
    return {"output": draw(st.sampled_from(names)), "when": when, **look}


@st.composite
def _looks(draw: st.DrawFn) -> dict[str, Any]:
    look: dict[str, Any] = {}
    if draw(st.integers(0, 3)) == 0:
        look["effect"] = draw(st.sampled_from(["steady", "glow", "beacon", "alternating flash"]))
    if draw(st.integers(0, 3)) == 0:
        look["brightness"] = draw(st.sampled_from(["10 %", "40 %", "100 %"]))
    if "effect" in look and draw(st.booleans()):
        look["rate"] = draw(st.sampled_from(RATES))
    return look


# --- Plans that a decoder can be programmed with ----------------------------------------------------------------------


@st.composite
def sayable_plans(draw: st.DrawFn) -> dict[str, Any]:
    """Plans that say what some CVs would do: whatever the mapping says of an output, and a code of its register."""
    sheet = draw(sheets())
    names = list(sheet["outputs"])
    conditions = {name: draw(_said_by_registers(sheet)) for name in names}
    if any(
        field["what"] == "condition"
        for register in sheet["registers"]
        if _is_shared(register)
        for field in register["holds"]
    ):
        conditions = dict.fromkeys(names, conditions[names[0]])
    lit = draw(_mapped(sheet, names))
    looks = {name: draw(_said_looks(sheet)) for name in names}
    keys: dict[str, Any] = {}
    for name in names:
        for key, when in lit[name]:
            entry = {"output": name, "when": [*when, *conditions[name]]}
            keys.setdefault(key, {"turns-on": []})["turns-on"].append(entry)
    return {
        "vehicle": {"name": "Tipper 9", "reversed": "false", "address": "3"},
        "decoder": sheet,
        "lamps": {},
        "outputs": {name: {"circuit": [], **looks[name]} for name in names},
        "keys": keys,
    }


def _is_shared(register: dict[str, Any]) -> bool:
    cvs = register["cv"]
    return isinstance(cvs, str) or len(set(cvs.values())) < len(cvs)


@st.composite
def _said_by_registers(draw: st.DrawFn, sheet: dict[str, Any]) -> list[Any]:
    fields = [field for register in sheet["registers"] for field in register["holds"] if field["what"] == "condition"]
    return [draw(st.sampled_from(field["codes"]))["when"] for field in fields]


@st.composite
def _said_looks(draw: st.DrawFn, sheet: dict[str, Any]) -> dict[str, Any]:
    kinds = {field["what"] for register in sheet["registers"] for field in register["holds"]}
    look: dict[str, Any] = {}
    if "effect" in kinds:
        look["effect"] = draw(st.sampled_from(["steady", "glow", "beacon"]))
    shared = any(_is_shared(register) for register in sheet["registers"])
    if "brightness" in kinds and not shared:
        look["brightness"] = draw(st.sampled_from(["40 %", "100 %"]))
    if "rate" in kinds and look.get("effect") == "beacon":
        look["rate"] = "60 per minute"
    return look


@st.composite
def _mapped(draw: st.DrawFn, sheet: dict[str, Any], names: list[str]) -> dict[str, list[tuple[str, list[Any]]]]:
    """By output, keys with conditions that the mapping method can say."""
    method, numbers = sheet["keys"]["mapping"], {name: int(sheet["outputs"][name]["number"]) for name in names}
    if method == "fixed":
        fixed = sheet["keys"]["fixed"]
        return {
            name: [(key, [entry["when"]]) for key in fixed for entry in fixed[key] if entry["output"] == name]
            for name in names
        }
    some_keys = st.lists(st.sampled_from(KEYS), max_size=3, unique=True)
    forbidding = st.sampled_from([*KEYS, None, None, None])
    ways = ("forward", "reverse")
    if method == "by-function":
        unless = {(key, way): draw(forbidding) for key in KEYS for way in ways}
        rows = {name: draw(st.lists(st.sampled_from(sorted(unless)), max_size=4, unique=True)) for name in names}
        return {name: [(key, [way, *_not(unless[key, way])]) for key, way in rows[name]] for name in names}
    if method == "by-output-matrix":
        return {name: [(key, [way]) for way in ways for key in draw(some_keys)] for name in names}
    if method == "by-output-numbers":
        lit = {}
        for name in names:
            unless_ = {way: draw(forbidding) for way in ways}
            lit[name] = [(key, [way, *_not(unless_[way])]) for way in ways for key in draw(some_keys)]
        return lit
    if method == "by-output-states":
        lit = {}
        for name in names:
            forbids = [each for each in draw(st.lists(forbidding, max_size=3)) if each is not None]
            whens = [draw(st.sampled_from([[], ["forward"], ["reverse"]])) for _ in KEYS]
            no = [f"not {key}" for key in forbids]
            lit[name] = [(key, [*when, *no]) for key, when in zip(draw(some_keys), whens, strict=False)]
        return lit
    first = {"F0": 1, "F1": 1, "F5": 4, "F9": 7}
    if isinstance(method, dict):
        starts = method["function-matrix"]["first-output"]
        first |= {"F5": int(starts["F4 to F8"]), "F9": int(starts["F9"])}
    matrix: dict[str, list[tuple[str, list[Any]]]] = {}
    for name in names:
        reaching = [key for key in KEYS if 0 <= numbers[name] - first[key] <= 7]
        chosen = draw(st.lists(st.sampled_from(reaching), unique=True)) if reaching else []
        matrix[name] = [
            (key, draw(st.sampled_from([[], ["forward"], ["reverse"]])) if key == "F0" else []) for key in chosen
        ]
    return matrix


def _not(key: str | None) -> list[str]:
    return [] if key is None else [f"not {key}"]
