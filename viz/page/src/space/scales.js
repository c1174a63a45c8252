// Colours: those of the pictures, and tables for the 3D views made of them.

import vtkLookupTable from "@kitware/vtk.js/Common/Core/LookupTable.js";
import vtkDataArray from "@kitware/vtk.js/Common/Core/DataArray.js";

const STEPS = 1024;

export function rgbOf(hex) {
  return [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
}

function entry(table, share) {
  return table[Math.min(table.length - 1, Math.max(0, Math.floor(share * table.length)))];
}

/** Colour ("#rrggbb") of a value of a field. */
export function colourOf(field, range, value) {
  if (value >= 0 || !field.pressed) return entry(field.colours, value / range.top);
  // The last entry is for all beyond the pressure that is told from zero.
  return value < -field.clear_pressure ? field.pressed.at(-1) : entry(field.pressed.slice(0, -1), -value / field.clear_pressure);
}

/** The scale as a table for vtk.js. */
export function lookupTable(field, range) {
  const colours = new Uint8Array(4 * STEPS);
  for (let i = 0; i < STEPS; ++i) {
    const value = range.low + ((i + 0.5) / STEPS) * (range.top - range.low);
    colours.set([...rgbOf(colourOf(field, range, value)), 255], 4 * i);
  }
  const table = vtkLookupTable.newInstance({ numberOfColors: STEPS });
  table.setTable(vtkDataArray.newInstance({ numberOfComponents: 4, values: colours, dataType: "Uint8Array" }));
  table.setRange(range.low, range.top);
  return table;
}
