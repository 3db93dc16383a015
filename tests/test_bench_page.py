"""The page of `lampwright bench` in a real browser: lamps against the logic facts, keyboard, paper, no request."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from browser import Opened, started
from command import PLAN, Command, lay
from lampwright.analysis.logic import logic_facts
from lampwright.analysis.logic.questions import State
from lampwright.analysis.logic.states import OutputStates
from lampwright.cli.plans import read_plan
from lampwright.files import Files
from lampwright.model.lighting import LightingPlan

if TYPE_CHECKING:
    from playwright.sync_api import Browser

VEHICLES = sorted((Path(__file__).parent.parent / "examples" / "vehicles").glob("*.lights.yaml"))
SWITCHED = [
    path for path in VEHICLES if path.name.startswith(("ore-hauler", "quarry", "steam-crane", "brake", "railcar"))
]

# Presses one button after the other so that every state comes up (a Gray code), and looks at every lamp each time.
ALL_STATES = """
() => {
  const buttons = [...document.querySelectorAll("button")];
  const of = (variable, value) => buttons.find((each) => each.dataset.variable === variable && each.dataset.value === value);
  const pressed = (variable) => of(variable, "true").getAttribute("aria-pressed") === "true";
  const variables = [...new Set(buttons.map((each) => each.dataset.variable))];
  const seen = [];
  for (let number = 0; number < 2 ** variables.length; number += 1) {
    if (number > 0) {
      const variable = variables[Math.log2(number & -number)];
      (variable.startsWith("F") || !pressed(variable) ? of(variable, "true") : of(variable, "false")).click();
    }
    seen.push({
      state: Object.fromEntries(variables.map((variable) => [variable, pressed(variable)])),
      lamps: [...document.querySelectorAll("[data-output]")].map((lamp) => [
        Number(lamp.dataset.output), lamp.classList.contains("on"), lamp.querySelector(".how").textContent,
        lamp.style.getPropertyValue("--level"),
      ]),
    });
  }
  return seen;
}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with started() as found:
        yield found


def made(command: Command, path: Path | str, name: str = "sheet.html") -> Path:
    outcome = command("bench", str(path), "--output", name)
    assert outcome.status in (0, 1), outcome.err
    return Path.cwd() / name


def plan_of(path: Path) -> LightingPlan:
    read = read_plan(str(path), Files(Path.cwd()))
    assert read is not None
    return read.plan


@pytest.mark.parametrize("vehicle", SWITCHED, ids=lambda path: path.name.removesuffix(".lights.yaml"))
def test_every_lamp_is_as_the_logic_facts_say_in_every_state(browser: Browser, command: Command, vehicle: Path) -> None:
    opened = Opened(browser, made(command, vehicle))
    logic = logic_facts(plan_of(vehicle))
    questions = logic.questions()
    outputs = list(logic.states.values())
    seen: list[dict[str, Any]] = opened.page.evaluate(ALL_STATES)
    assert len({json.dumps(each["state"], sort_keys=True) for each in seen}) == len(seen) >= 8
    burnt = set()
    for each in seen:
        said = each["state"]
        keys = tuple(name for name, on in said.items() if on and name.startswith("F"))
        state = State(keys, forward=said.get("forward", True), moving=said.get("moving", False))
        for number, is_on, how, level in each["lamps"]:
            states = outputs[number]
            assert isinstance(states, OutputStates)
            looks = [lit.look for lit in states.lit if questions.holds(lit.formula, state)]
            assert is_on == bool(looks), (state, states.output)
            if looks:
                burnt.add(number)
                assert looks[0].effects[0] in how
                assert float(level) == max(looks[0].brightness)
            else:
                assert how == "dark"
    assert len(burnt) == len(outputs)
    assert opened.complaints == []
    opened.context.close()


def test_nothing_but_the_file_is_asked_for_and_nothing_complains(browser: Browser, command: Command) -> None:
    for vehicle in VEHICLES:
        opened = Opened(browser, made(command, vehicle))
        assert len(opened.requests) == 1
        assert opened.requests[0].startswith("file:")
        assert opened.complaints == []
        opened.context.close()


def test_each_output_has_its_picture_and_no_id_is_there_twice(browser: Browser, command: Command) -> None:
    for vehicle in VEHICLES:
        opened = Opened(browser, made(command, vehicle))
        plan = plan_of(vehicle)
        wired = [name for name, output in plan.outputs.items() if not output.is_empty]
        lead = ["common lead"] if plan.common_circuit is not None and plan.common_circuit.elements else []
        assert opened.page.locator("figure figcaption").all_inner_texts() == [*lead, *wired]
        assert opened.page.locator("figure svg").count() == len(lead) + len(wired)
        ids = opened.page.eval_on_selector_all("[id]", "(all) => all.map((each) => each.id)")
        assert len(ids) == len(set(ids))
        opened.context.close()


