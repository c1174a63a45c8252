// Light or dark: as the system has it until a choice is made.

import { element } from "./element.js";

const THEMES = { auto: "as the system", light: "light", dark: "dark" };

export function isDark() {
  const chosen = document.documentElement.dataset.theme;
  return chosen ? chosen === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
}

/** A select that sets the theme and calls `changed`. */
export function makeThemeChoice(changed) {
  const select = element("select", { "aria-label": "Light or dark", onchange: () => {
    if (select.value === "auto") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = select.value;
    changed();
  } }, Object.entries(THEMES).map(([value, text]) => element("option", { value }, text)));
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", changed);
  return select;
}
