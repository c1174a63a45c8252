// Play, scrub, and jump to what happens in each plan.

import { keyInstants, planOf } from "./clock.js";
import { element, labelled, svg } from "./element.js";
import { timeTicks } from "./time_axis.js";
import { spokenTime } from "./words.js";

const ROW = 30; // px: bars, and names below them
const AXIS = 18;
const INSET = 8; // px: half of the slider's knob

const ICONS = { play: "M5 3 14 9 5 15Z", pause: "M5 3h3v12H5ZM10 3h3v12h-3Z", back: "M13 3 6 9 13 15ZM4 3h2v12H4Z", on: "M5 3 12 9 5 15ZM12 3h2v12h-2Z" };
const MOMENTS = { same: "all at one time", worst: "each at its worst (most of the bond at its strength)", end: "each at its end" };
const MOMENTS_OF_ONE = { same: "the time chosen", worst: "its worst (most of the bond at its strength)", end: "its end" };

function icon(name) {
  return svg("svg", { width: 18, height: 18, class: "icon", "aria-hidden": "true" }, svg("path", { d: ICONS[name] }));
}

function button(picture, label, onclick) {
  return element("button", { type: "button", "aria-label": label, title: label, onclick, class: picture }, icon(picture));
}

/** A length of time as a bar, named where the name fits. */
function bar(x, { start, end }, name, says) {
  const width = Math.max(1.5, x(end) - x(start));
  const rect = svg("rect", { x: x(start), y: 1, width, height: 13, class: name }, svg("title", {}, `${says}, ${spokenTime(end - start)}`));
  const fits = width > 6.2 * name.length + 6;
  return [rect, fits ? svg("text", { x: x(start) + width / 2, y: 12, "text-anchor": "middle", class: `on-${name}` }, name) : null];
}

/** The strip of a plan under the slider, to scale: light, waits and named instants. */
function strip(result, clock, x, width, several) {
  const { lights, waits } = planOf(result);
  const row = svg("svg", { width, height: ROW, viewBox: `0 0 ${width} ${ROW}`, class: `strip result-${result.letter}`, role: "group",
    "aria-label": `Key instants of plan ${result.letter}` },
    waits.map((wait) => bar(x, wait, "wait", "waiting and placing")), lights.map((light) => bar(x, light, "light", "light on")));
  let free = several ? 16 : 0;
  if (several) row.append(svg("text", { x: 0, y: 26, class: "letter" }, result.letter));
  for (const { time, name, what } of keyInstants(result)) {
    const at = x(time);
    row.append(svg("line", { x1: at, x2: at, y1: 0, y2: 17, class: "tick" }));
    const wide = 6.2 * name.length;
    const left = Math.min(width - wide, Math.max(0, at - wide / 2));
    if (left < free) continue;
    free = left + wide + 6;
    row.append(svg("text", { x: left, y: 26, onclick: () => clock.goTo(time) }, svg("title", {}, `${spokenTime(time)}: ${what}`), name));
  }
  return row;
}

function axis(x, end, width) {
  return svg("svg", { width, height: AXIS, viewBox: `0 0 ${width} ${AXIS}`, class: "strip", "aria-hidden": "true" }, timeTicks(end, width - 2 * INSET).map((time, i) => [
    svg("line", { x1: x(time), x2: x(time), y1: 0, y2: 4, class: "tick" }),
    svg("text", { x: i ? x(time) : 0, y: 15, "text-anchor": i ? "middle" : "start" }, spokenTime(time))]));
}

/** The slider is linear in time and stands on instants only: the arrow keys go from one to the next. */
function makeSlider(clock) {
  const steps = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -5, PageUp: 5, Home: -Infinity, End: Infinity };
  const slider = element("input", { type: "range", min: 0, max: clock.times.at(-1), step: "any", id: "time", "aria-label": "Time since the bond was cured",
    oninput: () => clock.goTo(Number(slider.value)),
    onkeydown: (event) => {
      if (!(event.key in steps)) return;
      clock.go(clock.index + steps[event.key]);
      event.preventDefault();
    } });
  return slider;
}

/** Where the clock stands, in words; a live region only while it does not play. */
function nowText(results, clock) {
  const several = results.length > 1;
  if (clock.moment !== "same")
    return results.map((result) => `${several ? `${result.letter}: ` : ""}${spokenTime(clock.timeOf(result))}`).join(" · ");
  const events = results.flatMap((result) => keyInstants(result).filter((key) => Math.abs(key.time - clock.time) < 1e-6)
    .map(({ name }) => (several ? `${result.letter}: ${name}` : name)));
  return [spokenTime(clock.time), ...events].join(" · ");
}

/** A list of what happens in each plan, to go there. */
function makeJump(results, clock) {
  const keys = results.flatMap((result) => keyInstants(result).map((key) => ({ ...key, letter: result.letter })))
    .sort((first, second) => first.time - second.time);
  const jump = element("select", { "aria-label": "Go to a key instant", class: "jump",
    onchange: () => { if (jump.value !== "") clock.goTo(Number(jump.value)); jump.value = ""; } },
    element("option", { value: "" }, "Go to …"),
    keys.map(({ time, what, letter }) => element("option", { value: time },
      `${spokenTime(time)}: ${results.length > 1 ? `${letter} ` : ""}${what}`)));
  return jump;
}

export function makeTimeBar(results, clock) {
  const several = results.length > 1;
  const play = button("play", "Play", () => clock.toggle());
  const slider = makeSlider(clock);
  const now = element("output", { for: "time", class: "now" });
  const jump = makeJump(results, clock);
  const moment = element("select", { class: "moment", id: "moment", onchange: () => clock.goToMoment(moment.value) },
    Object.entries(several ? MOMENTS : MOMENTS_OF_ONE).map(([value, text]) => element("option", { value }, text)));
  const strips = element("div", { class: "strips" });
  const section = element("section", { class: "time-bar", "aria-label": "Time" },
    element("div", { class: "time-row" },
      button("back", "One instant back", () => clock.go(clock.index - 1)), play,
      button("on", "One instant on", () => clock.go(clock.index + 1)),
      now, labelled("shown:", moment), jump),
    element("div", { class: "slider-box" }, slider, strips));
  const drawStrips = () => {
    const width = strips.clientWidth;
    const end = clock.times.at(-1);
    const x = (time) => INSET + ((width - 2 * INSET) * time) / (end || 1);
    strips.replaceChildren(...results.map((result) => strip(result, clock, x, width, several)), axis(x, end, width));
  };
  new ResizeObserver(drawStrips).observe(strips);
  clock.listen((time) => {
    slider.value = time;
    moment.value = clock.moment;
    now.setAttribute("aria-live", clock.playing ? "off" : "polite");
    now.textContent = nowText(results, clock);
    slider.setAttribute("aria-valuetext", `${now.textContent} after the bond was cured`);
    play.replaceChildren(icon(clock.playing ? "pause" : "play"));
    play.setAttribute("aria-label", clock.playing ? "Pause" : "Play");
    play.title = clock.playing ? "Pause" : "Play";
  });
  return section;
}
