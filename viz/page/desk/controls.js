// One value of a case file as a control, with what is not allowed told beneath it in the program's own words.

import { element } from "../src/element.js";

let counter = 0;

/** `change(value)` is called when a value is let go of. `limits`: of the case file; `show`: [low, high] of the slider. */
export function numberControl({ label, key, value, limits, fault, change, show }) {
  const id = `n${++counter}`;
  const [low, high] = show ?? [limits.low, limits.high];
  const slider = element("input", { type: "range", min: low, max: high, step: high - low > 50 ? 5 : 0.1, "aria-label": `${label}, slider`, "data-key": `${key} slider` });
  const box = element("input", { type: "number", id, step: "any", "data-key": key, "aria-invalid": fault ? "true" : false });
  slider.value = box.value = Math.round(value * 1000) / 1000;
  slider.addEventListener("input", () => { box.value = slider.value; });
  slider.addEventListener("change", () => change(Number(slider.value)));
  box.addEventListener("change", () => { if (box.value !== "") change(Number(box.value)); });
  return element("div", { class: "control" }, element("label", { for: id }, label, limits.unit && limits.unit !== "-" ? element("span", { class: "faint" }, ` ${limits.unit === "deg" ? "degrees" : limits.unit}`) : null),
    element("div", { class: "row" }, slider, box), fault ? element("p", { class: "fault", role: "alert" }, fault) : null);
}

export function choiceControl({ label, key, value, choices, fault, change }) {
  const id = `c${++counter}`;
  const select = element("select", { id, "data-key": key, onchange: () => change(select.value) },
    choices.map((each) => element("option", { value: each.value ?? each, selected: (each.value ?? each) === value }, each.words ?? each)));
  return element("div", { class: "control" }, element("label", { for: id }, label), element("div", {}, select), fault ? element("p", { class: "fault", role: "alert" }, fault) : null);
}
