// The table of walls over time (walls.csv), kept as the text it was, so that numbers are shown as computed.

/** Cells of one line; commas within quotes do not part cells. */
function cellsOf(line) {
  return [...line.matchAll(/("([^"]*)"|[^,]*)(,|$)/g)].slice(0, -1).map(([, whole, quoted]) => quoted ?? whole);
}

/** Rows by time; each row maps column names to text. */
export function readWallTable(csv) {
  const lines = csv.trimEnd().split("\n");
  const names = lines[0].split(",");
  const rows = lines.slice(1).map((line) => {
    const cells = cellsOf(line + (line.endsWith(",") ? " " : ""));
    return Object.fromEntries(names.map((name, i) => [name, (cells[i] ?? "").trim()]));
  });
  const times = [...new Set(rows.map((row) => row.time_s))].map((text) => ({ text, time: Number(text) }));
  return { names, rows, times };
}

/** The rows of the step nearest to `time`. */
export function rowsAt(table, time) {
  if (table.times.length === 0) return [];
  const nearest = table.times.reduce((a, b) => (Math.abs(b.time - time) < Math.abs(a.time - time) ? b : a));
  return table.rows.filter((row) => row.time_s === nearest.text);
}

/** [{time, value, row}] of a measure for a wall, over all of its substrates, where the wall has it. */
export function historyOf(table, wall, { of }) {
  return table.rows
    .filter((row) => row.wall === wall && row.substrate === "all")
    .map((row) => ({ time: Number(row.time_s), value: of(row), row }))
    .filter(({ value }) => value !== null);
}