def test_keys_are_pressed_by_keyboard_and_say_so(browser: Browser, command: Command) -> None:
    opened = Opened(browser, made(command, next(path for path in VEHICLES if "ore-hauler" in path.name)))
    page = opened.page
    key = page.get_by_role("button", name="F6 Yard mode")
    assert key.get_attribute("aria-pressed") == "false"
    key.focus()
    page.keyboard.press("Space")
    assert key.get_attribute("aria-pressed") == "true"
    assert page.get_by_role("status").inner_text() == "On: white (steady), yellow (steady)"
    page.keyboard.press("Enter")
    assert key.get_attribute("aria-pressed") == "false"
    page.get_by_role("button", name="Reverse").press("Space")
    assert page.get_by_role("button", name="Forward").get_attribute("aria-pressed") == "false"
    assert page.get_by_role("button", name="Reverse").get_attribute("aria-pressed") == "true"
    page.get_by_role("button", name="Reverse").press("Space")
    assert page.get_by_role("button", name="Reverse").get_attribute("aria-pressed") == "true"
    assert page.get_by_role("status").inner_text() == "All outputs are off."


def test_everything_that_can_be_used_has_a_name(browser: Browser, command: Command) -> None:
    opened = Opened(browser, made(command, next(path for path in VEHICLES if "ore-hauler" in path.name)))
    tree = opened.context.new_cdp_session(opened.page).send("Accessibility.getFullAXTree")["nodes"]
    used = [node for node in tree if node.get("role", {}).get("value") in {"button", "checkbox", "group"}]
    assert len(used) > 80
    names = [node["name"]["value"] for node in used]
    assert all(name.strip() for name in names)
    assert "CV257 written" in names
    assert {"Function keys", "Direction", "Motion"} <= set(names)


@pytest.mark.parametrize(("motion", "animation"), [("no-preference", "flash"), ("reduce", "none")])
def test_lamps_flash_only_for_who_can_stand_it(browser: Browser, command: Command, motion: str, animation: str) -> None:
    vehicle = next(path for path in VEHICLES if "ore-hauler" in path.name)
    opened = Opened(browser, made(command, vehicle), reduced_motion=motion)
    opened.page.get_by_role("button", name="F3 Ditch lamps").click()
    left, right = (
        opened.page.locator("li", has_text=f"{side} ditch lamp").locator(".bulb") for side in ("left", "right")
    )
    style = "(bulb) => { const s = getComputedStyle(bulb, '::before'); return [s.animationName, s.animationDuration, s.animationDelay]; }"
    name, duration, delay = left.evaluate(style)
    assert name == animation
    if animation == "flash":
        assert (duration, delay) == ("0.75s", "0s")
        assert right.evaluate(style) == ["flash", "0.75s", "-0.375s"]
    assert (
        opened.page.locator("li", has_text="left ditch lamp").inner_text().endswith("alternating flash, 80 per minute")
    )


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_a_usual_plan_takes_two_pages_of_paper_at_most(browser: Browser, command: Command, size: str) -> None:
    pages = {}
    for vehicle in VEHICLES:
        opened = Opened(browser, made(command, vehicle))
        pages[vehicle.name] = opened.paper(size)
        opened.context.close()
    assert all(1 <= number <= 2 for number in pages.values()), pages


def test_names_give_no_command_and_are_shown(browser: Browser, command: Command) -> None:
    """Names of lamps and outputs hold no markup by the language itself; what keys and vehicles are called may."""
    label = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\"'&amp;<!--"
    vehicle = "\u202e<b>turned</b> מנורה مصباح 🚂"
    plan = PLAN.replace("front headlamp", "מנורה קדמית").replace(
        "label: Headlamps", f"label: {json.dumps(label, ensure_ascii=False)}"
    )
    lay({"loco.lights.yaml": plan.replace("Quarry switcher 7", json.dumps(vehicle, ensure_ascii=False))})
    opened = Opened(browser, made(command, "loco.lights.yaml"))
    page = opened.page
    assert opened.complaints == []
    assert len(opened.requests) == 1
    assert page.locator("script").count() == 2
    assert page.locator("img, a, iframe, form, link, object, header b").count() == 0
    page.get_by_role("button", name=f"F0 {label}").click()
    assert page.locator("li.on").inner_text() == "מנורה קדמית\nsteady"
    assert page.locator("h1").inner_text() == "Bench sheet: \\u202e<b>turned</b> מנורה مصباح 🚂"


def test_a_plan_without_outputs_has_a_page_that_does_not_complain(browser: Browser, command: Command) -> None:
    lay({"loco.lights.yaml": "lighting-plan: 1\n"})
    opened = Opened(browser, made(command, "loco.lights.yaml"))
    assert opened.complaints == []
    assert "Do not build this yet" in opened.page.get_by_role("alert").inner_text()
