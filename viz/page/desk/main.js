// The desk: what is the hole, how do I fill it, what happens, why, how sure. A plan is the text of a case file; every
// control changes that text through the desk, so that what is on screen and what the command line reads are one.

import { element } from "../src/element.js";
import { ask, hello, listen } from "./api.js";
import { choiceControl, numberControl } from "./controls.js";
import { drawSection, drawTimeline, floorWords, spoken } from "./drawing.js";
import { show } from "./show.js";

const HOLE = [["preparation.kind", "Kind"], ["preparation.side", "Open side"], ["preparation.depth", "Depth below the occlusal surface", [0.5, 12]],
  ["preparation.length", "Length", [0.5, 15]], ["preparation.width", "Width, buccal to lingual", [0.5, 15]], ["preparation.diameter", "Diameter", [0.5, 15]],
  ["preparation.step_depth", "Depth of the step"], ["preparation.step_length", "Length of the step"], ["preparation.step_width", "Isthmus"],
  ["preparation.taper", "Taper of the walls"], ["preparation.line_angle_radius", "Rounding of line angles"], ["preparation.bevel", "Bevel"],
  ["tooth.length", "Tooth, mesial to distal"], ["tooth.width", "Tooth, buccal to lingual"], ["tooth.crown_height", "Height of the crown"],
  ["tooth.occlusal_enamel", "Enamel on top"], ["tooth.side_enamel", "Enamel at the sides"]];
const LAYERS = { rest: "all that is left", horizontal: "level layer", oblique: "oblique layers", plane: "up to a plane (from the file)" };
const SIDES = ["occlusal", "buccal", "lingual", "mesial", "distal", "apical"];
const LAWS = { "chairside-rule": "70 % at 1 min, 90 % at 5 min (rule of practice)", "ten-minute-pair": "by a published pair at 10 min", "mature-at-once": "full strength at once" };
const DOING = { run: "Running", compare: "Comparing", why: "Asking why", odds: "Asking how sure" };
const undone = [];
const readings = { A: {}, B: {} };  // by plan: facts, fault, report of the check
let state, world, jobs = [], waitingFor = null, results = {}, classes = null;

const plans = () => state.plans;
const copyOf = (value) => JSON.parse(JSON.stringify(value));
const say = (text) => { document.getElementById("said").textContent = text; };

/** Reads plan after plan; where one cannot be read, the last good reading stays and the fault is shown. */
async function readAll() {
  await Promise.all(plans().map(async ({ letter, name, text }) => {
    const facts = await ask("read", { name, text });
    readings[letter].fault = facts.ok ? null : facts;
    if (facts.ok) readings[letter].facts = facts;
    readings[letter].report = null;
  }));
  draw();
  for (const plan of plans()) void check(plan);
}

async function check({ letter, name, text }) {
  if (readings[letter].fault) return;
  const report = await ask("check", { letter, name, text });
  const now = plans().find((plan) => plan.letter === letter);
  if (report.superseded || now.text !== text) return;
  if (report.ok) readings[letter].report = report;
  else readings[letter].fault = report;
  report.ok ? drawLive(letter) : draw();
}

/** Keeps the last state for undo, and on disk. */
async function changeTo(next, remember = true) {
  if (remember) undone.push(copyOf(state));
  if (undone.length > 100) undone.shift();
  state = next;
  results = {};
  const saved = await ask("state", state);
  if (!saved.ok) say(saved.message);
  await readAll();
}

/** One value in plans `letters`, as a change of their files. */
async function set(letters, path, value) {
  const next = copyOf(state);
  for (const plan of next.plans) {
    if (!letters.includes(plan.letter)) continue;
    const answer = await ask("set", { text: plan.text, path, value });
    if (!answer.ok) return refuse(plan.letter, path, answer.message);
    plan.text = answer.text;
  }
  await changeTo(next);
}

function refuse(letter, key, message) {
  readings[letter].fault = { message, key };
  draw();
}

async function change(letter, route, at) {
  const next = copyOf(state);
  const plan = next.plans.find((each) => each.letter === letter);
  const answer = await ask(route, { text: plan.text, at });
  if (!answer.ok) return refuse(letter, null, answer.message);
  plan.text = answer.text;
  await changeTo(next);
}

async function open(letter, name, ready) {
  const answer = await ask("open", { name, ready });
  if (!answer.ok) return say(answer.message);
  const next = copyOf(state);
  Object.assign(next.plans.find((each) => each.letter === letter), { name: answer.name, text: answer.text });
  await changeTo(next);
  say(`${name} is plan ${letter} now.`);
}

