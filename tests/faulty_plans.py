"""Random lighting plans, each output sound or with one fault, written in the many ways that YAML allows."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any

# E12 of IEC 60063, over the decades that an LED or a bulb needs.
PREFERRED = [value * 10**power for power in (0, 1, 2, 3) for value in (10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82)]

FAULTS = ("unprotected-led", "overdriven-led", "overloaded-output", "wrong-lamp-voltage", "overheated-resistor")


@dataclass(frozen=True)
class FaultyPlan:
    """A plan with its files, and the rule that finds something on each of its outputs (None: nothing)."""

    text: str
    files: tuple[tuple[str, str], ...]
    faults: Mapping[str, str | None]


def faulty_plan(seed: int) -> FaultyPlan:
    """The plan of that number, always the same: sound but for one fault on most outputs."""
    return _Maker(Random(seed)).plan()


def tangled_plan(seed: int) -> FaultyPlan:
    """The plan of that number, with circuits made at random, and so with any number of faults on an output."""
    return _Tangled(Random(-1 - seed)).plan()


@dataclass
class _Maker:
    random: Random
    lamps: dict[str, Any] = field(default_factory=dict)
    limits: dict[str, str] = field(default_factory=dict)
    supply: float = 0.0

    def plan(self) -> FaultyPlan:
        # Volts behind the decoder, in tenths so that they are written as they are.
        self.supply = self.random.randint(100, 180) / 10
        names = self.random.sample(["white", "yellow", "green", "aux 1", "aux-2"], self.random.randint(1, 2))
        faults = {name: self.random.choice([*FAULTS, *FAULTS, None]) for name in names}
        outputs = {name: {"circuit": self._circuit(name, fault)} for name, fault in faults.items()}
        sheet = {"common": {"drop": "1.5 V"}, "outputs": {}}
        for number, name in enumerate(names, 1):
            sheet["outputs"][name] = {"number": str(number), "limit": self.limits.get(name, "500 mA")}
        written = {
            "vehicle": {"name": "Tipper 9"},
            "supply": self._supply(),
            "decoder": sheet,
            "parts": ["drawer.parts.yaml"],
            **self._more(),
            "lamps": self.lamps,
            "outputs": outputs,
            "keys": {},
        }
        writer = Writer(self.random)
        return FaultyPlan(writer.document(written), (("drawer.parts.yaml", self._drawer()),), faults)

    def _supply(self) -> Any:
        if self.random.random() < 0.3:
            return {"track": "22 V", "common": f"{self.supply:g} V"}
        return {"track": f"{self.supply + 1.5:g} V"}

    def _drawer(self) -> str:
        """A catalogue in which many a value that a fix may take has a rating that is too small, or a wide tolerance."""
        stock = self.random.sample(PREFERRED, 20)
        lines = [f"  - {{value: {ohms} ohm{self._stock_data()}}}" for ohms in stock]
        return "\n".join(["parts-catalogue: 1", "resistors:", *lines]) + "\n"

    def _stock_data(self) -> str:
        rating = self.random.choice(["", ", rating: 1/8 W", ", rating: 100 mW", ", size: 0603"])
        return rating + self.random.choice(["", ", tolerance: 10 %", ", tolerance: 1 %"])

    # --- Circuits -----------------------------------------------------------------------------------------------------

    def _more(self) -> dict[str, Any]:
        return {}

    def _circuit(self, name: str, fault: str | None) -> list[Any]:
        make: Mapping[str | None, Callable[[], list[Any]]] = {
            None: self._sound,
            "unprotected-led": self._bare,
            "overdriven-led": self._overdriven,
            "overloaded-output": lambda: self._overloaded(name),
            "wrong-lamp-voltage": self._overvolted,
            "overheated-resistor": self._overheated,
        }
        circuit = make[fault]()
        for _ in range(self.random.choice([0, 0, 1, 1, 1, 2])):
            circuit = self._wrapped(circuit)
        return circuit

    def _wrapped(self, circuit: list[Any]) -> list[Any]:
        if self.random.random() < 0.3:
            return [{"series": circuit}]
        branches = [circuit, *(self._sound() for _ in range(self.random.choice([0, 1, 1, 2])))]
        self.random.shuffle(branches)
        return [{"parallel": branches}]

    def _led(self, **data: str) -> tuple[str, float]:
        """A new LED's name and its forward voltage."""
        volts = self.random.choice([1.8, 2.1, 3.0, 3.2])
        spread = f"{volts - 0.2:.1f} V to {volts + 0.2:.1f} V" if self.random.random() < 0.4 else f"{volts} V"
        return self._lamp({"led": {"forward-voltage": spread, "maximum-current": "20 mA", **data}}), volts

    def _bulb(self, volts: str, current: str) -> str:
        return self._lamp({"bulb": {"voltage": volts, "current": current}})

    def _lamp(self, data: Any) -> str:
        name = f"{self.random.choice(['cab', 'tail', 'lampe née', 'marker no.'])} {len(self.lamps) + 1}"
        self.lamps[name] = data
        return name

    def _string(self, count: int, **data: str) -> tuple[list[Any], float]:
        """LEDs in a row with diodes between them, and their volts."""
        leds = [self._led(**data) for _ in range(count)]
        elements: list[Any] = [name for name, _ in leds]
        volts = sum(forward for _, forward in leds)
        if self.random.random() < 0.2:
            elements.insert(self.random.randrange(len(elements) + 1), {"diode": "0.7 V"})
            volts += 0.7
        return elements, volts

    def _with(self, elements: list[Any], ohms: float, rating: str | None = "2 W") -> list[Any]:
        elements.insert(self.random.randrange(len(elements) + 1), self._resistor(ohms, rating))
        return elements

    def _sound(self) -> list[Any]:
        elements, volts = self._string(self.random.randint(1, 2))
        # Three milliamperes, far from all limits: at most 50 mW.
        return self._with(elements, _at_least((self.supply - volts) / 0.003))

    def _bare(self) -> list[Any]:
        wish = self.random.choice([{}, {}, {"current": "4 mA"}, {"current": "12 mA"}])
        elements, _ = self._string(self.random.randint(1, 2), **wish)
        if self.random.random() < 0.2:
            self._with(elements, 0, None)
        return elements

    def _overdriven(self) -> list[Any]:
        elements, volts = self._string(self.random.randint(1, 2))
        milliamperes = self.random.choice([21, 25, 40])
        return self._with(elements, max(1, round((self.supply - volts) / milliamperes * 1000)))

    def _overloaded(self, name: str) -> list[Any]:
        elements, volts = self._string(1)
        self.limits[name] = f"{self.random.choice([4, 6, 9])} mA"
        return self._with(elements, _at_least((self.supply - volts) / 0.012))

    def _overvolted(self) -> list[Any]:
        volts, milliamperes = self.random.choice([(1.5, 15), (6, 40), (8, 60)])
        lamp = self._bulb(f"{volts} V", f"{milliamperes} mA")
        if self.random.random() < 0.2:
            return [lamp]
        # A third of the resistance that it needs.
        return self._with([lamp], max(1, round((self.supply - volts) / milliamperes * 1000 / 3)), "5 W")

    def _overheated(self) -> list[Any]:
        elements, volts = self._string(1)
        rest = self.supply - volts
        # Hotter than half of 1/8 W, at no more than 15 mA.
        ohms = next(value for value in PREFERRED if value >= rest / 0.015)
        return self._with(elements, ohms, self.random.choice([None, "1/8 W", "size 0402", "50 mW"]))

    def _resistor(self, ohms: float, rating: str | None) -> Any:
        value = self._ohms(ohms)
        tolerance = self.random.choice([None, None, "5 %", "1 %"])
        size = rating is not None and rating.startswith("size")
        if size or self.random.random() < 0.3:
            data = {"resistor": value, "rating": rating, "tolerance": tolerance}
            if size:
                data |= {"rating": None, "size": rating.removeprefix("size ")}
            return {key: said for key, said in data.items() if said is not None}
        return " ".join(part for part in (value, rating, tolerance) if part is not None)

    def _ohms(self, ohms: float) -> str:
        if ohms >= 1000:
            return self.random.choice([f"{ohms / 1000:g} kohm", f"{ohms / 1000:g} k\N{GREEK CAPITAL LETTER OMEGA}"])
        return self.random.choice([f"{ohms:g} ohm", f"{ohms:g}ohm", f"{ohms:g}R"])


