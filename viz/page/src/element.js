// Building the document.

/** element("button", {type: "button", onclick: ...}, "Play") */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  return fill(made, attributes, children);
}

export function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

function fill(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined));
  return made;
}

let counter = 0;
/** A label with its control. */
export function labelled(text, control) {
  control.id ||= `control-${++counter}`;
  return element("span", { class: "labelled" }, element("label", { for: control.id }, text), control);
}
