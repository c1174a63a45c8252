// Reading mode for a lecture hall: one thing at a time, keys for next and back.

import { element } from "../src/element.js";

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
    else if (slide.kind === "page") stage.replaceChildren(element("iframe", { src: `files/${slide.file}`, title: slide.title }));
    else stage.replaceChildren(element("img", { src: `files/${slide.file}`, alt: slide.title }));
  };
  addEventListener("keydown", ({ key, target }) => {
    if (target.tagName === "BUTTON" && key === " ") return;
    if (["ArrowRight", "PageDown", " "].includes(key)) turn(1);
    if (["ArrowLeft", "PageUp"].includes(key)) turn(-1);
  });
  main.replaceChildren(element("header", { class: "top" }, heading, element("div", { class: "row" },
    element("button", { type: "button", onclick: () => turn(-1) }, "Back"), element("button", { type: "button", onclick: () => turn(1) }, "Next"))),
  stage, element("footer", {}, `Keys: arrow right or space for next, arrow left for back. ${caution}`));
  turn(0);
}
