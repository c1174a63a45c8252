// How do I fill it: each plan as a section, a time line and its entries, with what is known of it without solving.

import { element } from "../src/element.js";
import { button, choiceControl, numberControl, spoken } from "./controls.js";
import { changeList, changeTo, copyOf, copyPlan, desk, edit, factsOf, faultAt, faultWords, LETTERS, letters, open, planOf, plans, removePlan, save, set, swapPlans, valueAt } from "./desk.js";
import { drawSection } from "./drawing.js";
import { changeClass } from "./materials.js";
import { drawTimeline } from "./timeline.js";

const LAYERS = { rest: "all that is left", horizontal: "level layer", oblique: "oblique layers", plane: "up to a plane (from the file)" };
const SIDES = ["occlusal", "buccal", "lingual", "mesial", "distal", "apical"];
const LOSSES = { none: "nothing (tip touches)", "good-collimation": "little: well-collimated lamp", "middle-collimation": "some: middling lamp", "poor-collimation": "much: poorly collimated lamp" };
const MOST = LETTERS.length;

const entriesOf = (facts) => Object.keys(facts.values).filter((key) => /^plan\.increment\[\d+\]\.layer$/.test(key)).length;
const ownLight = (facts, i) => Object.keys(facts.values).some((key) => key.startsWith(`plan.increment[${i}].light`));
/** The list of exposures that an entry is lit by. */
const lightsOf = (facts, i) => (ownLight(facts, i) ? `plan.increment[${i}].light` : "plan.light");

/** The key that says when an entry is placed: of the first one that of the whole plan. */
function waitKey(facts, i) {
  if (facts.values[`plan.increment[${i}].placed_at`]) return null;
  return i === 1 && facts.values["plan.wait"] ? "plan.wait" : `plan.increment[${i}].wait`;
}

function numberOf(letter, key, label, more = {}) {
  const facts = factsOf(letter);
  if (!facts.values[key] || typeof facts.values[key].value !== "number") return null;
  return numberControl({ label, key: `${letter} ${key}${more.twice ?? ""}`, value: valueAt(letter, key), limits: facts.allowed[key], fault: faultAt(letter, key), change: (value) => set([letter], key, value), ...more });
}
function choiceOf(letter, key, label, choices, more = {}) {
  return choiceControl({ label, key: `${letter} ${key}${more.twice ?? ""}`, value: factsOf(letter).values[key].value, choices, fault: faultAt(letter, key), change: (value) => set([letter], key, value), ...more });
}

// ---------------------------------------------------------------- one entry

/** The exposures of a list as the case file would write them. */
function exposuresOf(facts, list) {
  const all = [];
  for (let k = 1; facts.values[`${list}[${k}].irradiance`]; ++k) {
    const place = `${list}[${k}].`;
    all.push(Object.fromEntries(Object.entries(facts.values).filter(([key, { value }]) => key.startsWith(place) && value !== null).map(([key, { value }]) => [key.slice(place.length), value])));
  }
  return all;
}

const giveLight = (letter, i) => edit([letter], [{ path: `plan.increment[${i}].light`, value: exposuresOf(factsOf(letter), "plan.light") }]);

/** "copy" or "remove" the last exposure of a list. */
function changeExposures(letter, change, list) {
  const now = exposuresOf(factsOf(letter), list);
  return changeList(letter, change, list, now.length, change === "copy" ? [...now, now.at(-1)] : now.slice(0, -1));
}

function exposure(letter, list, k, words, twice) {
  const { values } = factsOf(letter);
  const light = `${list}[${k}]`;
  return [k > 1 ? numberOf(letter, `${light}.delay`, "Pause before it", { show: [0, 60], step: 1, twice }) : null,
    numberOf(letter, `${light}.irradiance`, words, { show: [200, 3000], twice }), numberOf(letter, `${light}.duration`, "Lit for", { show: [1, 120], step: 1, twice }),
    values[`${light}.from`] && SIDES.includes(values[`${light}.from`].value) ? choiceOf(letter, `${light}.from`, "Lamp from", SIDES, { twice }) : null,
    values[`${light}.distance_curve`] ? choiceOf(letter, `${light}.distance_curve`, "Lost between tip and tooth", Object.entries(LOSSES).map(([value, told]) => ({ value, words: told })), { twice, change: (value) => changeLoss(letter, light, value) }) : null,
    numberOf(letter, `${light}.tip_gap`, "Tip to the tooth", { show: [0, 12], step: 0.5, twice })];
}

function lightControls(letter, i) {
  const facts = factsOf(letter);
  const own = ownLight(facts, i);
  if (!own && i > 1) return element("p", { class: "faint" }, "Lit as the first entry is. ", button("Give it a light of its own", () => giveLight(letter, i), { class: "small" }));
  const list = lightsOf(facts, i);
  const shared = !own && entriesOf(facts) > 1 ? ", of all without their own" : "";
  const count = exposuresOf(facts, list).length;
  return [Array.from({ length: count }, (_, k) => exposure(letter, list, k + 1, k ? "Then light" : `Light${shared}`, ` ${i}`)),
    element("div", { class: "row" }, button("Light it once more", () => changeExposures(letter, "copy", list), { class: "small", "data-key": `${letter} ${list} more ${i}` }),
      count > 1 ? button("Take the last light away", () => changeExposures(letter, "remove", list), { class: "small", "data-key": `${letter} ${list} fewer ${i}` }) : null,
      own && facts.values["plan.light[1].irradiance"] ? button("Light it as all others", () => set([letter], list, null), { class: "small" }) : null)];
}

