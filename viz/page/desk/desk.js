// What the desk knows and does. A plan is the text of a case file; every control changes that text through the desk, so that
// what is on screen and what the command line reads are one.

import { ask } from "./api.js";

export const LETTERS = ["A", "B", "C", "D"];
const STARTS = ["deep-box-layers", "deep-box-layers-after-5-min"];
const MOST_UNDO = 100;
const OF_HOLE = /^(tooth|preparation|dentin_bands)\./;

/** By plan in `readings`: facts, fault, report of the check, and of which text they are. */
export const desk = { state: null, world: null, jobs: [], readings: {}, solid: null, classes: null, undone: [] };
/** Set by the page: what to do when something is to be drawn anew. */
export const page = { draw() {}, drawLive() {}, drawSolid() {}, settle() {} };

export const plans = () => desk.state.plans;
export const letters = () => plans().map(({ letter }) => letter);
export const planOf = (letter) => plans().find((plan) => plan.letter === letter);
export const factsOf = (letter) => desk.readings[letter]?.facts;
export const copyOf = (value) => JSON.parse(JSON.stringify(value));
export const isReady = () => plans().every(({ letter }) => !desk.readings[letter].fault);

export function say(text) {
  document.getElementById("said").textContent = text;
}

/** Everything that the shape of the hole and its substrates follow from. */
export function holeOf(letter) {
  const { values } = factsOf(letter);
  return JSON.stringify(Object.keys(values).filter((key) => OF_HOLE.test(key)).sort().map((key) => [key, values[key].value]));
}

let begun = null; // the solid that was asked for last: {text, answer}
/** The solid of a plan, as a promise; asked for once, also where its text is still being read. */
function solidOf({ letter, name, text }) {
  if (begun?.text !== text) {
    const now = { text };
    now.answer = ask("solid", { letter, name, text }).then((answer) => {
      if (!answer.ok && begun === now) begun = null;
      return answer;
    });
    begun = now;
  }
  return begun.answer;
}

/** Reads plan after plan; where one cannot be read, the last good reading stays and the fault is shown. */
export async function readAll() {
  if (!desk.solid) void solidOf(plans()[0]);
  await Promise.all(plans().map(async ({ letter, name, text }) => {
    const reading = (desk.readings[letter] ??= {});
    if (reading.text === text && reading.name === name && !reading.fault) return;
    const facts = await ask("read", { name, text });
    Object.assign(reading, { name, text, fault: facts.ok ? null : facts, report: null });
    if (facts.ok) reading.facts = facts;
  }));
  const solid = readSolid();
  page.draw();
  await solid;
  for (const plan of plans()) void check(plan);
  page.settle();
}

/** The true solid of plan A, where its hole is another one than that shown. */
async function readSolid() {
  const { letter, text } = plans()[0];
  if (desk.readings[letter].fault) return;
  const hole = holeOf(letter);
  if (desk.solid?.hole === hole) return;
  const answer = await solidOf(plans()[0]);
  if (answer.superseded || planOf(letter)?.text !== text) return;
  if (!answer.ok) {
    desk.readings[letter].fault = answer;
    return page.draw();
  }
  desk.solid = { ...answer, hole };
  page.drawSolid();
}

async function check({ letter, name, text }) {
  const reading = desk.readings[letter];
  if (reading.fault || reading.report) return;
  const report = await ask("check", { letter, name, text });
  const now = planOf(letter);
  if (report.superseded || now?.text !== text) return;
  if (report.ok) reading.report = report;
  else reading.fault = report;
  report.ok ? page.drawLive(letter) : page.draw();
}

/** Keeps the last state for undo, and on disk. */
export async function changeTo(next, { remember = true } = {}) {
  if (remember) desk.undone.push(copyOf(desk.state));
  if (desk.undone.length > MOST_UNDO) desk.undone.shift();
  desk.state = next;
  keep();
  await readAll();
}

let kept = Promise.resolve();
/** On disk, in the order of changes. */
export function keep() {
  const { state } = desk;
  kept = kept.then(async () => {
    const answer = await ask("state", state);
    if (!answer.ok) say(answer.message);
  });
}

export async function undo() {
  if (!desk.undone.length) return say("There is nothing to undo.");
  await changeTo(desk.undone.pop(), { remember: false });
  say("Undone.");
}

export function refuse(letter, key, message) {
  Object.assign(desk.readings[letter], { fault: { message, key }, text: null });
  page.draw();
  for (const plan of plans()) void check(plan); // the change ended them
}

