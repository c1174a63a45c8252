// What is the hole: preparation and tooth by sliders and numbers, drawn in space, with what its walls are made of.

import { element } from "../src/element.js";
import { choiceControl, numberControl } from "./controls.js";
import { desk, edit, factsOf, faultAt, holeOf, letters, plans, set, valueAt } from "./desk.js";
import { floorWords } from "./drawing.js";
import { drawBond, drawSources } from "./materials.js";
import { SolidView, SUBSTRATES } from "./solid_view.js";

const PREPARATION = [["preparation.kind", "Kind"], ["preparation.side", "Open side"], ["preparation.depth", "Depth below the occlusal surface", [0.5, 12]],
  ["preparation.length", "Length, mesial to distal", [0.5, 15]], ["preparation.width", "Width, buccal to lingual", [0.5, 15]], ["preparation.diameter", "Diameter", [0.5, 15]],
  ["preparation.step_depth", "Depth of the step"], ["preparation.step_length", "Length of the step"], ["preparation.step_width", "Isthmus"],
  ["preparation.taper", "Taper of the walls"], ["preparation.line_angle_radius", "Rounding of line angles"], ["preparation.bevel", "Bevel"]];
const TOOTH = [["tooth.length", "Mesial to distal"], ["tooth.width", "Buccal to lingual"], ["tooth.crown_height", "Height of the crown"],
  ["tooth.occlusal_enamel", "Enamel on top"], ["tooth.side_enamel", "Enamel at the sides"]];
const KINDS = { "occlusal-box": "occlusal box (class I)", "proximal-box": "proximal box", "proximal-box-with-step": "proximal box with occlusal step (class II)", "through-box": "box open on both sides (MOD)", cylinder: "cylinder" };
const SIZES_OF = { "occlusal-box": ["length", "width"], "proximal-box": ["length", "width"], "proximal-box-with-step": ["length", "width"], "through-box": ["width"], cylinder: ["diameter"] };
const USUAL = { length: 3, width: 3, diameter: 3 };
const VIEWS = { "Into the cavity": null, "From occlusal": [0, 0, 1], "From buccal": [0, 1, 0], "From mesial": [-1, 0, 0] };

const view = new SolidView();
const first = () => plans()[0].letter;
const value = (key) => factsOf(first()).values[key]?.value;

function controlFor([key, label, reach]) {
  const facts = factsOf(first());
  if (!facts.values[key]) return null;
  const allowed = facts.allowed[key];
  const fault = letters().map((letter) => faultAt(letter, key)).find(Boolean);
  const common = { label, key, value: valueAt(first(), key), fault };
  if (allowed.choices)
    return choiceControl({ ...common, choices: allowed.choices.map((each) => ({ value: each, words: KINDS[each] ?? each })), change: key === "preparation.kind" ? changeKind : (now) => set(letters(), key, now) });
  return numberControl({ ...common, limits: allowed, show: reach, change: (now) => set(letters(), key, now),
    held: (now) => view.hold((each) => (each === key ? now : value(each))) });
}

/** Another kind of hole has other sizes: those that it lacks are taken out of the file, those that it needs put in. */
function changeKind(kind) {
  const sizes = ["side", "length", "width", "diameter", "step_depth", "step_length", "step_width", "offset_x"];
  return edit(letters(), [{ path: "preparation.kind", value: kind }, ...sizes.map((size) =>
    ({ path: `preparation.${size}`, value: SIZES_OF[kind].includes(size) ? value(`preparation.${size}`) ?? USUAL[size] : null }))], "preparation.kind");
}

function legend() {
  const made = new Set((desk.solid?.parts ?? []).filter(({ wall }) => wall).map(({ made_of: name }) => name));
  return element("p", { class: "legend" }, Object.entries(SUBSTRATES).filter(([name]) => made.has(name)).map(([name, colour]) =>
    element("span", { class: "key" }, element("i", { style: `background:${colour}` }), name)));
}

function walls() {
  const { solid } = desk;
  if (!solid?.parts.length) return [];
  const factor = solid.bonded_mm2 / solid.free_mm2;
  return [legend(),
    element("table", {}, element("thead", {}, element("tr", {}, ["Wall", "mm²", "made of"].map((each) => element("th", { scope: "col" }, each)))),
      element("tbody", {}, solid.walls.map(({ wall, area_mm2: area, area_by_substrate_mm2: parts }) => element("tr", {}, element("th", { scope: "row" }, wall), element("td", {}, area.toFixed(1)),
        element("td", {}, Object.keys(SUBSTRATES).filter((name) => parts[name]).map((name) => `${name} ${parts[name].toFixed(1)}`).join(", ")))))),
    element("p", {}, `C-factor of the whole filling: ${factor.toFixed(1)} (${solid.bonded_mm2.toFixed(1)} mm² bonded, ${solid.free_mm2.toFixed(1)} mm² free).`)];
}

/** The solid has come, or another one. */
export function drawSolid() {
  if (!desk.solid) return;
  view.show(desk.solid, value);
  document.getElementById("walls")?.replaceChildren(...walls());
}

export function drawHole() {
  const differ = letters().some((letter) => holeOf(letter) !== holeOf(first()));
  const looks = Object.entries(VIEWS).map(([words, from]) => element("button", { type: "button", class: "small", onclick: () => (from ? view.lookFrom(from) : view.lookInto()) }, words));
  return [element("div", { class: "two hole" }, element("div", {}, PREPARATION.map(controlFor),
    element("details", { "data-fold": "tooth", open: desk.folds?.tooth }, element("summary", {}, "The tooth around it"), TOOTH.map(controlFor)), drawBond()),
  element("div", { class: "seen" }, view.box, element("div", { class: "row" }, looks), element("p", {}, element("b", {}, `The floor lies ${floorWords(factsOf(first()))}.`)),
    element("div", { id: "walls" }, walls()))),
  drawSources(),
  differ ? element("p", { class: "warning" }, `The plans have different holes; what is shown here is that of plan ${first()}. A change here changes all.`) : null];
}
