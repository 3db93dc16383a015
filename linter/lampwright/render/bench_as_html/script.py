"""The script of a bench sheet: presses keys, evaluates the state table, lights lamps. Plain JavaScript."""

SCRIPT = """
"use strict";
(() => {
  const outputs = JSON.parse(document.getElementById("bench-data").textContent).outputs;
  const buttons = [...document.querySelectorAll("button[data-variable]")];
  const lamps = [...document.querySelectorAll("[data-output]")];
  const state = new Map([["forward", true], ["moving", false]]);
  const is = (variable) => state.get(variable) === true;
  const holds = (product) => product.every(([variable, wanted]) => is(variable) === wanted);
  // Nothing may flash more than three times a second, whatever the decoder does.
  const period = (rate) => `${Math.max(1 / 3, 1 / rate)}s`;
  const show = () => {
    const lit = outputs.map((output) => output.lit.find((look) => look.when.some(holds)));
    for (const lamp of lamps) {
      const number = Number(lamp.dataset.output);
      const look = lit[number];
      lamp.classList.toggle("on", look !== undefined);
      lamp.classList.toggle("flashing", look !== undefined && look.rate !== null);
      lamp.classList.toggle("alive", look !== undefined && look.rate === null && !look.steady);
      lamp.classList.toggle("odd", look !== undefined && look.odd);
      lamp.style.setProperty("--level", look === undefined ? 0 : look.level);
      if (look !== undefined && look.rate !== null) {
        lamp.style.setProperty("--period", period(look.rate));
        lamp.style.setProperty("--turn", look.second ? "-0.5" : "0");
      }
      const dark = outputs[number].undecided ? "cannot be told" : "dark";
      lamp.querySelector(".how").textContent = look === undefined ? dark : look.look;
    }
    const said = outputs.map((output, number) => lit[number] && `${output.name} (${lit[number].look})`);
    const burning = said.filter(Boolean);
    document.getElementById("lit").textContent = burning.length ? `On: ${burning.join(", ")}` : "All outputs are off.";
  };
  const mark = () => {
    for (const button of buttons) {
      button.setAttribute("aria-pressed", String(is(button.dataset.variable) === (button.dataset.value === "true")));
    }
  };
  for (const button of buttons) {
    button.addEventListener("click", () => {
      const variable = button.dataset.variable;
      state.set(variable, variable.startsWith("F") ? !is(variable) : button.dataset.value === "true");
      mark();
      show();
    });
  }
  for (const part of document.querySelectorAll(".screen")) part.hidden = false;
  mark();
  show();
})();
"""
