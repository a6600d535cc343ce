// Which findings are where: at units, sockets, cables, sensors, packs, other devices, or the whole.

import { el } from "./dom.js";

const THINGS = ["sensor", "pack", "device"];

export const labelOf = (finding, number) => `${number}${finding.asks ? "?" : ""}`;

// What stands at no place that is shown stands at the group, so that none is ever lost.
export function marksOf(report) {
  const marks = new Map();
  const put = (key, label, severity) => {
    const at = marks.get(key) ?? [];
    if (!at.some((mark) => mark.label === label)) at.push({ label, severity });
    marks.set(key, at);
  };
  report.findings.forEach((finding, at) => {
    const label = labelOf(finding, at + 1);
    const keys = finding.places.flatMap(keysOf);
    for (const key of keys.length > 0 ? keys : ["group"]) put(key, label, finding.severity);
  });
  if (report.questions.length > 0) put("group", "?", "ask");
  return marks;
}

function keysOf(place) {
  if (place.unit !== undefined) {
    const keys = [`unit ${place.unit}`];
    if (place.port !== undefined) keys.push(`port ${place.unit} ${place.port}`);
    if (place.terminator) keys.push(`terminator ${place.unit}`);
    return keys;
  }
  if (place.cable !== undefined) return [`cable ${place.cable}`];
  return THINGS.filter((thing) => place[thing] !== undefined).map((thing) => `${thing} ${place[thing]}`);
}

// Several places' marks as one list, each once.
export function together(marks, keys) {
  const all = keys.flatMap((key) => marks.get(key) ?? []);
  return all.filter((mark, at) => all.findIndex((other) => other.label === mark.label) === at);
}

const MOST = 6;

export function shownMarks(marks) {
  if (marks.length === 0) return null;
  const more = marks.length > MOST ? el("span", { class: "mark", "aria-hidden": "true" }, `+${marks.length - MOST}`) : null;
  const shown = marks.slice(0, MOST).map((mark) => el("span", { class: "mark", "data-severity": mark.severity, "aria-hidden": "true" }, mark.label));
  return el("span", { class: "marks" }, shown, more);
}

export const unseen = (text) => (text ? el("span", { class: "unseen" }, text) : null);

// The same for those who do not see them.
export function said(marks) {
  const findings = marks.filter((mark) => mark.label !== "?");
  const dangers = findings.some((mark) => mark.severity === "danger") ? ", danger" : "";
  const numbers = findings.length > 0 ? `, finding ${findings.map((mark) => mark.label).join(", ")}${dangers}` : "";
  return `${numbers}${marks.length > findings.length ? ", a question to answer" : ""}`;
}
