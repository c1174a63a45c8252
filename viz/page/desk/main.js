// The page of the desk: what is the hole, how do I fill it, what happens, why, how sure.

import { element } from "../src/element.js";
import { hello, listen } from "./api.js";
import { button } from "./controls.js";
import { changeTo, desk, LETTERS, page, plans, readAll, startOver, undo } from "./desk.js";
import { drawHole, drawSolid } from "./hole.js";
import { drawLive, drawPlans, hideToldTwice } from "./plan.js";
import { drawOdds, drawRuns, drawWhy, fillRuns, findKept, news } from "./results.js";
import { show } from "./show.js";

const step = (number, title, ...children) => element("section", { class: "step", "aria-labelledby": `step-${number}` }, element("h2", { id: `step-${number}` }, `${number}. ${title}`), ...children.flat(Infinity).filter(Boolean));

globalThis.deskTimes = {}; // [ms] since the page was asked for: what tests look at

function draw() {
  const main = document.getElementById("desk");
  if (plans().some(({ letter }) => !desk.readings[letter]?.facts)) return drawUnreadable(main);
  const focus = document.activeElement?.dataset?.key;
  const scroll = scrollY;
  const said = document.getElementById("said")?.textContent ?? "";
  desk.folds = Object.fromEntries([...document.querySelectorAll("[data-fold]")].map(({ dataset, open }) => [dataset.fold, open]));
  const result = document.getElementById("compare-answer");
  main.replaceChildren(
    element("header", { class: "top" }, element("h1", {}, "Plans side by side"), element("p", { id: "said", role: "status" }, said),
      button("Undo", undo, { id: "undo", "data-key": "undo", disabled: !desk.undone.length })),
    step(1, "What is the hole?", drawHole()),
    step(2, "How do I fill it?", drawPlans()),
    step(3, "What happens?", drawRuns()),
    step(4, "Why do they differ?", drawWhy()),
    step(5, "How sure is that?", drawOdds()),
    element("footer", {}, `Plans and results are kept in ${desk.world.folder}. setstress ${desk.world.version}. ${desk.world.caution}`));
  if (result) document.getElementById("compare-answer").replaceWith(result);
  hideToldTwice();
  drawSolid();
  fillRuns();
  if (focus) document.querySelector(`[data-key="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
  scrollTo(0, scroll);
}

/** Where not even a first reading of a plan is there, it can be exchanged. */
function drawUnreadable(main) {
  main.replaceChildren(element("h1", {}, "A plan cannot be read"), element("p", { id: "said", role: "status" }),
    ...plans().filter(({ letter }) => desk.readings[letter]?.fault).map(({ letter }) => element("p", { class: "fault" }, `${letter}: ${desk.readings[letter].fault.message}`)),
    button("Begin with two ready-made plans", startOver, { class: "main" }), desk.undone.length ? button("Undo", () => changeTo(desk.undone.pop(), { remember: false })) : "");
}

/** A state that an earlier desk left, as far as it can be one. */
function isState(state) {
  return Array.isArray(state?.plans) && state.plans.length >= 1 && state.plans.length <= LETTERS.length && state.plans.every(({ letter, name, text }, i) => letter === LETTERS[i] && typeof name === "string" && typeof text === "string")
    && ["intact", "debonding"].includes(state.mode) && ["coarse", "standard"].includes(state.fineness);
}

function watchKeys(event) {
  const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(event.target.tagName);
  if (!typing && event.key === "z" && (event.ctrlKey || event.metaKey)) {
    event.preventDefault();
    void undo();
  }
}

async function start() {
  const main = document.getElementById("desk");
  try {
    desk.world = await hello();
    if (desk.world.show) return show(desk.world, main);
    Object.assign(page, { draw: () => { draw(); globalThis.deskTimes.drawn ??= performance.now(); }, drawLive, settle: findKept, drawSolid: () => { drawSolid(); globalThis.deskTimes.solid = performance.now(); } });
    desk.jobs = desk.world.work.jobs;
    listen(news);
    desk.state = desk.world.state;
    if (isState(desk.state)) await readAll();
    else await startOver();
    document.addEventListener("keydown", watchKeys);
    globalThis.deskTimes.ready = performance.now();
  } catch (error) {
    main.textContent = `The desk cannot be shown: ${error.message}.`;
    throw error;
  }
}

start();