const faultAt = (letter, key) => (readings[letter].fault?.key === key ? readings[letter].fault.message : null);
/** What the plan's file says, also where that was refused. */
function valueAt(letter, key) {
  const refused = faultAt(letter, key) && / is (-?[\d.]+)/.exec(faultAt(letter, key));
  return refused ? Number(refused[1]) : readings[letter].facts.values[key].value;
}
const settings = () => ({ mode: state.mode, fineness: state.fineness, plans: plans().map(({ letter, name, text }) => ({ letter, name, text })) });

// ---------------------------------------------------------------- what is the hole

function holeControls() {
  const { facts } = readings.A;
  return HOLE.filter(([key]) => facts.values[key]).map(([key, label, reach]) => {
    const allowed = facts.allowed[key];
    const fault = faultAt("A", key) ?? faultAt("B", key);
    const common = { label, key, value: valueAt("A", key), fault, change: (value) => set("AB", key, value) };
    return allowed.choices ? choiceControl({ ...common, choices: allowed.choices, change: changeKind(key) }) : numberControl({ ...common, limits: allowed, show: reach });
  });
}

/** Another kind of hole has other sizes: those that it lacks are taken out of the file, those that it needs put in. */
const changeKind = (key) => async (value) => {
  if (key !== "preparation.kind") return set("AB", key, value);
  const needs = { "occlusal-box": ["length", "width"], "proximal-box": ["length", "width"], "proximal-box-with-step": ["length", "width"], "through-box": ["width"], cylinder: ["diameter"] }[value];
  const usual = { length: 3, width: 3, diameter: 3 };
  const next = copyOf(state);
  for (const plan of next.plans) {
    const had = readings[plan.letter].facts.values;
    const edits = [["kind", value], ...["side", "length", "width", "diameter", "step_depth", "step_length", "step_width", "offset_x"].map((size) =>
      [size, needs.includes(size) ? had[`preparation.${size}`]?.value ?? usual[size] : null])];
    for (const [size, wanted] of edits) {
      const answer = await ask("set", { text: plan.text, path: `preparation.${size}`, value: wanted });
      if (!answer.ok) return refuse(plan.letter, key, answer.message);
      plan.text = answer.text;
    }
  }
  return changeTo(next);
};

function bondControls() {
  const { facts } = readings.A;
  const law = facts.values["bond.strength_maturity.law"]?.value;
  const adhesive = facts.values["materials.adhesive"].value;
  return [choiceControl({ label: "Adhesive", key: "materials.adhesive", value: adhesive, choices: facts.adhesives.map(({ name }) => name),
    fault: faultAt("A", "materials.adhesive"), change: (value) => set("AB", "materials.adhesive", value) }),
  law && LAWS[law] ? choiceControl({ label: "How the bond gains strength", key: "bond.strength_maturity.law", value: law,
    choices: Object.entries(LAWS).map(([value, words]) => ({ value, words })), fault: faultAt("A", "bond.strength_maturity.law"), change: (value) => set("AB", "bond.strength_maturity.law", value) }) : null,
  element("button", { type: "button", onclick: showSources }, classes ? "Hide values and sources" : "Values and sources of these materials")];
}

async function showSources() {
  if (classes) classes = null;
  else {
    const answer = await ask("classes", { name: plans()[0].name, text: plans()[0].text });
    if (!answer.ok) return say(answer.message);
    classes = answer.classes;
  }
  draw();
}

function sources() {
  if (!classes) return null;
  const used = new Set(plans().flatMap(({ letter }) => readings[letter].facts.increments.map(({ material }) => material)));
  used.add(readings.A.facts.values["materials.adhesive"].value);
  return Object.values(classes).flatMap((kind) => Object.entries(kind)).filter(([name]) => used.has(name)).map(([name, { about, values }]) => element("details", {},
    element("summary", {}, element("b", {}, name), ` ${about}`),
    element("table", {}, element("thead", {}, element("tr", {}, ["Value", "", "Rests on", "Source"].map((each) => element("th", {}, each)))),
      element("tbody", {}, Object.entries(values).map(([key, { value, unit, basis, source }]) => element("tr", {},
        element("td", {}, key), element("td", {}, `${value} ${unit ?? ""}`), element("td", {}, basis ?? ""), element("td", {}, source ?? "")))))));
}

