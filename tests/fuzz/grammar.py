"""Files of all four kinds, drawn from the grammars and written down in the many ways of YAML."""

from __future__ import annotations

import json
import re
from random import Random
from typing import Any

from fuzzed import Files
from plan_grammar import CATALOGUE, SHEET
from sheet_grammar import SheetGrammar, outputs_of
from vocabulary import OUTPUTS

from faulty_plans import Writer

PLAN, OTHER, SETTINGS = "plan.lights.yaml", "other.lights.yaml", "lampwright.yaml"
_PLAIN = re.compile(r"[A-Za-z0-9][\w./%°µ½Ω +-]*(?<! )\Z")


def grammatical_files(random: Random) -> Files:
    """A plan with what it refers to, or a sheet, a catalogue or settings alone."""
    grammar = SheetGrammar(random, random.choice([0.0, 0.01, 0.01, 0.03, 0.15]))
    match random.randrange(20):
        case 0:
            return {SHEET: _text(random, grammar.sheet(grammar.few(OUTPUTS, 1, 4)))}
        case 1:
            return {CATALOGUE: _text(random, grammar.catalogue())}
        case 2:
            return {SETTINGS: _text(random, grammar.settings())}
    return _fleet(random, grammar)


def _fleet(random: Random, grammar: SheetGrammar) -> Files:
    """A plan, now and then two, with sheet, catalogue and settings."""
    plan = grammar.plan(None)
    sheet = grammar.sheet(outputs_of(plan))
    files: dict[str, Any] = {PLAN: plan}
    if random.random() < 0.6:
        plan["decoder"] = sheet
    elif random.random() < 0.95:
        files[SHEET] = sheet
    if "parts" in plan and random.random() < 0.95:
        files[CATALOGUE] = grammar.catalogue()
    if random.random() < 0.15:
        files[SETTINGS] = grammar.settings()
    if random.random() < 0.05:
        files[OTHER] = {**plan, "vehicle": grammar.mapping({"name": "Other", "address": "2107"})}
    return {name: _text(random, document) for name, document in files.items()}


def _text(random: Random, document: Any) -> bytes:
    text = _Writer(random).document(document) if document else "{}\n"
    if random.random() < 0.05:
        text = text.replace(
            "\n", f"  # lampwright: allow {random.choice(['unwired-lamp', 'unknown-key', 'x', ''])} -- so\n", 1
        )
    return text.encode("utf-8", "surrogatepass")


class _Writer(Writer):
    def _scalar(self, text: str) -> str:
        if _PLAIN.match(text):
            return super()._scalar(text)
        # What is hostile to YAML itself stands bare now and then.
        return text if self.random.random() < 0.02 else json.dumps(text, ensure_ascii=self.random.random() < 0.3)
