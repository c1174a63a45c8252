// The instants of all results together, and what happens when.

/** When most of a result's bond is at its strength; its end where it has no bond. */
function worstTime({ summary, instants }) {
  const whole = (summary.bond ?? []).find(({ wall, substrate }) => wall === "all" && substrate === "all");
  return whole?.worst.time_s ?? instants.at(-1).time;
}

/** {times, index}: the page's clock; listeners hear of every move. At the moments "worst" and "end" each result has a time of its own. */
export class Clock {
  moment = "same";
  #listeners = [];
  #timer = null;
  constructor(results) {
    const all = results.flatMap((result) => result.instants.map(({ time }) => time)).sort((a, b) => a - b);
    this.results = results;
    this.times = all.filter((time, i) => i === 0 || time - all[i - 1] > 1e-6);
    this.index = 0;
  }
  get time() {
    return this.times[this.index];
  }
  get playing() {
    return this.#timer !== null;
  }
  listen(listener) {
    this.#listeners.push(listener);
  }
  /** "end": after the last step of every plan, so that full stands against full; "worst": each at its worst; "same": where it stands. */
  goToMoment(moment) {
    if (this.playing) this.pause();
    if (moment === "end") this.index = this.times.length - 1;
    if (moment === "worst") this.index = this.indexOf(worstTime(this.results[0]));
    this.moment = moment;
    this.#tell();
  }
  /** The time at which a result is shown. */
  timeOf(result) {
    if (this.moment === "worst") return worstTime(result);
    return this.moment === "end" ? result.instants.at(-1).time : this.time;
  }
  go(index) {
    this.moment = "same";
    const bounded = Math.min(this.times.length - 1, Math.max(0, index));
    this.index = bounded;
    this.#tell();
  }
  #tell() {
    for (const listener of this.#listeners) listener(this.time);
  }
  /** To the instant nearest to `time`. */
  goTo(time) {
    this.go(this.indexOf(time));
  }
  indexOf(time) {
    let nearest = 0;
    this.times.forEach((each, i) => {
      if (Math.abs(each - time) < Math.abs(this.times[nearest] - time)) nearest = i;
    });
    return nearest;
  }
  play() {
    if (this.index === this.times.length - 1) this.go(0);
    this.#timer = setInterval(() => {
      if (this.index === this.times.length - 1) this.pause();
      else this.go(this.index + 1);
    }, 450);
    this.go(this.index);
  }
  pause() {
    clearInterval(this.#timer);
    this.#timer = null;
    this.go(this.index);
  }
  toggle() {
    if (this.playing) this.pause();
    else this.play();
  }
}

/** Light, waits and placements of a plan, from its timeline: as far as the run came. */
export function planOf(result) {
  const { timeline = [], end_time_s: end } = result.summary;
  const lights = [];
  const placed = [];
  const waits = [];
  let free = 0;
  for (const { time_s: time, event } of timeline.filter((each) => each.time_s <= end)) {
    if (event.startsWith("increment")) {
      placed.push({ time, number: placed.length + 1, what: event });
      if (time > free) waits.push({ start: free, end: time });
      free = time;
    }
    if (event.startsWith("light on")) lights.push({ start: time, end, on: true });
    if (event === "light off") {
      const lit = lights.find(({ start, on }) => on && start < time);
      if (lit) Object.assign(lit, { end: time, on: false });
      free = time;
    }
  }
  return { lights, placed, waits };
}

/** [{time, name, what}]: instants with a name, for the slider. */
export function keyInstants(result) {
  const { lights, placed } = planOf(result);
  const { end_time_s: end, reached_the_end: finished } = result.summary;
  const keys = [
    ...placed.map(({ time, number, what }) => ({ time, name: `${number} placed`, what })),
    ...lights.map(({ start }) => ({ time: start, name: "light on", what: "light on" })),
    ...lights.filter(({ on }) => !on).map((light) => ({ time: light.end, name: "light off", what: "light off" })),
    finished === false ? { time: end, name: "stopped", what: "stopped by the user" } : { time: end, name: "end", what: "end of the run" },
  ];
  return keys.sort((a, b) => a.time - b.time);
}
