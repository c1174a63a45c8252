// Colours: the tables of the pictures, and tables for the 3D views made of them.

import vtkLookupTable from "@kitware/vtk.js/Common/Core/LookupTable.js";
import vtkDataArray from "@kitware/vtk.js/Common/Core/DataArray.js";

const STEPS = 1024;

export function rgbOf(hex) {
  return [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
}

function entry(table, share) {
  return table[Math.round(Math.min(1, Math.max(0, share)) * (table.length - 1))];
}

/** Colour ("#rrggbb") of a value of a field. */
export function colourOf(scales, field, range, value) {
  if (field.key === "ratio")
    return value < 1 ? entry(scales.ratio_below_1, value) : entry(scales.ratio_from_1, (value - 1) / (range.top - 1));
  if (value < 0) return scales.compression;
  return entry(scales.stress, value / range.top);
}

/** The scale as a table for vtk.js. */
export function lookupTable(scales, field, range) {
  const colours = new Uint8Array(4 * STEPS);
  for (let i = 0; i < STEPS; ++i) {
    const value = range.low + ((i + 0.5) / STEPS) * (range.top - range.low);
    colours.set([...rgbOf(colourOf(scales, field, range, value)), 255], 4 * i);
  }
  const table = vtkLookupTable.newInstance({ numberOfColors: STEPS });
  table.setTable(vtkDataArray.newInstance({ numberOfComponents: 4, values: colours, dataType: "Uint8Array" }));
  table.setRange(range.low, range.top);
  return table;
}