// ---------------------------------------------------------------- how do I fill it

function lightOf(values, i) {
  const own = Object.keys(values).some((key) => key.startsWith(`plan.increment[${i}].light`));
  return own ? `plan.increment[${i}].light[1]` : "plan.light[1]";
}

function incrementBox(letter, i, count) {
  const { facts } = readings[letter];
  const { values, allowed } = facts;
  const at = `plan.increment[${i}]`;
  const number = (key, label, reach) => (values[key] ? numberControl({ label, key: `${letter} ${key}`, value: valueAt(letter, key), limits: allowed[key], show: reach, fault: faultAt(letter, key), change: (value) => set(letter, key, value) }) : null);
  const light = lightOf(values, i);
  return element("fieldset", { class: "increment" }, element("legend", {}, `Entry ${i}`),
    choiceControl({ label: "Shape", key: `${letter} ${at}.layer`, value: values[`${at}.layer`].value, fault: faultAt(letter, `${at}.layer`),
      choices: allowed[`${at}.layer`].choices.filter((each) => each !== "plane" || each === values[`${at}.layer`].value).map((value) => ({ value, words: LAYERS[value] })),
      change: (value) => changeShape(letter, at, value, values) }),
    number(`${at}.thickness`, "Thickness", [0.2, 6]), number(`${at}.angle`, "Angle"),
    values[`${at}.repeat`] ? choiceControl({ label: "Repeat until full", key: `${letter} ${at}.repeat`, value: String(values[`${at}.repeat`].value), choices: [{ value: "false", words: "no" }, { value: "true", words: "yes" }], change: (value) => set(letter, `${at}.repeat`, value === "true") }) : null,
    choiceControl({ label: "Composite", key: `${letter} ${at}.material`, value: values[`${at}.material`].value, choices: facts.composites.map(({ name }) => name), fault: faultAt(letter, `${at}.material`), change: (value) => set(letter, `${at}.material`, value) }),
    number(`${at}.wait`, "Wait before it", [0, 600]), number(`${at}.placing_time`, "Time to place it", [0, 120]),
    number(`${light}.irradiance`, light.startsWith("plan.light") ? "Light (of all without their own)" : "Light", [200, 3000]), number(`${light}.duration`, "Lit for", [1, 120]),
    values[`${light}.from`] && SIDES.includes(values[`${light}.from`].value) ? choiceControl({ label: "Lamp from", key: `${letter} ${light}.from ${i}`, value: values[`${light}.from`].value, choices: SIDES, change: (value) => set(letter, `${light}.from`, value) }) : null,
    element("div", { class: "row" },
      element("button", { type: "button", onclick: () => change(letter, "copy-increment", i) }, "Copy below"),
      i > 1 ? element("button", { type: "button", onclick: () => change(letter, "move-increment", i) }, "Place earlier") : null,
      count > 1 ? element("button", { type: "button", onclick: () => change(letter, "remove-increment", i) }, "Take away") : null));
}

async function changeShape(letter, at, value, values) {
  const next = copyOf(state);
  const plan = next.plans.find((each) => each.letter === letter);
  const thick = values[`${at}.thickness`]?.value ?? 2;
  const edits = { layer: value, thickness: ["horizontal", "oblique"].includes(value) ? thick : null, repeat: value === "horizontal" ? true : null,
    angle: value === "oblique" ? values[`${at}.angle`]?.value ?? 30 : null, point: null, normal: null };
  for (const [key, wanted] of Object.entries(edits)) {
    const answer = await ask("set", { text: plan.text, path: `${at}.${key}`, value: wanted });
    if (!answer.ok) return refuse(letter, `${at}.layer`, answer.message);
    plan.text = answer.text;
  }
  return changeTo(next);
}

