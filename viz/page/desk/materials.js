// Adhesive, its maturity, and the values of all classes in use: the library's with their sources, or one's own.

import { element } from "../src/element.js";
import { ask } from "./api.js";
import { button, choiceControl, numberControl } from "./controls.js";
import { desk, edit, factsOf, faultAt, letters, page, plans, say, set, valueAt } from "./desk.js";

const LAWS = { "chairside-rule": "70 % at 1 min, 90 % at 5 min", "ten-minute-pair": "by a published pair at 10 min", "mature-at-once": "full strength at once" };
const LAW_NOTES = { "chairside-rule": "A rule of practice without a source.", "ten-minute-pair": "Share of the strength after 24 h that is there after 10 min.", "mature-at-once": "Waiting then changes nothing: to see what maturity does." };
const LAW = "bond.strength_maturity";
const first = () => plans()[0].letter;
const override = (name) => `materials.override.${name}`;

function bondControls() {
  const facts = factsOf(first());
  const law = facts.values[`${LAW}.law`]?.value;
  const adhesive = facts.values["materials.adhesive"].value;
  const about = facts.adhesives.find(({ name }) => name === adhesive)?.about;
  const share = (key, label) => (facts.values[`${LAW}.${key}`] ? numberControl({ label, key: `${LAW}.${key}`, value: valueAt(first(), `${LAW}.${key}`), limits: facts.allowed[`${LAW}.${key}`], step: 0.01, fault: faultAt(first(), `${LAW}.${key}`), change: (value) => set(letters(), `${LAW}.${key}`, value) }) : null);
  return [choiceControl({ label: "Adhesive", key: "materials.adhesive", value: adhesive, choices: facts.adhesives.map(({ name }) => name), fault: faultAt(first(), "materials.adhesive"), change: (value) => changeClass(letters(), "materials.adhesive", value) }),
    about ? element("p", { class: "faint" }, about) : null,
    law && LAWS[law] ? choiceControl({ label: "How the bond gains strength", key: `${LAW}.law`, value: law, choices: Object.entries(LAWS).map(([value, words]) => ({ value, words })), fault: faultAt(first(), `${LAW}.law`),
      change: (value) => edit(letters(), [{ path: `${LAW}.law`, value }, { path: `${LAW}.ratio`, value: null }]) }) : null,
    law && LAWS[law] ? element("p", { class: "faint" }, LAW_NOTES[law]) : null, share("at_once", "Share at once"), share("ratio", "Share after 10 min")];
}

/** Another class in the place of one: own values of a class that no plan uses any more would be refused, so they go with it. */
export function changeClass(of, path, value) {
  const left = new Set(of.flatMap((letter) => {
    const { values } = factsOf(letter);
    const before = values[path]?.value;
    const stillUsed = Object.entries(values).some(([key, each]) => key !== path && /(^materials\.(adhesive|filling)|\.material)$/.test(key) && each.value === before);
    return before && before !== value && !stillUsed ? [before] : [];
  }));
  const lost = [...left].filter((name) => of.some((letter) => ownKeys(letter, name).length));
  if (lost.length) queueMicrotask(() => say(`Your own values of ${lost.join(", ")} went with it; Undo brings them back.`));
  return edit(of, [{ path, value }, ...[...left].map((name) => ({ path: ownTable(of, name), value: null }))]);
}

/** The library's value again; with the last of one's own the whole table goes. */
function takeBack(name, path) {
  const of = usersOf(name);
  const isLast = of.every((letter) => ownKeys(letter, name).every((key) => key === path));
  return edit(of, [{ path: isLast ? ownTable(of, name) : path, value: null }], path);
}

/** What to take out of plans so that none of a class's own values is left: the table around them too, where it would be empty. */
function ownTable(of, name) {
  const others = of.some((letter) => Object.keys(factsOf(letter).values).some((key) => key.startsWith("materials.override.") && !key.startsWith(`${override(name)}.`)));
  return others ? override(name) : "materials.override";
}

const ownKeys = (letter, name) => Object.keys(factsOf(letter).values).filter((key) => key.startsWith(`${override(name)}.`));
const classesOf = (letter) => new Set([factsOf(letter).values["materials.adhesive"].value, ...factsOf(letter).increments.map(({ material }) => material)]);
const usersOf = (name) => letters().filter((letter) => classesOf(letter).has(name));

async function turnSources() {
  if (desk.classes) desk.classes = null;
  else await readClasses();
  page.draw();
}
async function readClasses() {
  const { name, text } = plans()[0];
  const answer = await ask("classes", { name, text });
  if (answer.ok) desk.classes = answer.classes;
  else say(answer.message);
}

