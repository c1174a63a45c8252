// Reading mode for a lecture hall: one thing at a time, keys for next and back.

import { element } from "../src/element.js";

const STEPS = { ArrowRight: 1, PageDown: 1, " ": 1, ArrowLeft: -1, PageUp: -1 };

/** A page of results; the keys of a presenter turn on also while the page itself has the keyboard, whose arrows it keeps. */
function pageOf({ file, title }, turn) {
  const frame = element("iframe", { src: `files/${file}`, title });
  frame.addEventListener("load", () => frame.contentWindow.addEventListener("keydown", ({ key }) => { if (STEPS[key] && key.startsWith("Page")) turn(STEPS[key]); }));
  return frame;
}

/** Words as large as the hall can read and the screen can hold. */
function fit(stage) {
  for (let size = 32; size >= 20; size -= 2) {
    stage.style.setProperty("--words", `${size}px`);
    if (stage.scrollHeight <= stage.clientHeight) return;
  }
}

export function show({ slides, folder, caution }, main) {
  let at = 0;
  const heading = element("h1", {});
  const stage = element("div", { class: "show" });
  const turn = (step) => {
    at = Math.min(slides.length - 1, Math.max(0, at + step));
    const slide = slides[at];
    heading.textContent = slide ? `${slide.title} (${at + 1} of ${slides.length})` : `Nothing to show in ${folder}: it holds no page, picture or comparison.`;
    document.title = heading.textContent;
    if (!slide) return;
    if (slide.kind === "words") stage.replaceChildren(element("ul", {}, slide.sentences.map((sentence) => element("li", {}, sentence))));
    else if (slide.kind === "page") stage.replaceChildren(pageOf(slide, turn));
    else stage.replaceChildren(element("img", { src: `files/${slide.file}`, alt: slide.title }));
    stage.scrollTop = 0;
    fit(stage);
  };
  addEventListener("resize", () => fit(stage));
  addEventListener("keydown", (event) => {
    const { key, target } = event;
    if (!STEPS[key] || (target.tagName === "BUTTON" && key === " ")) return;
    event.preventDefault();  // turns, and does not scroll as well
    turn(STEPS[key]);
  });
  main.replaceChildren(element("header", { class: "top" }, heading, element("div", { class: "row" },
    element("button", { type: "button", onclick: () => turn(-1) }, "Back"), element("button", { type: "button", onclick: () => turn(1) }, "Next"))),
  stage, element("footer", {}, `Keys: arrow right, page down or space for next, arrow left or page up for back. ${caution}`));
  turn(0);
}
