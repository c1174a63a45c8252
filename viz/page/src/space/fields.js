// What can be shown in colour, and the scale of each: one for all results and instants.

import { mayLetGo } from "../walls/measures.js";
import { LOOKS } from "../result.js";

/** By the key of their scale: the series of the files, and what carries it. */
const SOURCES = [
  { key: "ratio", series: "bond.ratio", on: "bond" },
  { key: "normal", series: "bond.normal_traction", on: "bond" },
  { key: "shear", series: "bond.shear_traction", on: "bond" },
  { key: "lost", series: "bond.strength_lost", on: "bond", letsGo: true },
  { key: "gap", series: "bond.gap", on: "bond", letsGo: true },
  { key: "conversion", series: "body.conversion", on: "filling" },
  { key: "stress", series: "body.principal_stress", on: "body" },
  { key: "displacement", series: "body.displacement", on: "body" },
];
const FACTORS = { "%": 100, "µm": 1000 }; // from shares and mm

/**
 * The fields that all results hold, without those that say nothing of a bond that is assumed to hold. Names, units,
 * ends and colours are those of the pictures: `scales`, by key.
 */
export function fieldsOf(results, scales) {
  return SOURCES.filter(({ series, letsGo }) => results.every((result) => result.series[series]) && (!letsGo || results.some(mayLetGo)))
    .map((source) => ({ ...source, ...scales[source.key], factor: FACTORS[scales[source.key].unit] ?? 1 }));
}

/** The values of a field at an instant, in its unit; lengths for vectors. */
export function fieldValues(result, field, instant) {
  const values = result.valuesAt(field.series, instant);
  if (result.series[field.series].components === 1) return values.map((value) => field.factor * value);
  const lengths = new Float32Array(values.length / 3);
  for (let p = 0; p < lengths.length; ++p)
    lengths[p] = field.factor * Math.hypot(values[3 * p], values[3 * p + 1], values[3 * p + 2]);
  return lengths;
}

/** Points of the bond on triangles that are filled, at an instant; `holding`: and have not let go. */
function bondPointsThatCount(result, instant, holding) {
  const counts = new Uint8Array(result.shape.bondPoints.length / 3);
  result.instants[instant].looks.forEach((looks, t) => {
    if (looks === LOOKS.notFilled || (holding && looks === LOOKS.letGo)) return;
    for (let c = 0; c < 3; ++c) counts[result.shape.bondTriangles[3 * t + c]] = 1;
  });
  return counts;
}

/** Value below which 98 % of a sample of the values of an instant lie. */
function highValue(result, field, instant) {
  const values = fieldValues(result, field, instant);
  const counts = field.on === "bond" ? bondPointsThatCount(result, instant, field.key === "ratio") : null;
  const stride = Math.max(1, Math.floor(values.length / 2000));
  const sample = values.filter((_, p) => p % stride === 0 && (!counts || counts[p])).sort();
  return sample.length ? sample[Math.floor(0.98 * (sample.length - 1))] : 0;
}

/** The largest high value of all results and instants: peaks in corners do not set the scale. */
function highestValue(results, field) {
  return Math.max(...results.flatMap((result) => result.instants.map((_, i) => highValue(result, field, i))));
}

/** The next of the ends that scales of pictures have, of any decade; values of the page are rounded to single precision. */
function roundUp(value, ends) {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  return (ends.find((end) => end * power >= value * 0.999) ?? 10) * power;
}

/** {low, top}: the ends of the scale of a field. Peaks above the top count as "or more". */
export function rangeOf(results, field) {
  const top = field.top ?? roundUp(highestValue(results, field), field.round_ends);
  const isPressed = field.pressed && results.some((result) => result.series[field.series].low < 0);
  return { low: isPressed ? -Math.max(0.2 * top, 1.25 * field.clear_pressure) : 0, top };
}
