"""Decoder sheets, catalogues and settings at random."""

from __future__ import annotations

from typing import Any

from drawing import Document
from plan_grammar import PlanGrammar
from vocabulary import EFFECTS, KEYS, LABELS, OUTPUTS, PARTS

from lampwright.engine import RULE_NAMES
from lampwright.plan.settings import LEVELS, SERIES
from lampwright.plan.sheet import DIGITS, FIELDS, INTERFACES, METHODS

PATTERNS = [
    "attic/",
    "*.bak",
    "!keep",
    "[",
    "[]",
    "\\",
    "**/x",
    "a[b",
    "/",
    "!",
    "#",
    "{a,b}",
    "[!a]",
    "x" * 200,
    "(?P<a>",
    "../x",
    " ",
]


class SheetGrammar(PlanGrammar):
    """All that a plan may refer to or be governed by."""

    def sheet(self, outputs: list[str]) -> Document:
        """A sheet with these outputs, or most of them."""
        names = self.few(outputs, max(1, len(outputs) - 1), len(outputs)) if self.is_so(0.3) else outputs
        return self.mapping(
            {"outputs": {name: self._sheet_output() for name in names}},
            decoder_sheet=(0.2, lambda: self.bent("1")),
            name=(0.3, lambda: self.named(["Bench six"])),
            interface=(0.2, lambda: self.bent(self.random.choice(INTERFACES))),
            common=(0.7, lambda: self.one({"drop": self.said("small voltage")}, {"regulated": self.said("supply")})),
            limits=(0.4, lambda: self.mapping({}, outputs_together=(0.8, lambda: self.said("limit")), whole_decoder=(0.5, lambda: self.said("limit")))),
            keys=(0.8, lambda: self._sheet_keys(names)),
            effects=(0.6, lambda: {self.named([name]): self._effect(names) for name in self.few(EFFECTS, 1, 3)}),
            registers=(0.5, lambda: self.bent([self._register(names) for _ in range(self.random.randint(0, 2))])),
        )  # fmt: skip

    def _sheet_output(self) -> Any:
        return self.mapping(
            {"number": self.said("number")},
            limit=(0.8, lambda: self.said("limit")),
            surge=(0.5, lambda: self.said("limit")),
            logic_level=(0.1, lambda: self.one("5 V", "3.3 V")),
        )

    def _sheet_keys(self, outputs: list[str]) -> Any:
        method = self.random.choice(METHODS)
        keys = self.mapping(
            {"mapping": self.bent(method)}, highest=(0.8, lambda: self.bent(self.one("12", "28", "68")))
        )
        if self.is_so(0.1):
            keys["mapping"] = {
                "function-matrix": {
                    "first-output": {self.one("F4 to F8", "F9", "F8 to F4", "F5-F8"): self.said("number")}
                }
            }
        if method == "fixed" or self.is_so(0.03):
            keys["fixed"] = {self.bent_key(key): self.entries(outputs) for key in self.few(KEYS, 1, 2)}
        return keys

    def _effect(self, outputs: list[str]) -> Any:
        code = (
            {"codes": {"first": self.said("code"), "second": self.said("code")}}
            if self.is_so(0.3)
            else {"code": self.said("code")}
        )
        return self.mapping(
            code,
            pairs=(0.3, lambda: [self.few(outputs, 2, 2)]),
            rate=(0.5, lambda: self.said("rates")),
        )

    def _register(self, outputs: list[str]) -> Any:
        cv: Any = {name: self.said("cv") for name in self.few(outputs, 1, 3)} if self.is_so(0.8) else self.said("cv")
        return self.mapping(
            {"cv": cv, "holds": [self._field() for _ in range(self.random.choice([1, 1, 2]))]},
            default=(0.5, lambda: self.said("code")),
            page=(0.2, lambda: self.mapping({"CV31": self.said("code"), "CV32": self.said("code")})),
        )

    def _field(self) -> Any:
        what = self.random.choice(FIELDS)
        place = (
            {"digit": self.bent(self.random.choice(DIGITS))}
            if self.is_so(0.5)
            else {"bits": self.bent(self.one("0 to 3", "4 to 7", "0 to 7", "6", "5 to 2"))}
        )
        field = self.mapping({"what": self.bent(what), **place})
        match what:
            case "condition":
                field["codes"] = [
                    {"code": self.said("code"), "when": self.condition(1)} for _ in range(self.random.randint(0, 3))
                ]
            case "rate" if self.is_so(0.5):
                field["codes"] = [
                    {"code": self.said("code"), "rate": self.said("rate")} for _ in range(self.random.randint(0, 3))
                ]
            case "rate":
                field |= self.mapping({"per-step": self.said("rate")}, offset=(0.4, lambda: self.said("rate")))
            case "brightness" if self.is_so(0.5):
                field["full"] = self.said("code")
        return field

    def catalogue(self) -> Document:
        """Lamps and resistors in stock."""
        counts = {"stock": (0.6, lambda: self.said("stock")), "pack": (0.2, lambda: self.said("stock"))}
        return self.mapping(
            {},
            parts_catalogue=(0.2, lambda: self.bent("1")),
            lamps=(0.9, lambda: {self.named([name]): self.mapping(self.one({"led": self.led()}, {"bulb": self.bulb()}), **counts) for name in self.few(PARTS, 1, 3)}),
            resistors=(0.7, lambda: self.bent([self.mapping({"value": self.said("ohms")}, **self.make(), **counts) for _ in range(self.random.randint(0, 3))])),
        )  # fmt: skip

    def settings(self) -> Document:
        """What governs a folder."""
        return self.mapping(
            {},
            lampwright=(0.3, lambda: self.bent("1")),
            supply=(0.4, self.supply),
            resistors=(0.4, lambda: self.one(self.bent(self.random.choice(SERIES)), self.mapping({}, series=(0.7, lambda: self.random.choice(SERIES)), tolerance=(0.5, lambda: self.said("tolerance")), rating=(0.5, lambda: self.said("rating"))))),
            margins=(0.3, lambda: {key: self.said("share") for key in self.few(["output-current", "lamp-current", "resistor-power"], 1, 3)}),
            keys=(0.3, lambda: {self.bent_key(key): self.named(LABELS) for key in self.few(KEYS, 1, 3)}),
            levels=(0.4, lambda: {self.named([rule]): self.bent(self.random.choice(LEVELS)) for rule in self.few(RULE_NAMES, 1, 3)}),
            meter=(0.2, lambda: self.said("tolerance")),
            inside=(0.2, lambda: self.said("temperature")),
            exclude=(0.2, lambda: self.bent(self.few(PATTERNS, 0, 3))),
            order=(0.2, lambda: {"spares": self.said("share")}),
        )  # fmt: skip


def outputs_of(plan: Document) -> list[str]:
    """The outputs that a sheet for this plan has to have."""
    outputs = plan.get("outputs")
    return [*outputs] if isinstance(outputs, dict) and outputs else OUTPUTS[:2]
