// What happens, why, how sure: runs and comparisons with their progress, and the pages they leave.

import { element } from "../src/element.js";
import { ask } from "./api.js";
import { button } from "./controls.js";
import { desk, isReady, keep, letters, page, planOf, plans, say, settings } from "./desk.js";

const DOING = { run: "Running", compare: "Putting the results side by side", why: "Asking why", odds: "Asking how sure" };
const DONE = { compare: "Compared. The result stands below.", why: "Why they differ: the answer stands below.", odds: "How sure that is: the answer stands below." };
const FILES = { compare: ["comparison.png"], why: ["why.svg", "why.json"], odds: ["odds.svg", "odds-difference.svg", "odds.csv", "odds.json"] };
const PICTURES = { why: { "why.svg": "What the difference of each wall comes from" }, odds: { "odds.svg": "How often each plan comes out lower", "odds-difference.svg": "How large the difference is" } };
const BOND = { intact: "holds (where is it loaded?)", debonding: "may let go (takes longer)" };
const MESH = { coarse: "coarse: a first look, do not judge by it", standard: "standard" };

let shown = {};     // by what was asked: the answer's page, its folder, what it says in words
let waiting = null; // {what, order, keys}: what is to be shown once these are done
let failed = [];    // jobs of the last order that did not end well

const pair = () => (desk.state.pair ?? []).filter((letter) => letters().includes(letter)).length === 2 ? desk.state.pair : letters().slice(0, 2);

let about = null; // which plans and settings all this is about
let looked = null; // and of which it has been looked what is there

/** Other plans, other results. */
function forgetOthers() {
  const now = JSON.stringify([settings(), pair()]);
  if (now === about) return;
  about = now;
  looked = null;
  shown = {};
  waiting = null;
  failed = [];
}

/** What is there of these plans already, running or whole. */
export async function findKept() {
  forgetOthers();
  if (looked === about || !isReady()) return;
  looked = about;
  const order = settings();
  const two = settings(pair()).plans;
  const found = await ask("kept", { ...order, pair: pair().join("") });
  if (!found.ok || looked !== about) return;
  const runs = new Set(desk.jobs.filter(({ state }) => ["waiting", "running"].includes(state)).map(({ key }) => key));
  for (const what of ["odds", "why", "compare"]) {
    if (!found[what]) continue;
    const asked = what === "compare" ? order : { ...order, plans: two };
    if (runs.has(found[what].key)) waiting ??= { what, order: asked, keys: [found[what].key] };
    if (found[what].kept) await take(what, found[what].page);
  }
  if (!waiting && !shown.compare && found.runs.some(({ key }) => runs.has(key))) waiting = { what: "compare", order, keys: found.runs.map(({ key }) => key) };
  drawResults();
  if (waiting) void goOn();
}

async function run() {
  const order = settings();
  failed = [];
  const answer = await ask("run", order);
  if (!answer.ok) return say(answer.message);
  const kept = answer.runs.filter((each) => each.kept).map(({ letter }) => letter);
  waiting = { what: "compare", order, keys: answer.runs.map(({ key }) => key) };
  say(kept.length === answer.runs.length ? "These results are kept from before." : `Running${kept.length ? `; plan ${kept.join(" and ")} is kept from before` : ""}. The page stays usable, and may be closed meanwhile.`);
  void goOn();
}

async function more(what) {
  const order = settings(pair());
  failed = [];
  const answer = await ask("compare", { ...order, what });
  if (!answer.ok) return say(answer.message);
  waiting = { what, order, keys: [answer.key] };
  say(answer.kept ? "Kept from before." : "Running. The page stays usable, and may be closed meanwhile.");
  void goOn();
}

