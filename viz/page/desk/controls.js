// One value of a case file as a control, with what is not allowed told beneath it in the program's own words.

import { element } from "../src/element.js";

let counter = 0;
const UNITS = { deg: "degrees", "mW/cm2": "mW/cm²", "-": "" };

/** "5 min", "1 min 20 s". */
export const spoken = (seconds) => {
  const whole = Math.round(seconds);
  const minutes = Math.floor(whole / 60);
  return minutes ? `${minutes} min${whole % 60 ? ` ${whole % 60} s` : ""}` : `${whole} s`;
};

const faultBelow = (fault) => (fault ? element("p", { class: "fault", role: "alert" }, fault) : null);

/**
 * `change(value)` is called when a value is let go of, `held(value)` while a slider is moved. `limits`: of the case file;
 * `show`: [low, high] of the slider, where it need not reach as far.
 */
export function numberControl({ label, key, value, limits, fault, change, held = () => {}, show, step }) {
  const id = `n${++counter}`;
  const [low, high] = show ?? [limits.low, limits.high];
  const unit = UNITS[limits.unit] ?? limits.unit;
  const fine = step ?? (high - low > 50 ? 5 : 0.1);
  const slider = element("input", { type: "range", min: low, max: high, step: fine, "aria-label": `${label}, slider`, "data-key": `${key} slider` });
  const box = element("input", { type: "number", id, step: "any", "data-key": key, "aria-invalid": fault ? "true" : false });
  const heard = element("span", { class: "faint" });
  const tell = (now) => { heard.textContent = limits.unit === "s" && now >= 60 ? spoken(now) : ""; };
  slider.value = box.value = Math.round(value * 1000) / 1000;
  tell(value);
  slider.addEventListener("input", () => { box.value = slider.value; tell(Number(slider.value)); held(Number(slider.value)); });
  slider.addEventListener("change", () => change(Number(slider.value)));
  box.addEventListener("change", () => { if (box.value !== "") change(Number(box.value)); });
  return element("div", { class: "control" }, element("label", { for: id }, label, unit ? element("span", { class: "faint" }, ` ${unit}`) : null),
    element("div", { class: "row" }, slider, box, heard), faultBelow(fault));
}

/** `choices`: values, or {value, words}. */
export function choiceControl({ label, key, value, choices, fault, change, beside = null }) {
  const id = `c${++counter}`;
  const select = element("select", { id, "data-key": key, onchange: () => change(select.value) },
    choices.map((each) => element("option", { value: each.value ?? each, selected: (each.value ?? each) === value }, each.words ?? each)));
  return element("div", { class: "control" }, element("label", { for: id }, label), element("div", { class: "row" }, select, beside), faultBelow(fault));
}

export const button = (words, onclick, more = {}) => element("button", { type: "button", onclick, ...more }, words);