function planBox({ letter, name }) {
  const { facts, fault } = readings[letter];
  const count = Object.keys(facts.values).filter((key) => /^plan\.increment\[\d+\]\.layer$/.test(key)).length;
  const longest = Math.max(...plans().map((plan) => readings[plan.letter].facts.chair_time_s), 60);
  const wait = facts.values["plan.wait"];
  const shown = fault && !document.querySelector(`[data-key="${fault.key}"], [data-key="${letter} ${fault.key}"]`) ? fault.message : null;
  const chooser = element("select", { "aria-label": `Start plan ${letter} from` }, element("option", { value: "" }, "Start from …"),
    element("optgroup", { label: "Your files" }, world.files.map((file) => element("option", { value: `f${file}` }, file))),
    element("optgroup", { label: "Ready-made (invented)" }, world.ready.cases.filter(({ name: each }) => /box/.test(each)).map(({ name: each, title }) => element("option", { value: `r${each}` }, title))));
  chooser.addEventListener("change", () => { if (chooser.value) void open(letter, chooser.value.slice(1), chooser.value[0] === "r"); });
  const file = element("input", { value: name, "aria-label": `File name of plan ${letter}`, onchange: () => { const next = copyOf(state); next.plans.find((each) => each.letter === letter).name = file.value; void changeTo(next); } });
  return element("article", { class: `plan ${letter}` }, element("h3", {}, `${letter}: ${facts.title}`),
    element("div", { class: "row" }, chooser, file, element("button", { type: "button", onclick: () => save(letter) }, "Save as file")),
    facts.invented ? element("p", { class: "faint" }, "Built on a plan that is invented for demonstration.") : null,
    drawSection(facts, letter), drawTimeline(facts, longest, letter),
    element("p", {}, `Chair time ${spoken(facts.chair_time_s)}, from the cured bond to the last light off.`),
    element("div", { id: `live-${letter}`, "aria-live": "polite" }, live(letter)),
    shown ? element("p", { class: "fault", role: "alert" }, shown) : null,
    fault ? element("p", { class: "faint" }, "The drawing shows the last plan that could be read.") : null,
    wait ? numberControl({ label: "Let the bond mature first", key: `${letter} plan.wait`, value: valueAt(letter, "plan.wait"), limits: facts.allowed["plan.wait"], show: [0, 600], fault: faultAt(letter, "plan.wait"), change: (value) => set(letter, "plan.wait", value) }) : null,
    Array.from({ length: count }, (_, i) => incrementBox(letter, i + 1, count)));
}

/** What the check says; of a mesh far coarser than any run's, so in round numbers. */
function live(letter) {
  const { report, fault } = readings[letter];
  if (fault) return [];
  if (!report) return [element("p", { class: "faint" }, "Checking cure and areas …")];
  const percent = (share) => `${Math.round(100 * share)} %`;
  return [element("table", {}, element("thead", {}, element("tr", {}, ["Increment", "Cured at the top", "at the bottom", "C-factor"].map((each) => element("th", {}, each)))),
    element("tbody", {}, report.cure.increments.map((cure, i) => element("tr", {}, [i + 1, percent(cure.conversion_top), percent(cure.conversion_bottom),
      report.c_factors.increments[i]?.c_factor?.toFixed(1) ?? "no free surface"].map((each) => element("td", {}, each)))))),
  element("p", { class: "faint" }, "Cured: share of what the composite can reach. Without solving, on a very coarse mesh."),
  [...report.warnings, ...report.notes].map((warning) => element("p", { class: "warning" }, warning))];
}
function drawLive(letter) {
  document.getElementById(`live-${letter}`)?.replaceChildren(...live(letter).flat());
  if (letter === "A") document.getElementById("walls")?.replaceChildren(...walls());
}
function walls() {
  const { report } = readings.A;
  if (!report) return [];
  return [element("table", {}, element("thead", {}, element("tr", {}, ["Wall", "mm²", "made of"].map((each) => element("th", {}, each)))),
    element("tbody", {}, report.walls.map(({ wall, area_mm2: area, area_by_substrate_mm2: parts }) => element("tr", {}, element("td", {}, wall), element("td", {}, area.toFixed(1)),
      element("td", {}, Object.entries(parts).map(([name, part]) => `${name} ${part.toFixed(1)}`).join(", ")))))),
  element("p", {}, report.c_factors.whole.c_factor === null ? "" : `C-factor of the whole filling: ${report.c_factors.whole.c_factor.toFixed(1)}`)];
}

async function save(letter) {
  const { name, text } = plans().find((plan) => plan.letter === letter);
  const answer = await ask("save", { name, text });
  if (answer.ok) world.files = answer.files;
  draw();
  say(answer.ok ? `Saved as ${name} in ${world.folder}.` : answer.message);
}

// ---------------------------------------------------------------- what happens, why, how sure

async function run() {
  const answer = await ask("run", settings());
  if (!answer.ok) return say(answer.message);
  waitingFor = { what: "compare", keys: answer.runs.map(({ key }) => key), order: settings() };
  say(answer.runs.every(({ kept }) => kept) ? "Both plans were kept from before; nothing to run." : "Running. The page stays usable, and may be closed meanwhile.");
  void goOn();
}

