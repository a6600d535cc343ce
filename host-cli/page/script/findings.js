// What was found: the verdict, the findings, what is open. All words are the library's.

import { byId, el, fill, labelled } from "./dom.js";
import { labelOf } from "./marks.js";

// How a verdict looks; its words say the same.
const LOOKS = {
  stop: "alarm",
  ask: "attention",
  "fix-first": "alarm",
  incomplete: "attention",
  "ok-with-notes": "calm",
  ok: "calm",
};

// Dangers that nobody could look for are nothing to be calm about.
const lookOf = ({ report, told }) => (told.dangers_open && LOOKS[report.verdict] === "calm" ? "attention" : LOOKS[report.verdict]);

// Lists that a person should see without asking for them.
const OPEN = ["Must be declared and is not:", "Not understood, and left out:", "Not checked:"];

export function showVerdict(answer) {
  const report = answer.report;
  const chip = byId("verdict");
  const word = report ? answer.told.word : "CANNOT BE READ";
  chip.dataset.look = report ? lookOf(answer) : "alarm";
  const isLeft = report && LOOKS[report.verdict] !== lookOf(answer);
  fill(chip, el("span", {}, word), isLeft ? el("span", {}, ", dangers left open") : null);
}

export function showNothing() {
  // No look at all: nothing was checked.
  delete byId("verdict").dataset.look;
  fill(byId("verdict"), el("span", {}, "NO SITE YET"));
  fill(byId("found-list"), el("p", { class: "note" }, "Begin with a new site, or open one: what is found stands here."));
}

// The whole panel. The app opens a place for it: a sheet's line, or a thing of the site.
export function showFindings(answer, app) {
  const panel = byId("found-list");
  if (!answer.report) {
    const errors = answer.places.length > 0 ? answer.places : [{ says: answer.errors }];
    fill(
      panel,
      verdict("alarm", "CANNOT BE READ", "Nothing was checked. Mend the sheets where it says so.", ""),
      errors.map((error, at) => unread(error, at, app)),
      asText(answer.errors),
    );
    return;
  }
  const { report, told } = answer;
  fill(
    panel,
    verdict(lookOf(answer), told.word, told.says, told.subject),
    mendable(answer) ? el("p", { class: "row" }, el("button", { type: "button", "data-key": "to mend", onclick: () => app.showPart("mend") }, "Look for what mends it")) : null,
    el("p", { class: "cautions" }, report.cautions),
    report.findings.map((finding, at) => card(finding, at + 1, app)),
    report.questions.map((question, at) => asked(question, at, toConfirm(answer, at), app)),
    report.waived.map((waived, at) => waiver(waived, at, app)),
    report.idle_waivers.map((idle) => el("p", { class: "note" }, `A waiver that lets nothing stand (${app.about.rules[idle.rule] ?? idle.rule}): ${idle.says}`)),
    told.lists.map((one) => list(one, answer, app)),
    asText(answer.text),
  );
}

function verdict(look, word, says, subject) {
  return el(
    "div",
    { class: "verdict", "data-look": look },
    el("h3", {}, `${word}: `, el("span", {}, says)),
    subject ? el("p", {}, subject) : null,
  );
}

function card(finding, number, app) {
  const key = `finding ${number}`;
  return el(
    "article",
    { class: "finding", "data-severity": finding.severity, id: `finding-${number}`, tabindex: -1 },
    el(
      "h3",
      {},
      el("span", { class: "mark", "data-severity": finding.severity, "aria-hidden": "true" }, labelOf(finding, number)),
      el("span", { class: "severity" }, `${finding.asks ? "ask, " : ""}${finding.severity}: `),
      finding.says,
    ),
    pairs([
      ["Why", finding.why],
      ["Do", finding.do],
      ["Prove", finding.prove],
    ]),
    el("p", { class: "row" }, places(finding, key, app), origins(finding.origins, key, app)),
    explained(finding.rule, app),
  );
}

function pairs(entries) {
  return el("dl", {}, entries.map(([head, text]) => [el("dt", {}, head), el("dd", {}, text)]));
}

