// What else the library tells about the site: tables, text, drawings. Whatever it sends is shown.

import { byId, el, fill, shownText, table } from "./dom.js";
import { request } from "./state.js";

// Asked for only while they are in view.
export function showParts(state, app) {
  const panel = byId("parts");
  if (panel.offsetParent === null) return;
  const parts = state.sheets.length > 0 ? app.ask("site_parts", { ...request(state), width: panel.clientWidth }).parts : [];
  const nothing = el("p", { class: "note" }, "Nothing to show until there is a site that can be read.");
  fill(panel, parts.length === 0 ? nothing : parts.map(part));
}

export function part(one) {
  return el(
    "div",
    {},
    el("h3", {}, one.title),
    one.says ? el("p", {}, one.says) : null,
    one.table ? table(one.title, one.table.head, one.table.rows) : null,
    one.text ? el("pre", { tabindex: 0 }, one.text) : null,
    one.svg ? picture(one.svg) : null,
  );
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
