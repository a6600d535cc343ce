// The power-up: one step after the other, each answer kept before the next is asked.

import { byId, el, fill, labelled } from "./dom.js";
import { MOST_BYTES, save } from "./files.js";
import { request } from "./state.js";

const KEPT = "coldcheck readings";
const CANNOT_KEEP = "This browser keeps nothing for this page: save the readings often.";
const STATES = {
  open: "open",
  waits: "waits",
  stopped: "stopped: a danger stands",
  passed: "passed",
  "passed-by-reason": "left by reason",
  failed: "NOT AS EXPECTED",
  "open-again": "open again: what it rests on has changed, or everything was locked off since",
  "waits-for-others": "waits for the other units",
  "read-and-waits": "read, and waits for a hold before it",
  "to-be-proven-again": "to be proven dead again",
};
const TAKEABLE = ["open", "failed", "open-again", "to-be-proven-again"];

// An answer that is none says why; a power-up lists readings that do not count under the same word.
const isRefused = ({ refused }) => typeof refused === "string";

// The readings so far, as the browser keeps them.
export function readingsKept() {
  try {
    return localStorage.getItem(KEPT) ?? "";
  } catch {
    return "";
  }
}

function keep(app, text) {
  app.ui.readings = text;
  try {
    localStorage.setItem(KEPT, text);
  } catch {
    app.warn(CANNOT_KEEP);
  }
  app.render();
}

export function wireDay(app) {
  app.ui.readings = readingsKept();
  app.ui.step = null;
  app.ui.readingsBefore = "";
  byId("day-save").addEventListener("click", () => save("readings.jsonl", [app.ui.readings], "application/jsonl", app));
  byId("day-clear").addEventListener("click", () => {
    const before = app.ui.readings;
    app.ui.readingsBefore = before === "" ? app.ui.readingsBefore : before;
    keep(app, before === "" ? app.ui.readingsBefore : "");
    app.say(before === "" ? "The readings are back." : "The readings are gone; the same button brings them back.");
  });
  const load = byId("day-load");
  byId("day-open").addEventListener("click", () => load.click());
  load.addEventListener("change", async () => {
    const [file] = load.files;
    load.value = "";
    if (!file || file.size > MOST_BYTES) return;
    const text = await file.text();
    const answer = app.ask("power_up", { ...request(app.history.state), readings: text });
    if (isRefused(answer)) app.warn(answer.refused);
    else keep(app, text);
  });
}

// The clock's moment, in universal time.
const now = () => `${new Date().toISOString().slice(0, 19)}Z`;

// Asked for only while it is in view.
export function showDay(state, app) {
  const panel = byId("day-steps");
  const { readings, readingsBefore } = app.ui;
  byId("day-clear").textContent = readings === "" && readingsBefore !== "" ? "Bring them back" : "Take them away";
  byId("day-clear").disabled = readings === "" && readingsBefore === "";
  byId("day-save").disabled = readings === "";
  if (panel.offsetParent === null) return;
  if (state.sheets.length === 0) {
    fill(panel, el("p", { class: "note" }, "Nothing to power up until there is a site."));
    return;
  }
  const day = app.ask("power_up", { ...request(state), readings: app.ui.readings, time: now() });
  if (isRefused(day)) {
    fill(panel, el("p", { class: "stop" }, day.refused));
    return;
  }
  const chosen = day.steps.find(({ id, state: stands }) => id === app.ui.step && TAKEABLE.includes(stands));
  const next = chosen ?? day.steps.find(({ id }) => id === day.next);
  const passed = day.steps.filter((step) => step.state.startsWith("passed")).length;
  // What was read there is the reason why another step is asked again.
  const elsewhere = day.steps.filter(({ id, state: stands }) => stands === "failed" && id !== next?.id);
  const stages = [...new Set(day.steps.map((step) => step.stage))];
  fill(
    panel,
    day.dangers.length > 0
      ? el("p", { class: "stop" }, el("strong", {}, "STOP: "), `${day.dangers.join("; ")}. Only the dead tests are open.`)
      : null,
    standing(app.answer),
    day.remarks.map((remark) => el("p", { class: "stop" }, remark)),
    el("p", { role: "status" }, `${passed} of ${day.steps.length} steps passed.`),
    elsewhere.map(({ id, reading, otherwise }) => el("p", { class: "stop" }, el("strong", {}, `${id}: read ${reading.value}. `), otherwise)),
    next ? askedFor(next, state, app) : el("p", { class: "note" }, day.done ? "Every step is passed." : "Nothing can be taken now."),
    stages.map((stage) => listed(stage, day.steps.filter((step) => step.stage === stage), app)),
    wayDown(day),
  );
}

