// Sensors, packs and other devices: what is known of each, and its findings.

import { el } from "./dom.js";
import { factForm } from "./facts.js";
import { said, shownMarks, together, unseen } from "./marks.js";

const KINDS = [
  ["sensor", "sensors"],
  ["pack", "packs"],
  ["device", "devices"],
];
const USUAL = { sensor: ["arrow", "ratio on part", "ratio set"], pack: ["address", "capacity"], device: ["terminator"] };

// Everything with a name that is no unit: what the sheets tell of, and what a finding names.
export function showThings(site, marks, app) {
  const things = KINDS.flatMap(([kind, list]) => {
    const known = site[list].map((facts) => ({ kind, facts }));
    const names = new Set(known.map(({ facts }) => facts.name));
    const marked = [...marks.keys()].filter((key) => key.startsWith(`${kind} `)).map((key) => key.slice(kind.length + 1));
    const others = marked.filter((name) => !names.has(name)).map((name) => ({ kind, facts: { name } }));
    return [...known, ...others];
  });
  if (things.length === 0) return null;
  return [
    el("h3", {}, "Sensors, packs, other devices"),
    el("ol", { class: "units", id: "things" }, things.map((thing) => thingCard(thing, marks, app))),
  ];
}

function thingCard({ kind, facts }, marks, app) {
  const { name, ...others } = facts;
  const key = `${kind} ${name}`;
  const own = together(marks, [key]);
  const isOpen = app.ui.unit === key;
  const toggle = () => {
    app.ui.unit = isOpen ? null : key;
    app.render();
  };
  const told = Object.entries(others).slice(0, 3).map(([fact, value]) => `${fact} ${value}`);
  return el(
    "li",
    { class: "unit", "data-thing": key },
    el(
      "button",
      { type: "button", class: "unit-head", "aria-expanded": String(isOpen), "data-key": `head ${key}`, onclick: toggle },
      el("strong", {}, name),
      el("span", {}, [kind === "device" ? "other device" : kind, ...told].join(", ")),
      shownMarks(own),
      unseen(said(own)),
    ),
    isOpen
      ? el(
          "div",
          { class: "inside" },
          factForm({ about: { [kind]: name }, name, fields: app.about.fields[kind], facts: others, usual: USUAL[kind], key, app }),
        )
      : null,
  );
}
