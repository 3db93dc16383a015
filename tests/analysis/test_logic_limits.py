"""Plans that nobody would write: there is an answer soon, the same one every time, and "undecided" where it must be."""

from __future__ import annotations

import dataclasses
import itertools
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from analysis.key_plans import QUARRY_SWITCHER, condition, decoder, plan, standing
from lampwright.analysis.logic import LogicFacts, WorstState, logic_facts
from lampwright.analysis.logic.conflicts import Conflicts
from lampwright.analysis.logic.coverings import Coverings
from lampwright.analysis.logic.decision import OutOfStepsError
from lampwright.analysis.logic.directions import Directions
from lampwright.analysis.logic.entries import EntryFact
from lampwright.analysis.logic.looks import Lack, OutputLooks, Shown
from lampwright.analysis.logic.questions import STEPS_PER_SERIES, UNDECIDED, VARIABLES, Questions, diagram_of_states
from lampwright.analysis.logic.worst_state import Weighed, heaviest
from lampwright.model.keys import ALWAYS, AllOf, AnyOf, Condition
from lampwright.model.lighting import LightingPlan

approx: Any = pytest.approx

SECONDS = 5
"""Of work for one hard plan, on a machine half as fast as most: elsewhere it takes one or two."""


def negated(word: str) -> str:
    return word.removeprefix("not ") if word.startswith("not ") else f"not {word}"


def alike(one: str, other: str) -> Any:
    return {"any": [[one, other], [negated(one), negated(other)]]}


def halves_alike() -> Any:
    """F0 as F34, F1 as F35, ...: in the order of the numbers a diagram of this needs 2 to the 34th nodes."""
    return [alike(f"F{number}", f"F{number + 34}") for number in range(34)]


def pigeonhole(holes: int) -> Any:
    """One pigeon more than there are holes: impossible, and notoriously hard to see."""
    key = [[f"F{pigeon * holes + hole}" for hole in range(holes)] for pigeon in range(holes + 1)]
    seated: list[Any] = [{"any": row} for row in key]
    for one, other in itertools.combinations(key, 2):
        seated += [{"any": [negated(one[hole]), negated(other[hole])]} for hole in range(holes)]
    return seated


def odd(words: Sequence[str]) -> Condition:
    """Exactly an odd number of `words` holds; the parts are shared in memory, written out they would fill 2^69 lines."""
    parity: tuple[Condition, Condition] = (AnyOf(()), ALWAYS)
    for word in words:
        yes, no = condition(word), condition(negated(word))
        parity = (
            AnyOf((AllOf((parity[0], no)), AllOf((parity[1], yes)))),
            AnyOf((AllOf((parity[1], no)), AllOf((parity[0], yes)))),
        )
    return parity[0]


def clauses(number: int, seed: int) -> Any:
    """Random ones of three words each over all keys."""
    choose = random.Random(seed)
    words = [*VARIABLES, *(f"not {word}" for word in VARIABLES)]
    return [{"any": choose.sample(words, 3)} for _ in range(number)]


def nested(depth: int) -> Any:
    when: Any = "F5"
    for level in range(depth):
        when = {"any": [f"F{level % 69}", [when, f"not F{(level + 7) % 69}"]]}
    return when


def doubled(depth: int) -> Condition:
    """Nothing at all, 2 to the power of `depth` times."""
    when: Condition = ALWAYS
    for _ in range(depth):
        when = AllOf((when, when))
    return when


def flood(whens: Sequence[Any], outputs: Sequence[str] = ("white", "yellow")) -> LightingPlan:
    """A plan in which each entry asks for a look of its own, so that each pair has to be looked at."""
    keys: dict[str, list[dict[str, Any]]] = {}
    for number, when in enumerate(whens):
        item = {"output": list(outputs), "when": when, "brightness": (number + 1) / (len(whens) + 1)}
        keys.setdefault(f"F{number % 23 * 3}", []).append(item)
    return plan(keys)