// What the check says, unless nothing stands in the way.
function standing({ told, report }) {
  if (!told || report.verdict === "ok") return null;
  return el("p", { class: "stop" }, el("strong", {}, `${told.word}: `), told.says);
}

// One step with its fields.
function askedFor(step, state, app) {
  const isSeen = "seen" in step.expected;
  // What is typed stays, also if something else is looked at meanwhile.
  const typed = (name) => ({ target }) => {
    app.ui[name] = target.value;
  };
  const field = (name) =>
    el("input", { type: "text", value: app.ui[name] ?? "", autocomplete: "off", oninput: typed(name), "data-key": `day ${name}` });
  const by = field("by");
  const instrument = field("instrument");
  // No keypad of digits: it has no OL, no sign and no unit.
  const value = el("input", { type: "text", autocomplete: "off", value: "", "data-key": "day value" });
  const write = (part) => {
    const answer = app.ask("take_reading", {
      ...request(state), readings: app.ui.readings, step: step.id, by: by.value, instrument: instrument.value, time: now(), ...part,
    });
    if (answer.refused) {
      app.warn(answer.refused);
      return;
    }
    app.calm();
    app.ui.step = null;
    const before = app.ui.readings;
    keep(app, before === "" || before.endsWith("\n") ? before + answer.line : `${before}\n${answer.line}`);
    app.focusOn("day value");
  };
  const submit = (event) => {
    event.preventDefault();
    write({ value: value.value });
  };
  return el(
    "form",
    { class: "day", onsubmit: submit },
    el("h3", {}, step.id),
    el("p", {}, step.do),
    el("p", { class: "note" }, step.why),
    el("p", {}, el("strong", {}, "Must be: "), step.says),
    step.state === "failed" ? el("p", { class: "stop" }, el("strong", {}, `Read ${step.reading.value}. `), step.otherwise) : null,
    el("div", { class: "fields" }, labelled("Initials", by), labelled("Instrument", instrument)),
    labelled(isSeen ? "Seen: yes, or no and what instead" : `Read, in ${step.unit}`, value),
    el(
      "p",
      { class: "row" },
      el("button", { type: "submit", class: "main", "data-key": "day write" }, "Write it down"),
      isSeen ? el("button", { type: "button", onclick: () => write({ value: "yes" }) }, "Yes") : null,
      step.hold === "reading"
        ? null
        : el("button", { type: "button", onclick: () => write({ reason: value.value }) }, "Leave it, for this reason"),
    ),
  );
}

function listed(stage, steps, app) {
  const open = app.ui.parts.has(`day ${stage}`);
  const done = steps.filter((step) => step.state.startsWith("passed")).length;
  const ontoggle = ({ target }) => {
    if (target.open) app.ui.parts.add(`day ${stage}`);
    else app.ui.parts.delete(`day ${stage}`);
  };
  const choose = (step) => {
    app.ui.step = step.id;
    app.render();
    byId("day-steps").scrollIntoView();
  };
  const item = (step) => {
    const words = `${step.id}: ${STATES[step.state]}${step.reading ? ` (${step.reading.value}, ${step.reading.by})` : ""}`;
    const again = TAKEABLE.includes(step.state) || step.state === "passed" || step.state === "passed-by-reason";
    return el("li", {}, again && step.state !== "passed" ? el("button", { type: "button", onclick: () => choose(step) }, words) : words);
  };
  return el(
    "details",
    { class: "list", open, ontoggle },
    el("summary", { "data-key": `day ${stage}` }, `${steps[0].stage_title}: ${done} of ${steps.length}`),
    el("ul", {}, steps.map(item)),
  );
}

function wayDown(day) {
  const items = (list) => list.map((words) => el("li", {}, words));
  return el(
    "details",
    { class: "list" },
    el("summary", { "data-key": "day down" }, "The way down"),
    el("ol", {}, items(day.way_down.map((act) => act.do))),
    el("h3", {}, "Isolate and lock"),
    el("ul", {}, items(day.isolation)),
    el("h3", {}, "If a danger is found live"),
    el("ol", {}, items(day.danger_live)),
  );
}
