// Forms for facts: of the group, a unit, a cable. Each change is written into the sheets.

import { choice, el, labelled } from "./dom.js";
import { said, shownMarks, together, unseen } from "./marks.js";

const ABOUT = ["unit", "cable", "pack", "sensor", "device"];

// Facts of a thing to which the sheets give two values or more, with all of them in words.
export function disputed(site, about) {
  const own = site.disputed.filter((one) => ABOUT.every((thing) => one[thing] === about[thing]));
  return Object.fromEntries(own.map((one) => [one.key, one.says]));
}

// A label, and both values where the sheets disagree.
const labelWith = (key, both) => (both === undefined ? key : `${key}: the sheets say ${both}`);

// A form of the facts that are stated or that nearly every site states, and a way to add others.
// `about` names what it is about for the library, `key` tells its controls apart.
export function factForm({ about, name, fields, facts, usual, key, app }) {
  const both = disputed(app.answer.site, about);
  const stated = [...new Set([...Object.keys(facts), ...Object.keys(both)])];
  const shown = fields.filter((field) => usual.includes(field.key) || stated.includes(field.key));
  const others = fields.filter((field) => !shown.includes(field));
  // A cable has controls of its own for these.
  const own = about.cable === undefined ? [""] : ["", "kind", "length"];
  const strange = stated.filter((one) => !own.includes(one) && !fields.some((field) => field.key === one));
  const set = (field, value) => app.edit([{ do: "set", ...about, key: field, value }]);
  // What a phone shows no hint for by itself.
  const wanted = (field) => (key === "group" ? field.hint : null);
  return el(
    "div",
    { class: "fields" },
    shown.map((field) =>
      labelled(
        labelWith(field.key, both[field.key]),
        control(field, facts[field.key] ?? "", `${key} ${field.key}`, (value) => set(field.key, value)),
        wanted(field),
      ),
    ),
    strange.map((one) =>
      labelled(labelWith(one, both[one]), control({ key: one }, facts[one] ?? "", `${key} ${one}`, (value) => set(one, value))),
    ),
    others.length > 0 ? adder(others, name, key, set) : null,
  );
}

// A control for one fact. It waits until the focus has moved on, since the form is made anew.
export function control(field, value, key, change) {
  const onchange = (event) => {
    const text = event.target.value;
    setTimeout(() => change(text === "" ? null : text));
  };
  if (field.choices) {
    const options = [["", "not declared"], ...field.choices.map((word) => [word, word])];
    return choice(options, value, { "data-key": key, onchange });
  }
  const attributes = { type: "text", value, autocomplete: "off", autocapitalize: "off", spellcheck: "false" };
  return el("input", { ...attributes, "data-key": key, title: field.hint ?? null, onchange });
}

// One more fact: which one, and its value.
export function adder(fields, name, key, set) {
  // By the alphabet, since a list of ninety is searched by its first letters.
  const sorted = [...fields].sort((one, other) => (one.key < other.key ? -1 : 1));
  const which = choice(
    sorted.map((field) => [field.key, field.demanded ? `${field.key} (demanded)` : field.key]),
    fields[0].key,
    { "data-key": `${key} which`, "aria-label": `One more fact of ${name}` },
  );
  const value = el("input", { type: "text", autocomplete: "off", "data-key": `${key} value`, "aria-label": `Its value for ${name}` });
  const hint = el("p", { class: "note" });
  const tell = () => {
    const field = fields.find((one) => one.key === which.value);
    hint.textContent = field.choices ? field.choices.join(", ") : (field.hint ?? "any words");
  };
  which.addEventListener("change", tell);
  tell();
  const add = (event) => {
    event.preventDefault();
    if (value.value.trim() !== "") set(which.value, value.value);
  };
  return el(
    "form",
    { class: "adder", onsubmit: add },
    el("span", { class: "note" }, `One more fact of ${name}`),
    which,
    value,
    el("button", { type: "submit", "data-key": `${key} add` }, "Add"),
    hint,
  );
}