const spelled = (key) => key.replaceAll("_", " ").split(".").join(", ");

function valueRow(name, key, { value, unit, basis, source }) {
  const path = `${override(name)}.${key}`;
  const [user] = usersOf(name);
  const own = factsOf(user).values[path]?.value;
  const fault = usersOf(name).map((letter) => faultAt(letter, path)).find(Boolean);
  const told = Array.isArray(value) ? value.join(", ") : value ?? "";
  const box = typeof value === "number" ? element("input", { type: "number", step: "any", value: own ?? null, placeholder: value, "data-key": path, "aria-label": `Your own ${spelled(key)} of ${name}${unit ? `, ${unit}` : ""}`,
    onchange: ({ target }) => (target.value === "" ? takeBack(name, path) : set(usersOf(name), path, Number(target.value))) }) : null;
  return element("tr", { class: own !== undefined ? "own" : null }, element("th", { scope: "row" }, spelled(key)),
    element("td", {}, box, own !== undefined ? button("Library's", () => takeBack(name, path), { class: "small", "aria-label": `Take the library's ${spelled(key)} of ${name} again` }) : null, fault ? element("p", { class: "fault", role: "alert" }, fault) : null),
    element("td", {}, `${told} ${unit && unit !== "-" ? unit : ""}`), element("td", {}, basis ? element("b", {}, basis) : null, source ? ` ${source}` : ""));
}

function sources() {
  if (!desk.classes) return [];
  const used = new Set(letters().flatMap((letter) => [...classesOf(letter)]));
  const relevant = (key) => !/^strength\.fixture|_maturity\.fixture/.test(key);
  return Object.values(desk.classes).flatMap((kind) => Object.entries(kind)).filter(([name]) => used.has(name)).map(([name, { about, values }]) => {
    const own = usersOf(name).flatMap((letter) => ownKeys(letter, name));
    return element("details", { "data-fold": name, open: desk.folds?.[name] }, element("summary", {}, element("b", {}, name), ` ${about}`, own.length ? element("b", {}, ` With ${new Set(own).size} of your own values.`) : ""),
      own.length ? button(`Take all the library's values of ${name} again`, () => edit(usersOf(name), [{ path: ownTable(usersOf(name), name), value: null }])) : null,
      element("div", { class: "table-box", tabindex: 0, role: "group", "aria-label": `Values of ${name}` }, element("table", {}, element("thead", {}, element("tr", {}, ["Value", "Your own", "Library", "Rests on"].map((each) => element("th", { scope: "col" }, each)))),
        element("tbody", {}, Object.entries(values).filter(([key]) => relevant(key)).map(([key, entry]) => valueRow(name, key, entry))))));
  });
}

/** A file of classes in the folder, or one that is put there. */
function ownFile() {
  const { values } = factsOf(first());
  const now = values["materials.include"]?.value ?? "";
  const { materials } = desk.world.files;
  const chosen = element("input", { type: "file", accept: ".toml", class: "visually-hidden", "aria-label": "Put a material file into the folder of the desk", onchange: async () => {
    const [file] = chosen.files;
    if (!file) return;
    if (desk.world.files.materials.concat(desk.world.files.cases).includes(file.name)) return say(`There is a file ${file.name} in the folder already: choose it from the list, or rename yours.`);
    const answer = await ask("save", { name: file.name, text: await file.text() });
    if (!answer.ok) return say(answer.message);
    desk.world.files = answer.files;
    await include(file.name);
  } });
  return [choiceControl({ label: "A material file of your own", key: "materials.include", value: now, fault: letters().map((letter) => faultAt(letter, "materials.include")).find(Boolean),
    choices: [{ value: "", words: materials.length ? "none" : "none yet" }, ...[...new Set([...materials, ...(now ? [now] : [])])].map((name) => ({ value: name, words: name }))], change: include,
    beside: element("label", { class: "as-button" }, "Bring one …", chosen) }),
  element("p", { class: "faint" }, "Its classes then stand in the lists of adhesives and composites. “setstress fit” writes such files from your own measurements.")];
}
async function include(name) {
  await set(letters(), "materials.include", name || null);
  if (desk.classes) {
    await readClasses();
    page.draw();
  }
}

export function drawBond() {
  return element("div", { class: "bond" }, element("h3", {}, "What holds the filling"), bondControls(), ownFile(),
    button(desk.classes ? "Hide values and sources" : "Values and sources of these materials", turnSources, { "data-key": "sources" }));
}
export const drawSources = () => element("div", {}, sources());
