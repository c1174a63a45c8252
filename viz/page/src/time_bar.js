// Play, scrub, and jump to what happens in each plan.

import { keyInstants, planOf } from "./clock.js";
import { element, svg } from "./element.js";
import { spokenTime } from "./words.js";

const ROW = 20;

const ICONS = { play: "M5 3 14 9 5 15Z", pause: "M5 3h3v12H5ZM10 3h3v12h-3Z", back: "M13 3 6 9 13 15ZM4 3h2v12H4Z", on: "M5 3 12 9 5 15ZM12 3h2v12h-2Z" };

function icon(name) {
  return svg("svg", { width: 18, height: 18, class: "icon", "aria-hidden": "true" }, svg("path", { d: ICONS[name] }));
}

function button(picture, label, onclick) {
  return element("button", { type: "button", "aria-label": label, title: label, onclick, class: picture }, icon(picture));
}

/** The strip of a plan under the slider: light, waits and named instants, by position on the slider. */
function strip(result, clock, width, several) {
  const x = (time) => 8 + ((width - 16) * clock.indexOf(time)) / Math.max(1, clock.times.length - 1);
  const { lights, waits } = planOf(result);
  const row = svg("svg", { width, height: ROW, class: `strip result-${result.letter}`, role: "group",
    "aria-label": `Key instants of plan ${result.letter}` });
  for (const { start, end } of waits)
    row.append(svg("rect", { x: x(start), y: 2, width: Math.max(0, x(end) - x(start)), height: 6, class: "wait" }));
  for (const { start, end } of lights)
    row.append(svg("rect", { x: x(start), y: 2, width: Math.max(1, x(end) - x(start)), height: 6, class: "light" }));
  let free = several ? 16 : 0;
  if (several) row.append(svg("text", { x: 0, y: 18, class: "letter" }, result.letter));
  for (const { time, name, what } of keyInstants(result)) {
    const at = x(time);
    row.append(svg("line", { x1: at, x2: at, y1: 0, y2: 10, class: "tick" }));
    const wide = 6.2 * name.length;
    const left = Math.min(width - wide, Math.max(0, at - wide / 2));
    if (left < free) continue;
    free = left + wide + 6;
    row.append(svg("text", { x: left, y: 18, onclick: () => clock.goTo(time) }, svg("title", {}, `${spokenTime(time)}: ${what}`), name));
  }
  return row;
}

export function makeTimeBar(results, clock) {
  const several = results.length > 1;
  const play = button("play", "Play", () => clock.toggle());
  const slider = element("input", { type: "range", min: 0, max: clock.times.length - 1, step: 1, id: "time",
    "aria-label": "Time since the bond was cured", oninput: () => clock.go(Number(slider.value)) });
  const now = element("output", { for: "time", class: "now" });
  const keys = results.flatMap((result) => keyInstants(result).map((key) => ({ ...key, letter: result.letter })))
    .sort((a, b) => a.time - b.time);
  const jump = element("select", { "aria-label": "Go to a key instant", class: "jump",
    onchange: () => { if (jump.value !== "") clock.goTo(Number(jump.value)); jump.value = ""; } },
    element("option", { value: "" }, "Go to …"),
    keys.map(({ time, what, letter }) => element("option", { value: time },
      `${spokenTime(time)}: ${several ? `${letter} ` : ""}${what}`)));
  const strips = element("div", { class: "strips" });
  const bar = element("section", { class: "time-bar", "aria-label": "Time" },
    element("div", { class: "time-row" },
      button("back", "One instant back", () => clock.go(clock.index - 1)), play,
      button("on", "One instant on", () => clock.go(clock.index + 1)),
      now, jump),
    element("div", { class: "slider-box" }, slider, strips));
  const drawStrips = () => strips.replaceChildren(...results.map((result) => strip(result, clock, strips.clientWidth, several)));
  new ResizeObserver(drawStrips).observe(strips);
  clock.listen((time) => {
    slider.value = clock.index;
    const events = results.flatMap((result) => keyInstants(result).filter((key) => Math.abs(key.time - time) < 1e-6)
      .map(({ name }) => (several ? `${result.letter}: ${name}` : name)));
    now.textContent = [spokenTime(time), ...events].join(" · ");
    slider.setAttribute("aria-valuetext", `${spokenTime(time)} after the bond was cured${events.length ? `, ${events.join(", ")}` : ""}`);
    play.replaceChildren(icon(clock.playing ? "pause" : "play"));
    play.setAttribute("aria-label", clock.playing ? "Pause" : "Play");
    play.title = clock.playing ? "Pause" : "Play";
  });
  return bar;
}