const changeLoss = (letter, light, value) => edit([letter], [{ path: `${light}.distance_curve`, value }, { path: `${light}.tip_gap`, value: value === "none" ? null : factsOf(letter).values[`${light}.tip_gap`]?.value ?? 2 }]);

function entryBox(letter, i, count) {
  const facts = factsOf(letter);
  const { values, allowed } = facts;
  const at = `plan.increment[${i}]`;
  const made = facts.increments.map(({ entry }, n) => (entry === i ? n + 1 : null)).filter(Boolean);
  const title = made.length > 1 ? `Increments ${made[0]} to ${made.at(-1)}` : `Increment ${made[0] ?? "?"}`;
  const composite = facts.composites.find(({ name }) => name === values[`${at}.material`].value);
  return element("fieldset", { class: "increment" }, element("legend", {}, title),
    choiceOf(letter, `${at}.layer`, "Shape", allowed[`${at}.layer`].choices.filter((each) => each !== "plane" || each === values[`${at}.layer`].value).map((value) => ({ value, words: LAYERS[value] })), { change: (value) => changeShape(letter, at, value) }),
    numberOf(letter, `${at}.thickness`, "Thickness", { show: [0.2, 6] }), numberOf(letter, `${at}.angle`, "Angle"),
    values[`${at}.repeat`] ? choiceControl({ label: "Repeat until full", key: `${letter} ${at}.repeat`, value: String(values[`${at}.repeat`].value), choices: [{ value: "false", words: "no" }, { value: "true", words: "yes" }], change: (value) => set([letter], `${at}.repeat`, value === "true") }) : null,
    choiceOf(letter, `${at}.material`, "Composite", facts.composites.map(({ name }) => name), { change: (value) => changeClass([letter], `${at}.material`, value) }),
    composite ? element("p", { class: "faint" }, composite.about) : null,
    i === 1 && values["plan.wait"] ? null : numberOf(letter, `${at}.wait`, made.length > 1 ? "Wait before each" : "Wait before it", { show: [0, 600] }),
    numberOf(letter, `${at}.placing_time`, "Time to place it", { show: [0, 120], step: 1 }), lightControls(letter, i),
    element("div", { class: "row" }, button("Copy below", () => changeList(letter, "copy", "plan.increment", i), { class: "small" }),
      i > 1 ? button("Place earlier", () => changeList(letter, "move", "plan.increment", i), { class: "small" }) : null,
      count > 1 ? button("Take away", () => changeList(letter, "remove", "plan.increment", i), { class: "small" }) : null));
}

function changeShape(letter, at, value) {
  const { values } = factsOf(letter);
  const wanted = { layer: value, thickness: ["horizontal", "oblique"].includes(value) ? values[`${at}.thickness`]?.value ?? 2 : null, repeat: value === "horizontal" ? true : null,
    angle: value === "oblique" ? values[`${at}.angle`]?.value ?? 30 : null, point: null, normal: null };
  return edit([letter], Object.entries(wanted).map(([key, each]) => ({ path: `${at}.${key}`, value: each })));
}

// ---------------------------------------------------------------- what is known without solving

/** What the check says; of a mesh far coarser than any run's, so in round numbers. */
function live(letter) {
  const { report, fault } = desk.readings[letter];
  if (fault) return [];
  if (!report) return [element("p", { class: "faint" }, "Working out cure and areas …")];
  const percent = (share) => (share === null ? "–" : `${Math.round(100 * share)} %`);
  const soft = (cure) => (cure.under_cured ? element("b", { class: "warning" }, " soft") : null);
  return [element("table", {}, element("thead", {}, element("tr", {}, ["Increment", "Cured at top", "at bottom", "C-factor"].map((each) => element("th", { scope: "col" }, each)))),
    element("tbody", {}, report.cure.increments.map((cure, i) => element("tr", {}, element("th", { scope: "row" }, i + 1, cure.too_thick ? element("span", { class: "warning" }, " thick") : null), element("td", {}, percent(cure.conversion_top)), element("td", {}, percent(cure.conversion_bottom), soft(cure)),
      element("td", {}, report.c_factors.increments[i]?.c_factor?.toFixed(1) ?? "no free surface"))))),
  element("p", { class: "faint" }, "Cured: share of what the composite can reach, without solving, in round numbers."),
  [...report.warnings, ...report.notes].map((warning) => element("p", { class: "warning" }, warning))].flat();
}
export function drawLive(letter) {
  document.getElementById(`live-${letter}`)?.replaceChildren(...live(letter));
}

// ---------------------------------------------------------------- one plan

