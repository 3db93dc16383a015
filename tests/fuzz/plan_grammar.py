"""Lighting plans at random: all that the language knows, in shapes in which it hangs together."""

from __future__ import annotations

from typing import Any

from drawing import Document, Drawing
from vocabulary import COLOURS, EFFECTS, KEYS, LABELS, LAMPS, OUTPUTS, PARTS, WORDS

from lampwright.plan.lighting import SCALES, SHELLS
from lampwright.plan.sheet import INTERFACES

SHEET, CATALOGUE = "bench.decoder.yaml", "club.parts.yaml"


class PlanGrammar(Drawing):
    """A plan whose lamps are wired and whose keys turn them on, mostly."""

    def plan(self, sheet: Document | None) -> Document:
        """With `sheet` in it; without one it refers to a file."""
        self.lamps = [self.named(LAMPS) for _ in range(self.one(1, 1, 1, 2))]
        self.outputs = self.few(OUTPUTS[:6], 1, self.one(1, 1, 1, 2, 3))
        self.keys = self.few(KEYS, 1, self.one(1, 1, 2, 3))
        outputs = {name: self._output() for name in self.outputs}
        return self.mapping(
            {
                "vehicle": self._vehicle(),
                "decoder": sheet if sheet is not None else self.bent(SHEET),
                "lamps": {name: self._lamp() for name in self.lamps},
                "outputs": outputs,
                "keys": {self.bent_key(key): self._key() for key in self.keys},
            },
            lighting_plan=(0.2, lambda: self.bent("1")),
            supply=(0.8, self.supply),
            parts=(0.5, lambda: self.bent([CATALOGUE])),
            common=(0.04, self._common),
            always=(0.1, lambda: self.entries(self.outputs)),
        )

    def bent_key(self, key: str) -> str:
        return self.one(key.lower(), "F69", "F00", "F-1", "") if self.is_so(self.wildness) else key

    def _vehicle(self) -> Any:
        return self.mapping(  # noqa: S604  # the shell is a vehicle's
            {"name": self.named(["Quarry switcher 7"])},
            scale=(0.2, lambda: self.bent(self.random.choice(SCALES))),
            address=(0.4, lambda: self.one(self.said("address"), {"long": self.said("address")})),
            shell=(0.2, lambda: self.bent(self.random.choice(SHELLS))),
            reversed=(0.1, lambda: self.said("yes")),
            consist=(
                0.1,
                lambda: self.mapping(
                    {"address": self.said("address")},
                    reversed=(0.3, lambda: self.said("yes")),
                    keys=(0.5, lambda: self.few(KEYS, 0, 3)),
                ),
            ),
            motor=(0.2, lambda: self.said("limit")),
            socket=(0.2, lambda: self.bent(self.random.choice(INTERFACES))),
            inside=(0.1, lambda: self.said("temperature")),
            set=(0.1, lambda: self.named(["quarry railcar"])),
        )

    def supply(self) -> Any:
        return self.mapping({}, track=(0.8, self._volts), common=(0.2, self._volts))

    def _volts(self) -> Any:
        if self.is_so(0.2):
            return self.mapping({"lowest": "13 V", "highest": "16 V"}, usual=(0.7, lambda: self.said("supply")))
        return self.said("supply")

    def _lamp(self) -> Any:
        match self.random.randrange(5):
            case 0:
                return {"part": self.named(PARTS)}
            case 1 | 2:
                return {"bulb": self.bulb()}
            case _:
                return {"led": self.led()}

    def bulb(self) -> Any:
        return self.mapping(
            {"voltage": self.said("lamp voltage"), "current": self.said("lamp current")},
            tolerance=(0.2, lambda: self.said("tolerance")),
            maximum_voltage=(0.2, lambda: self.said("lamp voltage")),
        )

    def led(self) -> Any:
        return self.mapping(
            {},
            forward_voltage=(0.8, lambda: self.said("forward")),
            colour=(0.4, lambda: self.bent(self.named(COLOURS))),
            at=(0.3, lambda: self.said("lamp current")),
            current=(0.4, lambda: self.said("lamp current")),
            maximum_current=(0.6, lambda: self.said("lamp current")),
            built_in_resistor=(0.1, lambda: self.said("ohms")),
        )

    def _common(self) -> Any:
        return self.mapping(
            {"circuit": self.chain(1)},
            measured=(
                0.3,
                lambda: self.mapping(
                    {},
                    outputs=(0.5, lambda: self.few(self.outputs, 0, 2)),
                    current=(0.5, lambda: self.said("amperes read")),
                    across=(0.5, self._across),
                ),
            ),
        )

    def _output(self) -> Any:
        return self.mapping(
            {"circuit": self.chain(self.one(0, 0, 0, 0, 1, 2))},
            **self.looks(0.15),
            return_=(0.05, lambda: self.bent("rail")),
            measured=(
                0.1,
                lambda: self.mapping(
                    {},
                    current=(0.7, lambda: self.said("amperes read")),
                    voltage=(0.5, lambda: self.said("reading")),
                    across=(0.5, self._across),
                ),
            ),
        )

    def _across(self) -> Any:
        names = [*self.lamps, *self.few(["1.5 kohm", "820 ohm", "100 ohm"], 0, 1)]
        return {name: self.said("reading") for name in self.few(names, 0, 2)}

    def looks(self, share: float) -> dict[str, Any]:
        return {
            "effect": (share, lambda: self.named(EFFECTS)),
            "brightness": (share, lambda: self.said("share")),
            "rate": (share, lambda: self.said("rate")),
        }

    # --- Circuits -----------------------------------------------------------------------------------------------------

    def chain(self, levels: int) -> Any:
        elements = [self._element(levels) for _ in range(self.random.choice([1, 1, 2]))]
        if self.is_so(0.8):
            elements.insert(0, self.said("ohms"))
        return self.bent(elements)

    def _element(self, levels: int) -> Any:
        what = self.random.random()
        if levels and what < 0.2:
            branches = [self._branch(levels - 1) for _ in range(self.random.choice([1, 2, 2, 3]))]
            return {"parallel": self.bent(branches)} if self.is_so(0.8) else {"series": self.chain(levels - 1)}
        if what < 0.3:
            return self._rare()
        if what < 0.4:
            return self.one(
                f"{self.said('ohms')} {self.said('rating')}",
                f"{self.said('ohms')} {self.said('rating')} {self.said('tolerance')}",
            )
        return self.bent(self.random.choice(self.lamps))

    def _branch(self, levels: int) -> Any:
        if self.is_so(0.1):
            return self.mapping({"series": self.chain(levels)}, return_=(0.8, lambda: self.bent("rail")))
        return self.chain(levels)

    def _rare(self) -> Any:
        match self.random.randrange(6):
            case 0:
                return self.mapping({"lamp": self.named(self.lamps)}, reversed=(0.8, lambda: self.said("yes")))
            case 1:
                return {"diode": self.said("small voltage")}
            case 2:
                return self.mapping(
                    {"current-regulator": self.said("lamp current")}, needs=(0.6, lambda: self.said("small voltage"))
                )
            case 3:
                return {
                    "board": self.mapping({"voltage": self.said("lamp voltage"), "current": self.said("lamp current")})
                }
            case 4:
                return {"driver": self.mapping({"limit": self.said("limit")})}
            case _:
                return self.mapping({"resistor": self.said("ohms")}, **self.make())

    def make(self) -> dict[str, Any]:
        return {
            "rating": (0.5, lambda: self.said("rating")),
            "tolerance": (0.3, lambda: self.said("tolerance")),
            "size": (0.2, lambda: self.said("size")),
        }

    # --- Keys ---------------------------------------------------------------------------------------------------------

    def _key(self) -> Any:
        return self.mapping(
            {},
            label=(0.6, lambda: self.named(LABELS)),
            momentary=(0.1, lambda: self.said("yes")),
            turns_on=(0.9, lambda: self.entries(self.outputs)),
        )

    def entries(self, outputs: list[str]) -> Any:
        return self.bent([self._entry(outputs) for _ in range(self.random.choice([1, 1, 2]))])

    def _entry(self, outputs: list[str]) -> Any:
        names = self.named(outputs) if self.is_so(0.8) else self.few(outputs, 0, 2)
        return self.mapping({"output": self.bent(names)}, when=(0.6, lambda: self.condition(2)), **self.looks(0.1))

    def condition(self, levels: int) -> Any:
        if levels and self.is_so(0.3):
            parts = [self.condition(levels - 1) for _ in range(self.random.choice([0, 1, 2, 2, 3]))]
            return {"any": parts} if self.is_so(0.4) else parts
        return self.bent(self.one("", "", "not ") + self.random.choice(WORDS))