function places(finding, key, app) {
  const named = [...finding.places, ...finding.related].map((place) => {
    if (place.unit !== undefined) return { text: place.port ? `${place.unit} ${place.port}` : place.unit, unit: place.unit };
    if (place.cable !== undefined) return { text: place.cable, cable: place.cable };
    const thing = ["sensor", "pack", "device"].find((kind) => place[kind] !== undefined);
    return thing ? { text: place[thing], thing: `${thing} ${place[thing]}` } : null;
  });
  const shown = new Map(named.filter(Boolean).map((one) => [one.text, one]));
  return [...shown.values()].slice(0, 8).map((place) =>
    el(
      "button",
      { type: "button", class: "quiet", "data-key": `${key} ${place.text}`, onclick: () => app.goTo(place) },
      `Show ${place.text}`,
    ),
  );
}

function origins(list, key, app) {
  return list.slice(0, 4).map((origin, at) =>
    el(
      "button",
      { type: "button", class: "quiet", "data-key": `${key} line ${at}`, onclick: () => app.goToLine(origin) },
      `See ${origin.file}, line ${origin.line}`,
    ),
  );
}

function explained(rule, app) {
  const text = el("pre", { tabindex: 0 });
  const show = (event) => {
    if (event.target.open && text.textContent === "") {
      text.append(app.ask("explain_rule", { rule }).text ?? "");
    }
  };
  return el("details", { ontoggle: show }, el("summary", {}, `What this check looks for: ${app.about.rules[rule] ?? rule}`), text);
}

// An image holds no sheet that could be mended, and a question must be answered first.
const mendable = ({ site, report }) => site && report.findings.length > 0 && report.questions.length === 0;

// The act that a question is about, by its position: those that wait for a person are asked about last.
function toConfirm({ site, report }, at) {
  const acts = site?.to_confirm ?? [];
  return acts[at - (report.questions.length - acts.length)];
}

// What was seen once an act was done.
function confirmForm(act, app) {
  const field = (name) => el("input", { type: "text", value: name === "by" ? (app.ui.by ?? "") : "", autocomplete: "off", "data-key": `act ${act} ${name}` });
  const [seen, by] = [field("seen"), field("by")];
  const submit = (event) => {
    event.preventDefault();
    app.ui.by = by.value;
    const time = new Date(Date.now() - new Date().getTimezoneOffset() * 60_000).toISOString().slice(0, 16).replace("T", " ");
    if (app.edit([{ do: "confirm", act, seen: seen.value, by: by.value, time }])) app.say("Written down with the time.");
  };
  return el(
    "form",
    { onsubmit: submit },
    el("div", { class: "fields" }, labelled("What was seen at the plant", seen), labelled("Initials", by)),
    el("p", { class: "row" }, el("button", { type: "submit", "data-key": `act ${act} confirm` }, "It is done, and I looked")),
  );
}

function asked(question, at, act, app) {
  return el(
    "article",
    { class: "finding", "data-severity": "ask" },
    el("h3", {}, el("span", { class: "severity" }, "ask: "), question.says),
    act === undefined ? pairs([["Do", question.answer]]) : confirmForm(act, app),
    el("p", { class: "row" }, origins(question.origins, `question ${at}`, app)),
  );
}

function unread(error, at, app) {
  const origin = error.line ? [{ ...error, file: error.file }] : [];
  return el(
    "article",
    { class: "finding", "data-severity": "danger" },
    el("h3", {}, el("span", { class: "severity" }, "error: "), error.says),
    error.expected ? pairs([["Expected", error.expected]]) : null,
    el("p", { class: "row" }, origins(origin, `error ${at}`, app)),
  );
}

function waiver(waived, at, app) {
  return el(
    "article",
    { class: "finding", "data-severity": "note" },
    el("h3", {}, el("span", { class: "severity" }, "waived: "), waived.finding.says),
    pairs([
      ["Reason", waived.reason],
      ["By", waived.by],
      ["Until", waived.until],
    ]),
    el("p", { class: "row" }, origins(waived.origins, `waiver ${at}`, app)),
  );
}

function list({ title, items }, { site }, app) {
  const declare = () => app.goTo({ group: true });
  return el(
    "details",
    { class: "list", open: OPEN.includes(title) },
    el("summary", {}, title.replace(/:$/, "")),
    el("ul", {}, items.map((item) => el("li", {}, item))),
    site && title === OPEN[0] ? el("p", { class: "row" }, el("button", { type: "button", "data-key": "declare", onclick: declare }, "Open the facts of the site as a whole")) : null,
  );
}

function asText(text) {
  return el(
    "details",
    { class: "list" },
    el("summary", {}, "All of it as text"),
    el("pre", { id: "text", tabindex: 0 }, text),
  );
}