class _Tangled(_Maker):
    def _more(self) -> dict[str, Any]:
        return {"common": {"circuit": [self._any_resistor()]}} if self.random.random() < 0.2 else {}

    def _circuit(self, name: str, _: str | None) -> list[Any]:
        self.limits[name] = self.random.choice(["500 mA", "50 mA", "20 mA"])
        return self._chain(2)

    def _chain(self, levels: int) -> list[Any]:
        return [self._element(levels) for _ in range(self.random.randint(1, 3))]

    def _element(self, levels: int) -> Any:
        if levels and self.random.random() < 0.4:
            if self.random.random() < 0.3:
                return {"series": self._chain(levels - 1)}
            return {"parallel": [self._chain(levels - 1) for _ in range(self.random.randint(1, 3))]}
        make = self.random.choice([self._any_resistor, self._any_led, self._any_bulb])
        return make()

    def _any_resistor(self) -> Any:
        rating = self.random.choice([None, "1/8 W", "1/4 W", "1 W", "size 1206"])
        return self._resistor(self.random.choice(PREFERRED[6:36]), rating)

    def _any_led(self) -> str:
        wish = self.random.choice([{}, {"current": "4 mA"}, {"built-in-resistor": "470 ohm"}])
        return self._led(**wish)[0]

    def _any_bulb(self) -> str:
        return self._bulb(*self.random.choice([("1.5 V", "15 mA"), ("6 V", "40 mA"), ("12 V", "60 mA")]))