/** Once the runs of both are there, they are compared; once that is, it is shown. */
async function goOn() {
  if (!waitingFor) return;
  const { what, order, keys } = waitingFor;
  const of = jobs.filter(({ key }) => keys.includes(key));
  if (of.some(({ state: each }) => ["waiting", "running"].includes(each))) return;
  const last = keys.map((key) => of.filter((job) => job.key === key).at(-1)).find((job) => job && job.state !== "done");
  if (last) { waitingFor = null; return say(`${last.plans}: ${last.message}`); }
  waitingFor = null;
  const answer = await ask("compare", { ...order, what });
  if (!answer.ok) return say(answer.message);
  if (!answer.kept) { waitingFor = { what, order, keys: [answer.key] }; return; }
  results = { ...results, page: answer.page, what };
  drawResults();
  say(what === "compare" ? "Compared. The result stands below." : "Done. The answer stands below.");
  document.getElementById("results").scrollIntoView({ behavior: "instant" });
}

async function more(what) {
  const order = { ...settings(), what };
  const answer = await ask("compare", order);
  if (!answer.ok) return say(answer.message);
  waitingFor = { what, order, keys: [answer.key] };
  say(answer.kept ? "Kept from before." : "Running. The page stays usable, and may be closed meanwhile.");
  void goOn();
}

function drawResults() {
  const box = document.getElementById("results");
  if (!results.page) return box.replaceChildren(element("p", { class: "faint" }, "No result of these two plans is shown yet."));
  const folder = results.page.replace(/page\.html$/, "");
  const extra = { compare: ["comparison.png"], why: ["comparison.png", "why.svg", "why.json"], odds: ["comparison.png", "odds.svg", "odds-difference.svg", "odds.csv"] }[results.what];
  box.replaceChildren(element("p", { class: "row" }, "To keep:", element("a", { href: results.page, download: "plans.html" }, "the page below"),
    extra.map((file) => element("a", { href: folder + file, download: file }, file))),
  element("iframe", { src: results.page, title: "The result: views, curves, numbers and what differs" }));
}

function drawJobs() {
  const box = document.getElementById("jobs");
  if (!box) return;
  box.replaceChildren(...jobs.filter((job) => ["waiting", "running"].includes(job.state)).map((job) => element("div", {},
    element("div", { class: "row" }, `${DOING[job.doing]}, plan ${[...job.plans].join(" and ")}: ${job.state === "waiting" ? "waits for the one before" : `${Math.round(100 * job.fraction)} %${job.left ? `, ${job.left}` : ""}`}`,
      element("button", { type: "button", onclick: async () => { const answer = await ask("stop", { id: job.id }); if (!answer.ok) say(answer.message); } }, "Stop")),
    element("progress", { value: job.fraction, max: 1, "aria-label": `${DOING[job.doing]} ${job.plans}` }), job.message ? element("p", { class: "faint" }, job.message) : null)));
}

function commands() {
  const [a, b] = plans().map(({ name }) => name);
  const options = `--mode ${state.mode} --fineness ${state.fineness}`;
  return element("details", {}, element("summary", {}, "The same from the command line, once both plans are saved"),
    element("p", {}, element("code", {}, `cd "${world.folder}"`)), element("p", {}, element("code", {}, `setstress compare "${a}" "${b}" ${options} --why`)),
    element("p", {}, element("code", {}, `setstress compare "${a}" "${b}" ${options} --odds 64`)));
}

function choose(key, value) {
  state = { ...state, [key]: value };
  results = {};
  void ask("state", state);
  draw();
}

// ---------------------------------------------------------------- the page

const step = (number, title, ...children) => element("section", { class: "step", "aria-labelledby": `step-${number}` }, element("h2", { id: `step-${number}` }, `${number}. ${title}`), ...children);