let going = false;
/** Once all that is waited for is there, shows it; called with every news, and again where the order changed meanwhile. */
async function goOn() {
  if (!waiting || going) return;
  const { what, order, keys } = waiting;
  const of = keys.map((key) => desk.jobs.filter((job) => job.key === key).at(-1)).filter(Boolean);
  if (of.some(({ state }) => ["waiting", "running"].includes(state))) return;
  const ended = of.filter(({ state }) => state !== "done");
  going = true;
  const answer = ended.length ? null : await ask("compare", { ...order, what });
  going = false;
  if (waiting?.keys !== keys) return goOn();
  waiting = null;
  failed = ended;
  if (ended.length) {
    say(ended.map(endWords).join(" "));
    return drawJobs();
  }
  if (!answer.ok) return say(answer.message);
  if (!answer.kept) {
    waiting = { what, order, keys: [answer.key] };
    return goOn();
  }
  await take(what, answer.page);
  drawResults();
  say(DONE[what]);
  document.getElementById(`${what}-answer`).scrollIntoView({ behavior: "instant", block: "nearest" });
}

/** An answer that is there: where it lies, and its sentences, with the plans called as they are here; unless the plans are others by then. */
async function take(what, page) {
  const then = about;
  const folder = page.replace(/[^/]*$/, "");
  const several = page.includes("/compared/");
  const told = several ? await fetch(`${folder}${what === "compare" ? "comparison" : what}.json`) : null;
  const text = told?.ok ? await told.json() : {};
  if (about !== then) return;
  const sentences = what === "compare" ? (text.pairs ?? []).flatMap((pair) => pair.sentences) : text.sentences ?? [];
  const called = (sentence) => plans().reduce((told, { letter, name }) => told.replaceAll(`"${name.replace(/\.toml$/, "")}"`, `plan ${letter}`), sentence);
  shown[what] = { page, folder, files: several ? FILES[what] : [], sentences: sentences.map(called) };
}

const ofPlans = (job) => `plan${job.plans.length > 1 ? "s" : ""} ${[...job.plans].join(" and ")}`;
const endWords = (job) => `${DOING[job.doing]}, ${ofPlans(job)}: ${job.message}`;

export function news(jobs) {
  desk.jobs = jobs;
  drawJobs();
  void goOn();
}

const links = ({ page, folder, files }) => element("p", { class: "row" }, "To keep:", element("a", { href: page, download: "plans.html" }, "the whole page, in one file"),
  files.map((file) => element("a", { href: folder + file, download: file }, file)), element("a", { href: page, target: "_blank" }, "open the page in a window of its own"));
const words = ({ sentences }) => element("ul", { class: "sentences" }, sentences.map((sentence) => element("li", {}, sentence)));

function drawResults() {
  const box = document.getElementById("compare-answer");
  if (!box) return;
  if (!shown.compare) box.replaceChildren(element("p", { class: "faint" }, "No result of these plans is shown yet."));
  else if (box.querySelector("iframe")?.getAttribute("src") !== shown.compare.page)
    box.replaceChildren(words(shown.compare), links(shown.compare), element("iframe", { src: shown.compare.page, title: "The result: views, curves, numbers and what differs" }));
  for (const what of ["why", "odds"]) {
    const answer = document.getElementById(`${what}-answer`);
    if (!shown[what]) answer?.replaceChildren();
    else answer?.replaceChildren(words(shown[what]), ...Object.entries(PICTURES[what]).map(([file, alt]) => element("img", { src: shown[what].folder + file, alt, class: "chart" })), links(shown[what]));
  }
}

function drawJobs() {
  const box = document.getElementById("jobs");
  if (!box) return;
  const stop = async (id) => {
    const answer = await ask("stop", { id });
    if (!answer.ok) say(answer.message);
  };
  const focus = document.activeElement?.dataset?.key;
  box.replaceChildren(...desk.jobs.filter(({ state }) => ["waiting", "running"].includes(state)).map((job) => element("div", {},
    element("div", { class: "row" }, `${DOING[job.doing]}, ${ofPlans(job)}: ${job.state === "waiting" ? "waits for the one before" : `${Math.round(100 * job.fraction)} %${job.left ? `, ${job.left}` : ""}`}`,
      button("Stop", () => stop(job.id), { "data-key": `stop ${job.id}`, "aria-label": `Stop: ${DOING[job.doing]}, ${ofPlans(job)}` })),
    element("progress", { value: job.fraction, max: 1, "aria-label": `${DOING[job.doing]}, ${ofPlans(job)}` }), job.message ? element("p", { class: "faint" }, job.message) : null)),
  ...failed.map((job) => element("p", { class: "fault", role: "alert" }, endWords(job))));
  if (focus?.startsWith("stop")) box.querySelector(`[data-key="${focus}"]`)?.focus({ preventScroll: true });
}