def flashing(whens: Sequence[Any], outputs: Sequence[str] = ("white", "yellow")) -> LightingPlan:
    """A plan of momentary keys in which each entry names an effect or a rate, for outputs that are a pair in turn."""
    keys: dict[str, list[dict[str, Any]]] = {}
    for number, when in enumerate(whens):
        item: dict[str, Any] = {"output": list(outputs[: number % len(outputs) + 1]), "when": when}
        wish = (
            {"rate": 1 + number / len(whens)} if number % 2 else {"effect": ("oscillating", "strobe")[number // 2 % 2]}
        )
        keys.setdefault(f"F{number % 23 * 3}", []).append(item | wish)
    model = plan(keys, outputs={name: {"effect": "oscillating"} for name in outputs}, momentary=list(keys))
    return dataclasses.replace(model, decoder=decoder(*itertools.pairwise(outputs)))


def covering(whens: Sequence[Any], outputs: Sequence[str] = ("white",)) -> LightingPlan:
    """A plan in which no entry names a look, so that each may cover each other one."""
    keys: dict[str, list[dict[str, Any]]] = {}
    for number, when in enumerate(whens):
        keys.setdefault(f"F{number % 23 * 3}", []).append({"output": list(outputs), "when": when})
    return plan(keys, always=[{"output": list(outputs), "when": when} for when in whens[:20]])


def many_outputs() -> LightingPlan:
    """Each output alone is simple; the state that draws most is a puzzle."""
    whens = clauses(120, seed=1)
    return plan({f"F{number % 69}": [{"output": f"aux{number}", "when": when}] for number, when in enumerate(whens)})


PAIRS = list(itertools.combinations(VARIABLES, 2))

HARD: dict[str, Callable[[], LightingPlan]] = {
    "halves alike, 300 times": lambda: flood([[*halves_alike(), f"F{number % 69}"] for number in range(300)]),
    "parts of halves alike": lambda: flood([halves_alike()[start : start + 9] for start in range(25)] * 12),
    "pigeons, 100 times": lambda: flood([pigeonhole(7)] * 100),
    "parity": lambda: flood([odd(VARIABLES[number:]) for number in range(50)]),
    "300 times 60 random clauses": lambda: flood([clauses(60, seed) for seed in range(300)]),
    "600 times 6 random clauses": lambda: flood([clauses(6, seed) for seed in range(600)]),
    "pairs alike, 500 times": lambda: flood(list(map(alike, *zip(*PAIRS[:500], strict=True)))),
    "10,000 plain entries": lambda: flood([["forward", f"F{number % 69}"] for number in range(10_000)], ["white"]),
    "3,000 entries of one look": lambda: plan({"F0": [{"output": "white", "rate": 1.0}] * 3_000}),
    "200 entries of 200 outputs": lambda: flood(["forward"] * 200, [f"aux{number}" for number in range(200)]),
    "one long condition": lambda: flood([{"any": [[f"F{n % 69}", "forward"] for n in range(20_000)]}] * 9),
    "100 deep, 200 times": lambda: flood([nested(50)] * 200),
    "nothing, over and over": lambda: flood([doubled(60)]),
    "many outputs": many_outputs,
    "halves alike, flashing": lambda: flashing([[*halves_alike(), f"F{number % 69}"] for number in range(300)]),
    "600 times 6 random clauses, flashing": lambda: flashing([clauses(6, seed) for seed in range(600)]),
    "4,000 plain entries, flashing": lambda: flashing([f"F{number % 69}" for number in range(4_000)]),
    "300 flashing outputs": lambda: flashing(["forward", "moving"] * 150, [f"aux{number}" for number in range(300)]),
    "pairs alike, flashing": lambda: flashing(list(map(alike, *zip(*PAIRS[:400], strict=True))), ["a", "b", "c", "d"]),
    "halves alike, covering": lambda: covering([halves_alike()[start : start + 9] for start in range(25)] * 12),
    "600 times 6 random clauses, covering": lambda: covering([clauses(6, seed) for seed in range(600)]),
    "10,000 plain entries, covering": lambda: covering([["forward", f"F{number % 69}"] for number in range(10_000)]),
    "300 times the same": lambda: covering(["forward"] * 300, [f"aux{number}" for number in range(300)]),
    "a long ladder": lambda: covering([[f"F{key}" for key in range(69) if key <= number] for number in range(69)] * 9),
}


def everything(facts: LogicFacts) -> tuple[Any, ...]:
    currents = {output: 0.01 + number / 1000 for number, output in enumerate(facts.lit)}
    lit = {output: formula is None for output, formula in facts.lit.items()}
    possible = [fact.is_possible for fact in facts.entries]
    return possible, facts.conflicts_of_one_key, facts.conflicts_between_keys, lit, facts.worst_state(currents)


def all_of_looks(facts: LogicFacts) -> tuple[Any, ...]:
    always = {output: facts.is_always_lit(output) for output in facts.lit}
    return facts.coverings, facts.looks, facts.shown, facts.momentary_lights, facts.unpaired, facts.directions, always


@pytest.mark.parametrize("name", HARD)
def test_a_hard_plan_gets_its_answers_soon(name: str) -> None:
    model = HARD[name]()
    start = time.process_time()
    everything(logic_facts(model))
    assert time.process_time() - start < SECONDS


@pytest.mark.parametrize("name", HARD)
def test_a_hard_plan_gets_the_answers_about_its_looks_soon(name: str) -> None:
    model = HARD[name]()
    start = time.process_time()
    all_of_looks(logic_facts(model))
    assert time.process_time() - start < SECONDS


def test_what_is_too_hard_about_looks_is_undecided_and_the_rest_is_answered() -> None:
    items = {when: {"output": output, "when": when} for when, output in [("moving", "white"), ("forward", "yellow")]}
    hard = {"output": "white", "when": halves_alike(), "effect": "oscillating", "rate": 1.0}
    model = plan(
        {"F0": [*items.values(), hard], "F1": [{"output": "yellow", "when": "F0", "rate": 2.0}]}, momentary=["F0"]
    )
    facts = logic_facts(dataclasses.replace(model, decoder=decoder(("white", "yellow"))))
    moving, forward, too_hard, other = facts.entries
    # The hard one names a look, which no other one does: it says something. Whether it says all of another one is open.
    assert facts.coverings == Coverings((), (moving,))
    assert facts.looks["white"] is Lack.TIME
    assert isinstance(facts.looks["yellow"], OutputLooks)
    assert facts.shown["white"] == (Lack.TIME,)
    assert facts.unpaired == {"oscillating": (Lack.TIME,)}
    assert facts.directions["white"] == Directions(UNDECIDED, UNDECIDED)
    assert facts.directions["yellow"] == Directions(standing("F0"), standing("F0", "F1", forward=False))
    lights = {(light.fact.entry.span.start, light.output): light.state for light in facts.momentary_lights}
    assert lights == {
        (moving.entry.span.start, "white"): Lack.TIME,
        (forward.entry.span.start, "yellow"): standing("F0"),
        (too_hard.entry.span.start, "white"): Lack.TIME,
    }
    assert other.key is not None


def test_what_is_too_hard_is_undecided_and_the_rest_is_answered() -> None:
    whens = ["forward", halves_alike(), "reverse"]
    looks = [{"output": "white", "when": when, "rate": number + 1.0} for number, when in enumerate(whens)]
    facts = logic_facts(plan({"F0": [*looks, {"output": "yellow", "when": "moving"}], "F1": looks[:1]}))
    assert [fact.is_possible for fact in facts.entries] == [True, None, True, True, True]
    assert [fact.is_readable for fact in facts.entries] == [True] * 5
    assert facts.entries[1].formula is None
    assert facts.conflicts_of_one_key == Conflicts((), (facts.entries[1], facts.entries[2]))
    (between,) = facts.conflicts_between_keys.undecided
    assert between == facts.entries[4]
    assert facts.lit["white"] is None
    assert facts.worst_state({"white": 0.1, "yellow": 0.1}) is UNDECIDED
    assert facts.worst_state({"yellow": 0.1}) == WorstState(standing("F0", moving=True), ("yellow",), 0.1)


def test_two_readable_formulas_may_be_too_hard_together() -> None:
    questions = Questions(diagram_of_states())
    halves = halves_alike()
    formulas = [questions.formula(condition(parts)) for parts in (halves[:8], halves[8:16])]
    assert None not in formulas
    answer = questions.witness(*(formula for formula in formulas if formula is not None))
    assert answer is UNDECIDED


def test_small_pigeonholes_are_seen_through() -> None:
    for holes in (1, 2, 3, 4):
        facts = logic_facts(plan({}, always=[{"output": "white", "when": pigeonhole(holes)}]))
        assert facts.entries[0].is_possible is False


def test_parity_is_read_through_its_shared_parts() -> None:
    questions = Questions(diagram_of_states())
    three = questions.formula(odd(["F0", "F1", "moving"]))
    assert three is not None
    assert questions.witness(three) == standing(moving=True)


def test_a_series_of_questions_ends() -> None:
    questions = Questions(diagram_of_states())
    when = condition(["F0", {"any": ["forward", "F1"]}])
    first = questions.formula(when)
    other = questions.formula(condition("moving"))
    asked = 2
    while questions.formula(when) is not None:
        asked += 1
    assert 1_000 < asked < STEPS_PER_SERIES
    assert first is not None
    assert other is not None
    while questions.is_worth_another():
        pass
    assert questions.witness(first, other) is UNDECIDED
    assert questions.implies(first, other) is None
    assert questions.any_of([first, other]) is None
    assert questions.heaviest([(first, 1), (other, 1)]) is UNDECIDED


def test_conditions_as_deep_as_a_file_can_hold_them_are_read() -> None:
    deep: Condition = condition(["F1", "not F2"])
    for _ in range(50):
        deep = AllOf((AnyOf((deep,)),))
    questions = Questions(diagram_of_states())
    assert questions.formula(deep) == questions.formula(condition(["not F2", "F1"]))


def test_a_large_but_sensible_plan_is_decided() -> None:
    """Thirty keys of four entries, all with looks, every other output for one direction, F28 to dim and F20 to mute."""
    outputs = [f"aux{number}" for number in range(24)]
    keys: dict[str, list[dict[str, Any]]] = {}
    for number in range(30):
        output, way = outputs[number % 24], "reverse" if number % 2 else "forward"
        usual = {"output": output, "effect": "steady"}
        keys[f"F{number}"] = [
            usual | {"when": [way, "not F20", "not F28"], "brightness": 1.0},
            usual | {"when": [way, "not F20", "F28"], "brightness": 0.4},
            usual | {"when": [way, "F20", "moving"], "effect": "oscillating"},
            usual | {"when": [way, "F20", "moving", "F29"], "rate": 1.0, "effect": "oscillating"},
        ]
    keys["F30"] = [{"output": outputs, "when": ["F31", "stopped", "not F28"], "brightness": 1.0}]
    facts = logic_facts(plan(keys))
    impossible = [fact.key.name for fact in facts.entries if fact.key and fact.is_possible is False]
    assert impossible == ["F20", "F20", "F28"]
    assert None not in [fact.is_possible for fact in facts.entries]
    assert facts.conflicts_of_one_key == Conflicts((), ())
    assert facts.conflicts_between_keys == Conflicts((), ())
    currents = {output: 0.01 + number / 1000 for number, output in enumerate(outputs)}
    worst = facts.worst_state(currents)
    assert isinstance(worst, WorstState)
    assert worst.outputs == tuple(outputs)
    assert worst.state == standing("F30", "F31")


def test_lights_for_each_direction_and_a_key_that_mutes_all_do_not_hide_the_worst_state() -> None:
    """Twenty outputs on keys of their own, odd ones in reverse: the sum of one direction, whatever else is coupled."""
    keys = {
        f"F{number}": [
            {"output": f"aux{number}", "when": ["reverse" if number % 2 else "forward", "not F28", "not F27"]}
        ]
        for number in range(20)
    }
    currents = {f"aux{number}": 0.010 + number / 1000 for number in range(20)}
    worst = logic_facts(plan(keys)).worst_state(currents)
    odd_keys = range(1, 20, 2)
    total = sum(0.010 + number / 1000 for number in odd_keys)
    state = standing(*(f"F{number}" for number in odd_keys), forward=False)
    assert worst == WorstState(state, tuple(f"aux{number}" for number in odd_keys), approx(total))


def test_what_is_undecided_does_not_depend_on_what_was_asked_before() -> None:
    model = HARD["parts of halves alike"]()
    one, other = logic_facts(model), logic_facts(model)
    decided = [fact.formula for fact in other.entries if fact.formula is not None]
    for pair in itertools.combinations(decided, 2):
        other.witness(*pair)
    assert other.worst_state({"white": 0.1}) is UNDECIDED
    assert one.conflicts_between_keys == other.conflicts_between_keys
    assert one.conflicts_of_one_key == other.conflicts_of_one_key
    assert one.conflicts_of_one_key.undecided
    assert one.coverings == other.coverings
    assert one.coverings.undecided


def test_what_is_undecided_of_looks_does_not_depend_on_the_order_of_asking() -> None:
    model = HARD["pairs alike, flashing"]()
    one, other = logic_facts(model), logic_facts(model)
    backwards = [getattr(other, kind) for kind in ("unpaired", "momentary_lights", "shown", "directions", "coverings")]
    assert [one.coverings, one.directions, one.shown, one.momentary_lights, one.unpaired] == backwards[::-1]


def test_a_question_takes_the_same_steps_each_time() -> None:
    def steps(question: Callable[[], object]) -> int:
        diagram.begin(STEPS_PER_SERIES)
        question()
        return STEPS_PER_SERIES - diagram.steps_left

    diagram = diagram_of_states()
    one, other = (Questions(diagram).formula(condition(clauses(6, seed))) for seed in (1, 2))
    assert one is not None
    assert other is not None
    for question in (lambda: diagram.cheapest([one, other]), lambda: heaviest(diagram, [(one, 1), (other, 2)])):
        first = steps(question)
        assert first > 10
        assert steps(question) == first


@pytest.mark.parametrize("seed", range(12))
def test_what_was_weighed_before_takes_the_same_steps_to_the_same_state(seed: int) -> None:
    chance, diagram, weighed = random.Random(seed), diagram_of_states(), Weighed()
    formulas = []
    for _ in range(8):
        words = [chance.choice(("", "not ")) + f"F{chance.randrange(12)}" for _ in range(chance.randint(1, 3))]
        formula = Questions(diagram).formula(condition([{"any": words}, chance.choice(("forward", "F13"))]))
        assert formula is not None
        formulas.append(formula)
    for _ in range(10):
        loads = [(formula, chance.choice((0, 10, 20))) for formula in chance.sample(formulas, 6)]
        allowances, answers = [], []
        for kept in (None, weighed):
            diagram.begin(STEPS_PER_SERIES)
            answers.append(heaviest(diagram, loads, kept))
            allowances.append(STEPS_PER_SERIES - diagram.steps_left)
        assert answers[0] == answers[1]
        assert allowances[0] == allowances[1]
        # One step too few is too few, whoever knows the answer.
        diagram.begin(allowances[0] - 1)
        with pytest.raises(OutOfStepsError):
            heaviest(diagram, loads, weighed)
    assert weighed


DIGESTED = ("parts of halves alike", "100 deep, 200 times", "pairs alike, flashing")


def digest() -> str:
    """Everything about some plans in few words, for a comparison between two runs of the interpreter."""
    words: list[Any] = []
    for model in (plan(QUARRY_SWITCHER), *(HARD[name]() for name in DIGESTED)):
        possible, *kinds, lit, worst = everything(logic_facts(model))
        facts = logic_facts(model)
        words += [possible, lit, worst, facts.directions, [light.state for light in facts.momentary_lights]]
        words += [(at(one.covered), at(one.covering), one.state) for one in facts.coverings.found]
        words += [[(looks.state if isinstance(looks, Shown) else looks) for looks in of] for of in facts.shown.values()]
        for kind in kinds:
            words += [(at(one.earlier), at(one.later), one.outputs, one.properties, one.state) for one in kind.found]
            words += [at(fact) for fact in kind.undecided]
    return "\n".join(map(repr, words))


def at(fact: EntryFact) -> int:
    return fact.entry.span.start


def test_hash_seeds_change_nothing() -> None:
    def run(seed: str) -> str:
        environment = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)}
        command = [sys.executable, str(Path(__file__))]
        return subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout

    first = run("0")
    assert first.count("State(") > 20
    assert run("1") == first
    assert run("4242") == first


if __name__ == "__main__":
    sys.stdout.write(digest())
