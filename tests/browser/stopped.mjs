// The instants with a name of a run that was stopped while the light was on, and of one that went to its end.

import assert from "node:assert/strict";
import { pathToFileURL } from "node:url";

const { keyInstants, planOf } = await import(pathToFileURL(process.argv[2]));

const timeline = [
  { time_s: 20, event: "increment 1 placed: paste" },
  { time_s: 25, event: "light on, 1000 mW/cm2 from occlusal" },
  { time_s: 65, event: "light off" },
  { time_s: 665, event: "end of the run" },
];
const summary = (end, finished) => ({ summary: { timeline, end_time_s: end, reached_the_end: finished } });
const named = (result) => keyInstants(result).map(({ time, name }) => [time, name]);

assert.deepEqual(named(summary(49, false)), [[20, "1 placed"], [25, "light on"], [49, "stopped"]]);
assert.deepEqual(planOf(summary(49, false)).lights.map(({ start, end }) => [start, end]), [[25, 49]]);
assert.deepEqual(named(summary(665, true)), [[20, "1 placed"], [25, "light on"], [65, "light off"], [665, "end"]]);