function choose(key, value) {
  desk.state = { ...desk.state, [key]: value };
  keep();
  page.draw();
  void findKept();
}

function commands() {
  const names = (of) => of.map((letter) => `"${planOf(letter).name}"`).join(" ");
  const options = `--mode ${desk.state.mode} --fineness ${desk.state.fineness}`;
  const line = (words) => element("p", {}, element("code", {}, words));
  const lines = letters().length > 1
    ? [line(`setstress compare ${names(letters())} ${options}`), line(`setstress compare ${names(pair())} ${options} --why`), line(`setstress compare ${names(pair())} ${options} --odds 64`)]
    : [line(`setstress run ${names(letters())} ${options}`)];
  const copy = button("Copy", async () => {
    try {
      await navigator.clipboard.writeText([`cd "${desk.world.folder}"`, ...lines.map((each) => each.textContent)].join("\n"));
      say("Copied.");
    } catch {
      say("This browser does not let the page copy; mark the lines and copy them.");
    }
  }, { class: "small" });
  return element("details", { "data-fold": "commands", open: desk.folds?.commands }, element("summary", {}, `The same from the command line, once ${letters().length > 1 ? "the plans are" : "the plan is"} saved`), line(`cd "${desk.world.folder}"`), lines, copy);
}

function selectOf(id, label, choices, value, onchange) {
  return [element("label", { for: id }, label), element("select", { id, "data-key": id, onchange: ({ target }) => onchange(target.value) },
    choices.map(([each, words]) => element("option", { value: each, selected: each === value }, words)))];
}

export function drawRuns() {
  const words = ["", "Run it", "Run both and compare", "Run all three and compare", "Run all four and compare"][plans().length];
  return [element("div", { class: "row" }, selectOf("mode", "The bond", Object.entries(BOND), desk.state.mode, (value) => choose("mode", value)),
    selectOf("fineness", "Mesh", Object.entries(MESH), desk.state.fineness, (value) => choose("fineness", value)),
    button(words, run, { id: "run", class: "main", "data-key": "run", disabled: !isReady() })),
  isReady() ? null : element("p", { class: "faint" }, "Something above is not allowed yet; it is marked where it stands."),
  element("div", { id: "jobs" }), element("div", { id: "compare-answer" }), commands()];
}

function whichTwo() {
  if (letters().length < 3) return null;
  const pairs = letters().flatMap((a, i) => letters().slice(i + 1).map((b) => a + b));
  return selectOf("pair", "Of plans", pairs.map((two) => [two, [...two].join(" and ")]), pair().join(""), (value) => choose("pair", [...value]));
}
const question = (words, id, what) => (letters().length < 2 ? element("p", { class: "faint" }, "That takes two plans.")
  : element("div", { class: "row" }, whichTwo(), button(words, () => more(what), { id, "data-key": id, disabled: !isReady() })));

export const drawWhy = () => [element("p", {}, "Takes the difference apart into light, bond, composite, adhesive, tooth and placing."), question("Ask why", "why", "why"), element("div", { id: "why-answer" })];
export const drawOdds = () => [element("p", {}, "Makes both plans again under 64 draws of everything uncertain, as the library marks it. Takes minutes."), question("Ask how sure", "odds", "odds"), element("div", { id: "odds-answer" })];
/** To be called once the page stands. */
export function fillRuns() {
  forgetOthers();
  drawJobs();
  drawResults();
}