function lampsOf(letter) {
  const facts = factsOf(letter);
  const { values } = facts;
  const lists = [...new Set(facts.increments.filter(({ exposures }) => exposures.length).map(({ entry }) => lightsOf(facts, entry)))];
  const lights = lists.flatMap((list) => exposuresOf(facts, list).map((_, k) => `${list}[${k + 1}]`));
  const place = (light) => ["from", "tip_gap"].map((key) => values[`${light}.${key}`]?.value).join();
  return lights.filter((light, i) => lights.findIndex((other) => place(other) === place(light)) === i).filter((light) => SIDES.includes(values[`${light}.from`]?.value)).map((light) => {
    const lossy = values[`${light}.tip_gap`] !== undefined && typeof values[`${light}.tip_gap`].value === "number";
    return { from: values[`${light}.from`].value, gap: lossy ? values[`${light}.tip_gap`].value : 0, words: (gap) => (lossy ? `lamp, ${gap} mm` : "lamp"), moved: lossy ? (gap) => set([letter], `${light}.tip_gap`, gap) : null };
  });
}

function timeline(letter) {
  const facts = factsOf(letter);
  const longest = Math.max(...letters().map((each) => factsOf(each).chair_time_s), 60);
  const draggable = (key) => (key && typeof facts.values[key]?.value === "number" ? { seconds: facts.values[key].value, done: (value) => set([letter], key, value) } : null);
  return drawTimeline(facts, longest, letter, (entry) => draggable(waitKey(facts, entry)), (entry, k) => draggable(`${lightsOf(facts, entry)}[${k}].duration`));
}

function startFrom(letter) {
  const chooser = element("select", { "aria-label": `Start plan ${letter} from`, "data-key": `${letter} start` }, element("option", { value: "" }, "Start from …"),
    element("optgroup", { label: "Your files" }, desk.world.files.cases.map((file) => element("option", { value: `f${file}` }, file))),
    element("optgroup", { label: "Ready-made (invented)" }, desk.world.ready.filter(({ name }) => /box/.test(name)).map(({ name, title }) => element("option", { value: `r${name}` }, title))));
  chooser.addEventListener("change", () => { if (chooser.value) void open(letter, chooser.value.slice(1), chooser.value[0] === "r"); });
  return chooser;
}

function rename(letter, name) {
  const next = copyOf(desk.state);
  Object.assign(next.plans.find((each) => each.letter === letter), { name: name.endsWith(".toml") ? name : `${name}.toml` });
  return changeTo(next);
}

function fileRow(letter) {
  const file = element("input", { class: "file-name", value: planOf(letter).name, "aria-label": `File name of plan ${letter}`, "data-key": `${letter} name`, onchange: () => rename(letter, file.value.trim()) });
  return element("div", { class: "row" }, file, button("Save as file", () => save(letter), { "data-key": `${letter} save` }));
}

function planBox({ letter }) {
  const facts = factsOf(letter);
  const { fault } = desk.readings[letter];
  const count = entriesOf(facts);
  const others = letters().filter((each) => each !== letter);
  return element("article", { class: `plan ${letter}`, "aria-label": `Plan ${letter}` }, element("h3", {}, element("span", { class: "letter" }, letter), facts.title),
    element("div", { class: "row" }, startFrom(letter), plans().length < MOST ? button("Copy as another plan", () => copyPlan(letter, LETTERS[plans().length]), { class: "small" }) : null,
      others.length ? button("Take this plan away", () => removePlan(letter), { class: "small" }) : null),
    facts.invented ? element("p", { class: "faint" }, "Built on a plan that is invented for demonstration.") : null,
    drawSection(facts, letter, lampsOf(letter)), timeline(letter),
    element("p", {}, `Chair time ${spoken(facts.chair_time_s)}, from the cured bond to the last light off. Drag the marks, or type below.`),
    element("div", { id: `live-${letter}`, "aria-live": "polite" }, live(letter)),
    fault ? element("p", { class: "fault elsewhere", role: "alert", "data-blames": `${letter} ${fault.key}` }, faultWords(fault)) : null,
    fault ? element("p", { class: "faint" }, "The drawing shows the last plan that could be read.") : null,
    numberOf(letter, "plan.wait", "Let the bond mature first", { show: [0, 600] }),
    Array.from({ length: count }, (_, i) => entryBox(letter, i + 1, count)), fileRow(letter));
}

/** What is told at its control is not told twice. */
export function hideToldTwice() {
  for (const told of document.querySelectorAll(".fault.elsewhere")) {
    const key = told.dataset.blames.slice(2);
    told.hidden = document.querySelector(`[data-key="${CSS.escape(key)}"], [data-key^="${CSS.escape(told.dataset.blames)}"]`) !== null;
  }
}

export function drawPlans() {
  const two = letters().length >= 2;
  return [element("div", { class: "row" }, two ? button("Copy A to B", () => copyPlan("A", "B")) : null, two ? button("Swap A and B", () => swapPlans("A", "B")) : null),
    element("div", { class: "two" }, plans().map(planBox))];
}
