// What is shown and how: the field, the parts, a cut, the view.

import { element, labelled } from "./element.js";
import { withUnit } from "./walls/measures.js";

const CUTS = { none: "no cut", x: "along x", y: "along y", z: "along z" };
const TOOTH_CUTS = { none: "no cut", x: "from mesial", y: "from buccal", z: "from occlusal" };
const SIDES = { x: ["mesial", "distal"], y: ["lingual", "buccal"], z: ["cervical", "occlusal"] };
const VIEWS = { occlusal: [0, 0, 1], mesial: [-1, 0, 0.15], distal: [1, 0, 0.15], buccal: [0, 1, 0.15], lingual: [0, -1, 0.15] };
const PLAIN_VIEWS = { "from above": [0, 0, 1], "along x": [-1, 0, 0.15], "along y": [0, -1, 0.15] };

/** What to show by default for a field: the bond within a see-through tooth, or the bodies themselves. */
export function usualChoice(field, increments) {
  if (field.on === "bond") return { tooth: "see-through", increments: new Set(), bond: true };
  return { tooth: field.on === "body" ? "solid" : "see-through", increments: new Set(increments), bond: false };
}

/** "1.2 mm to distal of the middle of the cavity" */
function spokenPlace(axis, offset, isTooth) {
  const middle = isTooth ? "the middle of the cavity" : "the middle of the bond";
  if (Math.abs(offset) < 0.05) return `through ${middle}`;
  const side = isTooth ? SIDES[axis][offset > 0 ? 1 : 0] : `${offset > 0 ? "+" : "−"}${axis}`;
  return `${Math.abs(offset).toFixed(1)} mm to ${side} of ${middle}`;
}

function options(select, entries) {
  select.replaceChildren(...Object.entries(entries).map(([value, text]) => element("option", { value }, text)));
  return select;
}

function check(text, box) {
  return element("label", { class: "check" }, box, ` ${text}`);
}

/** Where the views are cut: {box, update()}. A cut starts in the middle of the cavity. */
function makeCut(page, isTooth) {
  const cut = () => {
    const says = axis.value === "none" ? "" : spokenPlace(axis.value, Number(place.value), isTooth);
    place.setAttribute("aria-valuetext", says || "no cut");
    where.textContent = says;
    page.cut(axis.value, Number(place.value), back.checked);
  };
  const axis = options(element("select", { onchange: () => {
    if (axis.value !== "none") {
      const { low, high } = page.reachOfCut(axis.value);
      Object.assign(place, { min: low, max: high, value: 0 });
    }
    cut();
  } }), isTooth ? TOOTH_CUTS : CUTS);
  const place = element("input", { type: "range", min: -1, max: 1, value: 0, step: 0.1, class: "place", "aria-valuetext": "no cut", oninput: cut });
  const where = element("span", { class: "faint where" });
  const back = element("input", { type: "checkbox", onchange: cut });
  const box = element("fieldset", {}, element("legend", {}, "Cut"), labelled("direction", axis), labelled("place", place), where,
    check("other side", back));
  const update = () => { place.disabled = back.disabled = axis.value === "none"; };
  return { box, update };
}

export function makeControls(page) {
  const { results, choice, fields } = page;
  const isTooth = results.some((result) => result.isTooth);
  const increments = [...new Set(results.flatMap((result) => result.increments))].sort((a, b) => a - b);

  const field = options(element("select", { id: "field", onchange: () => page.chooseField(fields.find(({ key }) => key === field.value)) }),
    Object.fromEntries(fields.map(({ key, quantity, unit }) => [key, withUnit(quantity, unit)])));
  const tooth = options(element("select", { onchange: () => page.choose({ tooth: tooth.value }) }),
    { solid: "solid", "see-through": "see-through", hidden: "hidden" });
  const bond = element("input", { type: "checkbox", onchange: () => page.choose({ bond: bond.checked }) });
  const names = element("input", { type: "checkbox", checked: true, onchange: () => page.nameWalls(names.checked) });
  const readIncrements = () => page.choose({ increments: new Set(increments.filter((_, i) => boxes[i].checked)) });
  const boxes = increments.map(() => element("input", { type: "checkbox", onchange: readIncrements }));
  const filling = element("input", { type: "checkbox", onchange: () => {
    boxes.forEach((each) => { each.checked = filling.checked; });
    readIncrements();
  } });
  const cut = makeCut(page, isTooth);
  const magnify = options(element("select", { onchange: () => page.choose({ magnify: Number(magnify.value) }) }),
    { 0: "undeformed", 1: "true (× 1)", 10: "× 10", 20: "× 20", 50: "× 50", 100: "× 100" });
  magnify.value = String(choice.magnify);
  const view = (text, onclick) => element("button", { type: "button", onclick }, text);
  const views = Object.entries(isTooth ? VIEWS : PLAIN_VIEWS).map(([name, towards]) => view(name, () => page.lookFrom(towards)));
  function update() {
    field.value = choice.field.key;
    tooth.value = choice.tooth;
    bond.checked = choice.bond;
    boxes.forEach((box, i) => { box.checked = choice.increments.has(increments[i]); });
    filling.checked = increments.every((each) => choice.increments.has(each));
    filling.indeterminate = !filling.checked && increments.some((each) => choice.increments.has(each));
    cut.update();
  }
  const section = element("section", { class: "controls", "aria-label": "What is shown" },
    element("fieldset", {}, element("legend", {}, "Colour"), element("label", { for: "field" }, "field"), field),
    element("fieldset", {}, element("legend", {}, "Parts"), labelled(isTooth ? "tooth" : "fixture", tooth), check("bond", bond), check("filling", filling),
      increments.length > 1 ? element("span", { class: "increments" }, "increments", boxes.map((box, i) => check(String(increments[i]), box))) : null,
      check("wall names", names)),
    cut.box,
    element("fieldset", {}, element("legend", {}, "View"), view("into the cavity", () => page.lookInto()), views, labelled("deformation", magnify)));
  return { section, update };
}
