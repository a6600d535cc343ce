// Elements. Text is only ever set as text, so that nothing a sheet says can become markup.

const SVG = "http://www.w3.org/2000/svg";

function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "selected") element[name] = value;
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  const shown = children.flat(Infinity).filter((child) => child !== null && child !== undefined);
  element.append(...shown.map((child) => (child instanceof Node ? child : shownText(child))));
  return element;
}

// Signs that turn the direction of writing, and those that no screen shows, as pictures.
const ACTS = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]/g;

export function shownText(text) {
  return String(text).replace(ACTS, "\ufffd");
}

export function el(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

export function byId(id) {
  return document.getElementById(id);
}

// Puts new content into an element; whatever had the focus has it again, by its key.
export function fill(element, ...children) {
  const active = document.activeElement;
  const key = element.contains(active) ? active.dataset?.key : undefined;
  element.replaceChildren(...children.flat(Infinity).filter(Boolean));
  if (key === undefined) return;
  const again = [...element.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);
  again?.focus({ preventScroll: true });
}

// Copies the link that stands in a field; where the browser does not let it, it is chosen there.
export async function copyLink(field, app, copied) {
  field.select();
  try {
    await navigator.clipboard.writeText(field.value);
    app.say(copied);
  } catch {
    app.say("The link stands in the field, chosen; copy it from there.");
  }
}

// A label with its control below it, and perhaps a hint.
export function labelled(text, control, hint) {
  return el("label", { class: "field" }, el("span", {}, text), control, hint ? el("small", { class: "note" }, hint) : null);
}

export function choice(options, chosen, attributes = {}) {
  const known = options.some(([value]) => value === chosen);
  const all = known || chosen === "" ? options : [[chosen, chosen], ...options];
  const list = all.map(([value, text]) => el("option", { value, selected: value === chosen }, text));
  return el("select", attributes, list);
}

// A table that scrolls by itself, also by key. On a narrow screen each row is a card, with the heads
// beside what stands below them; the roles say that it stays a table.
export function table(caption, head, rows) {
  const cells = (row) =>
    row.map((cell, at) => el(at === 0 ? "th" : "td", at === 0 ? { scope: "row", role: "rowheader" } : { role: "cell", "data-head": cell === "" ? null : head[at] }, cell));
  return el(
    "div",
    { class: "scroll", tabindex: 0, role: "region", "aria-label": caption },
    el(
      "table",
      { role: "table" },
      el("thead", { role: "rowgroup" }, el("tr", { role: "row" }, head.map((cell) => el("th", { scope: "col", role: "columnheader" }, cell)))),
      el("tbody", { role: "rowgroup" }, rows.map((row) => el("tr", { role: "row" }, cells(row)))),
    ),
  );
}