def _at_least(ohms: float) -> float:
    return next(value for value in PREFERRED if value >= ohms)


# --- YAML -------------------------------------------------------------------------------------------------------------


@dataclass
class Writer:
    """Writes mappings, lists and texts in block or flow style, quoted or not, with comments, in one kind of line ends."""

    random: Random

    def document(self, data: Mapping[str, Any]) -> str:
        """The whole text."""
        line_end = self.random.choice(["\n", "\n", "\r\n"])
        return line_end.join([*self._lines(data, 0), ""])

    def _lines(self, data: Any, indent: int) -> list[str]:
        """`data`, not empty, in block style."""
        pad = " " * indent
        lines: list[str] = []
        for key, value in data.items() if isinstance(data, Mapping) else enumerate(data):
            if self.random.random() < 0.1:
                lines.append(f"{pad}# {self.random.choice(['as built', 'see the drawer: [a, b]', 'é'])}")
            lines += self._entry(f"{self._scalar(key)}:" if isinstance(data, Mapping) else "-", value, indent)
        return lines

    def _entry(self, begin: str, value: Any, indent: int) -> list[str]:
        pad = " " * indent
        comment = self.random.choice(["", "", "", "  # warm", " # was 1 kohm"])
        if isinstance(value, str) or not value or self.random.random() < 0.5:
            return f"{pad}{begin} {self._flow(value, indent + 2)}{comment}".split("\n")
        if begin == "-":
            first, *others = self._lines(value, indent + 2)
            # Behind the dash stands the first entry, not a comment.
            return (
                [f"{pad}- {first.lstrip()}", *others]
                if not first.lstrip().startswith("#")
                else [f"{pad}-", first, *others]
            )
        return [f"{pad}{begin}{comment}", *self._lines(value, indent + 2)]

    def _flow(self, value: Any, indent: int) -> str:
        if isinstance(value, str):
            return self._scalar(value)
        if isinstance(value, Mapping):
            inner = [f"{self._scalar(key)}: {self._flow(each, indent + 2)}" for key, each in value.items()]
            return "{" + self._separator(indent).join(inner) + "}"
        return "[" + self._separator(indent).join(self._flow(each, indent + 2) for each in value) + "]"

    def _separator(self, indent: int) -> str:
        broken = f",\n{' ' * (indent + 2)}"
        return self.random.choice([", ", ", ", ", ", ",  ", broken, f", # and{broken[1:]}"])

    def _scalar(self, text: str) -> str:
        return self.random.choice([text, text, text, f'"{text}"', f"'{text}'"])


# --- Slips of the finger ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class SlippedPlan:
    """A plan as it was meant, and as it was typed: with slips that leave no doubt of what was meant."""

    meant: str
    typed: str
    files: tuple[tuple[str, str], ...]
    slips: tuple[str, ...]


_SLIPS: Mapping[str, tuple[str, Callable[[re.Match[str]], str]]] = {
    "misspelt-unit": (r"(?<=\d )(mA|V)(?=[\s,}\"'])", lambda match: {"mA": "ma", "V": "v"}[match[0]]),
    "decimal-comma": (r"(?<=\d)\.(?=\d V[\s,}\"'])", lambda _: ","),
    "unknown-key": (r"forward-voltage(?=[:\"'])|\bcircuit(?=[:\"'])", lambda match: match[0][:-2] + match[0][-1]),
    "useless-allowance": (r"(?m)(?<=[\]}])$", lambda _: "  # lampwright: allow duplicate-key -- a slip"),
}


def slipped_plan(seed: int) -> SlippedPlan:
    """The plan of that number with one to four slips, in one of the three line ends."""
    plan, random = faulty_plan(seed), Random(seed)
    text = plan.text.replace("\r\n", "\n")
    slips: list[tuple[int, int, str, str]] = []
    for name in random.sample(sorted(_SLIPS), random.randint(1, len(_SLIPS))):
        pattern, wrong = _SLIPS[name]
        places = [match for match in re.finditer(pattern, text) if _is_written(text, match, slips)]
        if places:
            match = random.choice(places)
            slips.append((*match.span(), wrong(match), name))
    typed = text
    for start, end, wrong_text, _ in sorted(slips, reverse=True):
        typed = typed[:start] + wrong_text + typed[end:]
    line_end = random.choice(["\n", "\r\n", "\r"])
    ended = (each.replace("\n", line_end) for each in (text, typed))
    return SlippedPlan(*ended, plan.files, tuple(name for *_, name in slips))


def _is_written(text: str, match: re.Match[str], slips: list[tuple[int, int, str, str]]) -> bool:
    """Whether something stands there that is read, and nothing else was mistyped on that line."""
    start = text.rfind("\n", 0, match.start()) + 1
    end = text.find("\n", match.end())
    is_alone = all(other_end < start or other_start > end for other_start, other_end, *_ in slips)
    return is_alone and "#" not in text[start:end]