function draw() {
  const main = document.getElementById("desk");
  if (plans().some(({ letter }) => !readings[letter].facts)) return unreadable(main);
  const focus = document.activeElement?.dataset?.key;
  const holeOf = ({ values }) => HOLE.map(([key]) => values[key]?.value).join();
  const differ = holeOf(readings.A.facts) !== holeOf(readings.B.facts);
  const ready = plans().every(({ letter }) => !readings[letter].fault);
  const said = document.getElementById("said")?.textContent ?? "";
  const scroll = scrollY;
  const old = document.getElementById("results");
  main.replaceChildren(...[
    element("header", { class: "top" }, element("h1", {}, "Two plans, side by side"), element("div", { class: "row" },
      element("button", { type: "button", id: "undo", disabled: !undone.length, onclick: () => changeTo(undone.pop(), false) }, "Undo"),
      element("button", { type: "button", onclick: () => { const next = copyOf(state); next.plans[1] = { ...next.plans[0], letter: "B", name: next.plans[0].name.replace(/\.toml$/, "-b.toml") }; void changeTo(next); } }, "Copy A to B"),
      element("button", { type: "button", onclick: () => { const next = copyOf(state); const [a, b] = next.plans; next.plans = [{ ...b, letter: "A" }, { ...a, letter: "B" }]; void changeTo(next); } }, "Swap A and B"))),
    element("p", { id: "said", role: "status" }, said),
    step(1, "What is the hole?", element("div", { class: "two" }, element("div", {}, holeControls(), bondControls()),
      element("div", {}, element("p", {}, `The floor lies ${floorWords(readings.A.facts)}.`), element("div", { id: "walls" }, walls()))),
    differ ? element("p", { class: "warning" }, "The two plans have different holes; what is shown here is that of plan A. A change here changes both.") : null, sources()),
    step(2, "How do I fill it?", element("div", { class: "two" }, plans().map(planBox))),
    step(3, "What happens?", element("div", { class: "row" },
      element("label", { for: "mode" }, "The bond"), element("select", { id: "mode", onchange: ({ target }) => choose("mode", target.value) }, element("option", { value: "intact", selected: state.mode === "intact" }, "holds (where is it loaded?)"), element("option", { value: "debonding", selected: state.mode === "debonding" }, "may let go (takes longer)")),
      element("label", { for: "fineness" }, "Mesh"), element("select", { id: "fineness", onchange: ({ target }) => choose("fineness", target.value) }, element("option", { value: "coarse", selected: state.fineness === "coarse" }, "coarse: a first look, do not judge by it"), element("option", { value: "standard", selected: state.fineness === "standard" }, "standard")),
      element("button", { type: "button", id: "run", class: "main", disabled: !ready, onclick: run }, "Run both and compare")),
    element("div", { id: "jobs" }), element("div", { id: "results" }), commands()),
    step(4, "Why do they differ?", element("p", {}, "Takes the difference apart into light, bond, composite, adhesive, tooth and placing."), element("button", { type: "button", id: "why", disabled: !ready, onclick: () => more("why") }, "Ask why")),
    step(5, "How sure is that?", element("p", {}, "Makes both plans again under 64 draws of everything uncertain, as the library marks it. Takes minutes."), element("button", { type: "button", id: "odds", disabled: !ready, onclick: () => more("odds") }, "Ask how sure")),
    element("footer", {}, `Plans and results are kept in ${world.folder}. setstress ${world.version}. ${world.caution}`)]);
  if (old && results.page) document.getElementById("results").replaceWith(old);
  else drawResults();
  drawJobs();
  if (focus) document.querySelector(`[data-key="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
  scrollTo(0, scroll);
}

/** Where not even a first reading of a plan is there, it can be exchanged. */
function unreadable(main) {
  main.replaceChildren(element("h1", {}, "A plan cannot be read"), element("p", { id: "said", role: "status" }), plans().map(({ letter }) => element("p", { class: "fault" }, readings[letter].fault ? `${letter}: ${readings[letter].fault.message}` : "")),
    element("button", { type: "button", class: "main", onclick: startOver }, "Begin with two ready-made plans"),
    undone.length ? element("button", { type: "button", onclick: () => changeTo(undone.pop(), false) }, "Undo") : "");
}

async function startOver() {
  const [a, b] = await Promise.all(["deep-box-layers", "deep-box-layers-after-5-min"].map((name) => ask("open", { name, ready: true })));
  const made = (letter, { name, text }) => ({ letter, name, text });
  await changeTo({ mode: "intact", fineness: "coarse", plans: [made("A", a), made("B", b)] }, false);
}

async function start() {
  const main = document.getElementById("desk");
  try {
    world = await hello();
    if (world.show) return show(world, main);
    state = world.state;
    jobs = world.jobs;
    if (state?.plans?.length === 2) await readAll();
    else await startOver();
    listen((news) => { jobs = news; drawJobs(); void goOn(); });
    globalThis.deskReady = performance.now();
  } catch (error) {
    main.textContent = `The desk cannot be shown: ${error.message}.`;
    throw error;
  }
}

start();
