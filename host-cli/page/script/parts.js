// What else the library tells about the site: tables, text, drawings. Whatever it sends is shown.

import { byId, el, fill, shownText, table } from "./dom.js";
import { request } from "./state.js";

// Asked for only while they are in view, and each only when it is opened.
export function showParts(state, app) {
  const panel = byId("parts");
  if (panel.offsetParent === null) return;
  app.ui.width = panel.clientWidth;
  const groups = state.sheets.length > 0 ? app.ask("site_parts", request(state)) : [];
  const nothing = el("p", { class: "note" }, "Nothing to show until there is a site that can be read.");
  fill(panel, groups.length > 0 ? groups.map((group) => opened(group, state, panel.clientWidth, app)) : nothing);
}

function opened({ id, title }, state, width, app) {
  const inside = el("div", {});
  const make = () => {
    const { parts } = app.ask("site_parts", { ...request(state), width, part: id });
    const none = el("p", { class: "note" }, "Nothing to show of this site.");
    fill(inside, parts.length === 0 ? none : parts.map((one) => part(one, app)));
  };
  const isOpen = app.ui.parts.has(id);
  if (isOpen) make();
  const ontoggle = ({ target }) => {
    if (target.open === app.ui.parts.has(id)) return;
    if (!target.open) {
      app.ui.parts.delete(id);
      return;
    }
    app.ui.parts.add(id);
    make();
  };
  return el("details", { class: "list", open: isOpen, ontoggle }, el("summary", { "data-key": `part ${id}` }, title), inside);
}

export function part(one, app) {
  const words = (list) => (list ?? []).map((says) => el("p", {}, says));
  return el(
    "div",
    { class: "part" },
    one.title ? el("h3", {}, one.title) : null,
    one.stop ? el("p", { class: "stop" }, el("strong", {}, "STOP: "), one.stop) : null,
    words(one.says),
    one.table ? table(one.title ?? "Table", one.table.head, one.table.rows) : null,
    one.acts ? el("ol", { class: "acts-to-do" }, one.acts.map(({ says, with_it }) => el("li", {}, says, with_it.map((own) => el("p", { class: "note" }, own))))) : null,
    one.items ? el("ul", { class: "acts-to-do" }, one.items.map((says) => el("li", {}, says))) : null,
    words(one.below),
    one.sheet && app ? toDo(one.sheet, app) : null,
    one.text ? el("pre", { tabindex: 0 }, one.text) : null,
    one.svg ? picture(one.svg) : null,
  );
}

// The site as it is to be, with each act waiting for a person: nothing at the plant has changed yet.
function toDo(sheet, app) {
  const take = () => {
    app.begin([sheet]);
    app.tab("found", true);
    app.say("The site file has these acts as to do. Do them, then say here what was seen. Undo brings the sheets back.");
  };
  return el("p", { class: "row" }, el("button", { type: "button", "data-key": "take acts", onclick: take }, "Take these acts: to do, and to confirm one by one"));
}

// Shapes and words of a drawing, and what they may carry. Anything else is left out.
const SHAPES = ["svg", "g", "rect", "line", "polyline", "polygon", "circle", "path", "text", "tspan", "title", "desc"];
const TRAITS = /^(x|y|x1|y1|x2|y2|cx|cy|r|rx|ry|d|points|width|height|viewBox|fill|stroke|stroke-[a-z]+|font-[a-z]+|text-anchor|transform|role|id|aria-[a-z]+|xmlns)$/;

// A drawing, taken over shape by shape, so that no script and no address can come with it.
export function picture(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  if (parsed.querySelector("parsererror")) return el("p", { class: "note" }, "The drawing cannot be shown.");
  const drawing = taken(parsed.documentElement);
  return el("div", { class: "scroll drawing", tabindex: 0, role: "region", "aria-label": "Drawing" }, drawing);
}

function taken(node) {
  if (node.nodeType === Node.TEXT_NODE) return document.createTextNode(shownText(node.data));
  if (node.nodeType !== Node.ELEMENT_NODE || !SHAPES.includes(node.localName)) return null;
  const copy = document.createElementNS("http://www.w3.org/2000/svg", node.localName);
  for (const { name, value } of node.attributes) {
    if (TRAITS.test(name) && !/url\s*\(/i.test(value)) copy.setAttribute(name, value);
  }
  copy.append(...[...node.childNodes].map(taken).filter(Boolean));
  return copy;
}