// The group: what is usual for any site, and one value for all units at once.
export function groupForm(answer, own, app) {
  const { about } = app;
  const site = answer.site;
  const profiles = { key: "profile", choices: about.profiles.map((profile) => profile.name) };
  const fields = about.fields.group.map((field) => (field.key === "profile" ? profiles : field));
  const everywhere = about.fields.unit;
  const setAll = (key, value) =>
    app.edit(site.units.map((unit) => ({ do: "set", unit: unit.facts.name, key, value })));
  return el(
    "details",
    { class: "group", open: app.ui.group, ontoggle: (event) => (app.ui.group = event.target.open) },
    el("summary", { "data-key": "group" }, "The site as a whole ", shownMarks(own), unseen(said(own))),
    factForm({
      about: {},
      name: "the site",
      fields,
      facts: { ...site.group, ...site.demands },
      usual: ["site", "profile", "neutral-earth bond", "pv"],
      key: "group",
      app,
    }),
    el("h3", {}, "One value for all units"),
    adder(
      [everywhere.find((field) => field.key === "ac out"), ...everywhere.filter((field) => field.key !== "ac out")],
      "all units",
      "all units",
      setAll,
    ),
  );
}

export function unitForm(unit, app) {
  const name = unit.facts.name;
  const { name: _, ...facts } = unit.facts;
  return el(
    "div",
    {},
    factForm({
      about: { unit: name },
      name,
      fields: app.about.fields.unit,
      facts,
      usual: ["role", "address", "count", "terminator", "firmware", "bank", "ac out"],
      key: `unit ${name}`,
      app,
    }),
    el(
      "button",
      { type: "button", class: "away", "data-key": `remove ${name}`, onclick: () => remove(name, app) },
      `Take ${name} away, with its cables`,
    ),
  );
}

function remove(name, app) {
  if (app.edit([{ do: "remove unit", unit: name }])) app.say(`Taken away: ${name}. Undo brings it back.`);
  app.focusOn("add unit");
}

export function cableForm(cable, position, marks, app) {
  const name = cable.label ?? "this cable";
  const of = { cable: position };
  const set = (key, value) => app.edit([{ do: "set", ...of, key, value }]);
  const key = `cable ${position}`;
  const both = disputed(app.answer.site, of);
  const own = together(marks, [`cable ${cable.label}`]);
  const { label, unlabelled, from, from_port, to, to_port, kind, length, note, ...facts } = cable;
  return el(
    "div",
    { class: "cable-form" },
    el("p", {}, el("strong", {}, name), `: ${ends(cable)} `, shownMarks(own), unseen(said(own))),
    both[""] === undefined ? null : el("p", {}, `The sheets disagree: ${both[""]}.`),
    el(
      "div",
      { class: "fields" },
      label === undefined ? null : labelled("label", control({ key: "label" }, label, `${key} label`, (value) => set("label", value))),
      labelled(labelWith("kind", both.kind), control({ key: "kind", choices: app.about.kinds }, kind ?? "", `${key} kind`, (value) => set("kind", value))),
      labelled(labelWith("length", both.length), control({ key: "length", hint: "1.5 m, 80 cm, 6 ft" }, length ?? "", `${key} length`, (value) => set("length", value))),
    ),
    factForm({ about: of, name, fields: app.about.fields.cable, facts, usual: [], key, app }),
    el(
      "button",
      { type: "button", class: "away", "data-key": `${key} remove`, onclick: () => app.disconnect(position) },
      `Take ${name} out`,
    ),
  );
}

export function ends(cable) {
  const one = [cable.from, cable.from_port].filter(Boolean).join(" ");
  const other = [cable.to, cable.to_port].filter(Boolean).join(" ");
  return `${one || "?"} to ${other === "-" ? "nothing" : other || "?"}`;
}