/** The same edits [{path, value}, ...] in the files of several plans: all of them, or none. */
export async function edit(of, edits, blamed = edits[0].path) {
  const next = copyOf(desk.state);
  const changed = next.plans.filter(({ letter }) => of.includes(letter));
  const answers = await Promise.all(changed.map(({ text }) => ask("set", { text, edits })));
  const refused = answers.findIndex(({ ok }) => !ok);
  if (refused >= 0) return refuse(changed[refused].letter, blamed, answers[refused].message);
  changed.forEach((plan, i) => { plan.text = answers[i].text; });
  if (edits.some(({ path }) => OF_HOLE.test(path))) void solidOf(next.plans[0]);
  await changeTo(next);
}

export const set = (of, path, value) => edit(of, [{ path, value }]);

/** "copy", "remove" or "move" entry `at`, from 1, of a list; `wanted`: what the list is to be where the plan's file takes it from another. */
export async function changeList(letter, change, list, at, wanted) {
  const next = copyOf(desk.state);
  const plan = next.plans.find((each) => each.letter === letter);
  const answer = await ask(change, { text: plan.text, list, at, wanted });
  if (!answer.ok) return refuse(letter, null, answer.message);
  plan.text = answer.text;
  await changeTo(next);
}

export async function open(letter, name, ready) {
  const answer = await ask("open", { name, ready });
  if (!answer.ok) return say(answer.message);
  const next = copyOf(desk.state);
  Object.assign(next.plans.find((each) => each.letter === letter), { name: answer.name, text: answer.text, file: ready ? null : answer.name });
  await changeTo(next);
  say(`${name} is plan ${letter} now.`);
}

let toReplace = null;
/** A file of the folder that this plan was not opened from is replaced only where that is asked for twice. */
export async function save(letter) {
  const { name, text, file } = planOf(letter);
  if (desk.world.files.cases.concat(desk.world.files.materials).includes(name) && file !== name && toReplace !== letter + name) {
    toReplace = letter + name;
    return say(`There is a file ${name} already. Press "Save as file" again to replace it, or give this plan another name.`);
  }
  const answer = await ask("save", { name, text });
  if (!answer.ok) return say(answer.message);
  desk.world.files = answer.files;
  planOf(letter).file = name;
  keep();
  page.draw();
  say(`Saved as ${name} in ${desk.world.folder}.`);
}

const numbered = (all) => all.map((plan, i) => ({ ...plan, letter: LETTERS[i] }));
const withLetter = (name, letter) => `${name.replace(/(-[a-d])?\.toml$/, "")}-${letter.toLowerCase()}.toml`;

/** A copy of plan `from` as plan `to`, in the place of what is there. */
export async function copyPlan(from, to) {
  const next = copyOf(desk.state);
  const own = { ...planOf(from), letter: to, name: withLetter(planOf(from).name, to), file: null };
  const at = next.plans.findIndex(({ letter }) => letter === to);
  next.plans.splice(at < 0 ? next.plans.length : at, 1, own);
  await changeTo(next);
  say(`Plan ${to} is a copy of plan ${from} now.`);
}

export async function removePlan(letter) {
  await changeTo({ ...desk.state, plans: numbered(copyOf(plans()).filter((plan) => plan.letter !== letter)) });
  say(`Plan ${letter} is taken away; Undo brings it back.`);
}

export async function swapPlans(a, b) {
  const next = copyOf(plans());
  const [i, j] = [a, b].map((letter) => next.findIndex((plan) => plan.letter === letter));
  [next[i], next[j]] = [next[j], next[i]];
  await changeTo({ ...desk.state, plans: numbered(next) });
  say(`Plans ${a} and ${b} have changed places.`);
}

export async function startOver() {
  const opened = await Promise.all(STARTS.map((name) => ask("open", { name, ready: true })));
  await changeTo({ mode: "intact", fineness: "coarse", plans: numbered(opened.map(({ name, text }) => ({ name, text, file: null }))) }, { remember: false });
}

export const settings = (of = letters()) => ({ mode: desk.state.mode, fineness: desk.state.fineness,
  plans: plans().filter(({ letter }) => of.includes(letter)).map(({ letter, name, text }) => ({ letter, name, text })) });

/** Without the file and line, which the page does not show. */
export const faultWords = ({ message }) => message.replace(/^(?:\?|[^:]*\.toml:\d+): /, "");
export const faultAt = (letter, key) => (desk.readings[letter].fault?.key === key ? faultWords(desk.readings[letter].fault) : null);
/** What the plan's file says, also where that was refused. */
export function valueAt(letter, key) {
  const refused = faultAt(letter, key) && / is (-?[\d.]+)/.exec(faultAt(letter, key));
  return refused ? Number(refused[1]) : factsOf(letter).values[key].value;
}
