// Drills: a hidden fault, readings that cost something, a claim, a score. What is wrong is known to
// the library alone until it is claimed or given up.

import { byId, choice, copyLink, el, fill, labelled } from "./dom.js";
import { drillHash, drillOf } from "./drill-link.js";
import { picture } from "./parts.js";
import { showBroken } from "./show.js";

const LEVELS = [["", "any"], ["easy", "easy"], ["medium", "medium"], ["hard", "hard"]];

export function wireDrill(app) {
  const drill = { units: 4, profile: "plain", number: 1 + Math.floor(Math.random() * 9999), faults: 1, level: "", paper: false, kind: "", mode: "set", hand: [], did: [], read: [] };
  app.drill = drill;
  byId("drill-open").addEventListener("click", () => turn(app, true));
  byId("drill-close").addEventListener("click", () => turn(app, false));
}

function turn(app, isOpen) {
  document.body.toggleAttribute("data-drill", isOpen);
  byId("drill").hidden = !isOpen;
  scrollTo(0, 0);
  if (isOpen) showDrill(app);
  app.keepInAddress();
  byId(isOpen ? "drill-close" : "drill-open").focus();
}

// What the library is asked by; the same gives the same on every device.
export function drillAsked({ drill }) {
  const { units, profile, number, faults, level, paper, kind, hand } = drill;
  const kinds = kind === "" || hand.length > 0 ? [] : [kind];
  return { units, profile, number, faults, level: level || null, on_paper: paper, kinds, hand, width: byId("drill").clientWidth - 40 };
}

export function drillAsk(app, what) {
  const answer = app.ask("drill", { ...drillAsked(app), ...what });
  if (typeof answer.refused !== "string") return answer;
  app.warn(answer.refused);
  return null;
}

export function showDrill(app) {
  app.calm();
  const { mode } = app.drill;
  const inside = mode === "play" ? played(app) : mode === "show" ? showBroken(app) : set(app);
  fill(byId("drill-inside"), inside);
}

export function go(app, mode) {
  app.drill.mode = mode;
  showDrill(app);
  app.keepInAddress();
  scrollTo(0, 0);
  byId("drill-inside").querySelector("h3")?.focus();
}

export const heading = (text) => el("h3", { tabindex: -1 }, text);

// A drill is begun anew: drawn, or with a fault set by hand, or out of a link.
function beginDrill(app, hand) {
  const { drill } = app;
  Object.assign(drill, { hand, did: [], read: [], score: null, over: null, claimed: { title: "", place: "" }, said: "" });
  const made = drillAsk(app, { do: "make" });
  if (!made) return false;
  drill.made = made;
  drill.suspects = drillAsk(app, { do: "suspects" });
  go(app, "play");
  return true;
}

// What the address holds of a drill while one is played; nothing while none is.
export function drillInAddress({ drill }) {
  return document.body.hasAttribute("data-drill") && drill.mode === "play" ? drillHash(drill) : "";
}

// A drill out of a link; whether it was one.
export function openDrill(link, app) {
  const asked = drillOf(link);
  if (asked === undefined) return false;
  if (asked === null) {
    app.warn("This link to a drill is damaged or cut short. Ask for it once more.");
    return true;
  }
  Object.assign(app.drill, asked, { mode: "set" });
  turn(app, true);
  beginDrill(app, asked.hand);
  return true;
}

// Where the trainer chooses.
function set(app) {
  const { drill } = app;
  // Nothing but the bench below is made anew: whoever leaves a field by tapping a button taps it.
  const hand = el("div", {});
  const keep = (key, of) => ({ target }) => {
    drill[key] = of(target);
    if (target.type === "number") target.value = drill[key];
    drill.hand = [];
    drill.shown = undefined;
    fill(hand, byHand(app));
  };
  const whole = ({ value, min, max }) => Math.min(Math.max(Math.trunc(Number(value)) || 1, Number(min)), Number(max));
  const number = (key, max, min = 1) =>
    el("input", { type: "number", inputmode: "numeric", min, max, value: drill[key], "data-key": `drill ${key}`, onchange: keep(key, whole) });
  const of = (key, options) => choice(options, drill[key], { "data-key": `drill ${key}`, onchange: keep(key, ({ value }) => value) });
  const profiles = app.about.profiles.map(({ name }) => [name, name]);
  const paper = el("input", { type: "checkbox", checked: drill.paper, "data-key": "drill paper", onchange: keep("paper", ({ checked }) => checked) });
  return [
    heading("The trainer sets it"),
    el("p", { class: "note" }, "The same number gives the same drill on every phone, and on the command line."),
    el(
      "div",
      { class: "fields" },
      labelled("Number of the drill", number("number", 999999)),
      labelled("Units on the bench", number("units", 12, 2)),
      labelled("Profile", of("profile", profiles)),
      labelled("Faults at once", number("faults", 3)),
      labelled("How hard", of("level", LEVELS)),
      labelled("Only this kind of fault", of("kind", [["", "any"], ...app.about.drill_kinds.map(({ kind, title }) => [kind, title])])),
      el("label", { class: "field tick" }, paper, el("span", {}, "On paper: the sheets show the fault")),
    ),
    el(
      "p",
      { class: "row" },
      el("button", { type: "button", class: "main", "data-key": "drill draw", onclick: () => beginDrill(app, []) }, "Draw a hidden fault"),
      el("button", { type: "button", "data-key": "drill show", onclick: () => go(app, "show") }, "Show mode"),
    ),
    fill(hand, byHand(app)) ?? hand,
  ];
}

// A fault that the trainer chooses, out of the learners' sight.
function byHand(app) {
  const inside = el("div", {});
  const open = ({ target }) => {
    if (!target.open || inside.firstChild) return;
    const bench = drillAsk(app, { do: "bench" });
    if (!bench) return;
    const [kind, place] = kindAndPlace(bench.faults, "hand", { title: "", place: "" });
    const start = () => (place.value === "" ? app.warn("Choose the fault and its place first.") : beginDrill(app, [place.value]));
    inside.append(kind.label, place.label, el("p", { class: "row" }, el("button", { type: "button", "data-key": "drill hide", onclick: start }, "Hide this fault")));
  };
  return el("details", { class: "list", ontoggle: open }, el("summary", { "data-key": "drill hand" }, "Set a fault by hand"), inside);
}

const UNCHOSEN = ["", "choose\u2026"];

// Two fields: what, and then where. The second has what the first leaves. Nothing is chosen before
// somebody chooses, and what was chosen is kept.
function kindAndPlace(faults, key, kept) {
  const titles = [...new Set(faults.map(({ title }) => title))].sort();
  const places = el("div", {});
  const place = { label: places, value: "" };
  const pick = (title, chosen) => {
    const own = faults.filter((fault) => fault.title === title);
    place.value = chosen;
    const list = choice([UNCHOSEN, ...own.map((fault) => [fault.id, fault.place])], chosen, {
      "data-key": `${key} place`,
      onchange: ({ target }) => {
        kept.place = place.value = target.value;
      },
    });
    fill(places, labelled("Place", list));
  };
  const onchange = ({ target }) => {
    Object.assign(kept, { title: target.value, place: "" });
    pick(target.value, "");
  };
  const kinds = choice([UNCHOSEN, ...titles.map((title) => [title, title])], kept.title, { "data-key": `${key} kind`, onchange });
  pick(kept.title, kept.place);
  return [{ label: labelled("Fault", kinds) }, place];
}

// What a learner sees.
function played(app) {
  const { drill } = app;
  const { made, read } = drill;
  const spent = read.reduce((sum, { cost }) => sum + cost, 0);
  return [
    heading(drill.hand.length > 0 ? "A fault set by hand" : `Drill ${made.number}`),
    el("p", { class: "note" }, `${made.head}.`),
    made.noticed.map((says) => el("p", { class: "noticed" }, says)),
    el("p", {}, made.task),
    el("p", { role: "status", class: "spent" }, `Readings used: ${spent}`),
    drill.over ? over(app) : [deadFirst(app), acts(app)],
    read.length > 0 ? el("h4", {}, "What was read") : null,
    el("div", { class: "log" }, read.map(told)),
    drill.over ? null : claim(app),
    el("details", { class: "list" }, el("summary", {}, "Drawing"), made.svg ? picture(made.svg) : null),
    el("details", { class: "list" }, el("summary", {}, "Sheets"), made.sheets.map(({ name, text }) => [el("h4", {}, name), el("pre", { tabindex: 0 }, text)])),
    handOn(app),
    el("p", { class: "row" }, el("button", { type: "button", "data-key": "drill again", onclick: () => go(app, "set") }, "Another drill")),
  ];
}

// The same drill for another phone.
function handOn(app) {
  const link = el("input", { type: "text", readonly: true, value: `${location.href.split("#")[0]}${drillHash(app.drill)}`, "data-key": "drill link" });
  const copy = () => copyLink(link, app, "The link is copied.");
  return el(
    "details",
    { class: "list" },
    el("summary", { "data-key": "drill share" }, "Hand this drill on"),
    el("p", { class: "note" }, "Whoever opens this link has the same drill from its beginning. What is wrong stands in it, though not in plain words: it is no secret, as nothing is that a phone can tell when somebody gives up."),
    labelled("Link", link),
    el("p", { class: "row" }, el("button", { type: "button", "data-key": "drill copy", onclick: copy }, "Copy the link")),
  );
}

const told = ({ id, shown }) => el("p", {}, el("strong", {}, `${id}: `), el("span", { class: "shown" }, shown));

// Where the focus goes when what had it is no more.
const stay = (key) => byId("drill-inside").querySelector(`[data-key='${key}']`)?.focus({ preventScroll: true });

const isDead = ({ did }) => did.findLast((one) => one.dead || one.read === "listen")?.dead === true;

function deadFirst(app) {
  const { drill } = app;
  const prove = () => {
    drill.did.push({ dead: true });
    showDrill(app);
    // The button is done with; what comes next is below it.
    stay("acts-begin");
  };
  const done = isDead(drill);
  return el(
    "div",
    { class: "group first" },
    el("p", {}, drill.made.first),
    el("button", { type: "button", "data-key": "drill dead", disabled: done, onclick: prove }, done ? "Locked off and proven dead" : "Lock off and prove dead"),
  );
}

// Every act, those of one kind together; each costs what stands before it.
function acts(app) {
  const { made, read, open = new Set() } = app.drill;
  app.drill.open = open;
  const take = ({ id, cost }) => {
    const answer = drillAsk(app, { do: "read", act: id });
    if (!answer) return;
    app.drill.did.push({ read: id });
    read.push({ id, cost, shown: answer.shown });
    app.say(`${id}: ${answer.shown}`, true);
    showDrill(app);
    stay(`read ${id}`);
  };
  const kinds = [...new Set(made.acts.map(({ any }) => any))];
  const button = (act) => {
    const taken = read.some(({ id }) => id === act.id);
    return el("button", { type: "button", "data-key": `act ${act.id}`, disabled: taken, onclick: () => take(act) }, act.id);
  };
  const kind = (any) => {
    const own = made.acts.filter((act) => act.any === any);
    const ontoggle = ({ target }) => open[target.open ? "add" : "delete"](any);
    return el("details", { class: "list", open: open.has(any), ontoggle }, el("summary", { "data-key": `acts ${any}` }, `${any} (${own[0].cost})`), el("p", { class: "row" }, own.map(button)), own.map(result));
  };
  const result = ({ id }) => read.filter((one) => one.id === id).map((one) => fresh(told(one), id));
  const fresh = (line, id) => {
    line.setAttribute("tabindex", -1);
    line.dataset.key = `read ${id}`;
    return line;
  };
  return [el("h4", { tabindex: -1, "data-key": "acts-begin" }, "What to do, and what it costs"), kinds.map(kind)];
}

function claim(app) {
  const { drill } = app;
  const [kind, place] = kindAndPlace(drill.suspects, "claim", drill.claimed);
  const weigh = (isLast) => {
    drill.score = drillAsk(app, { do: "score", did: drill.did });
    if (drill.score.solved || isLast) drill.over = drillAsk(app, { do: "answers" });
    showDrill(app);
    const score = drill.over ? byId("drill-inside").querySelector(".score") : null;
    score?.focus({ preventScroll: true });
    score?.scrollIntoView({ block: "center" });
  };
  const tell = (says) => {
    drill.said = says;
    app.say(says, true);
    showDrill(app);
  };
  const state = () => {
    if (place.value === "") {
      tell("Choose the fault and its place first.");
      return;
    }
    const before = drill.score?.wrong ?? 0;
    drill.did.push({ claim: place.value });
    weigh(false);
    if (drill.over) return;
    const { against, wrong } = drill.score;
    tell(wrong > before ? `That is not it. ${against ? `${against}.` : "No reading that was taken speaks against it."}` : "Right. There is more.");
  };
  const says = drill.score ? el("p", { class: "stop" }, `Not solved yet. Wrong claims so far: ${drill.score.wrong}.`) : null;
  return el(
    "div",
    { class: "group claim" },
    el("h4", {}, "What is wrong, and where?"),
    kind.label,
    place.label,
    says,
    el(
      "p",
      { class: "row" },
      el("button", { type: "button", class: "main", "data-key": "drill claim", onclick: state }, "Claim it"),
      el("button", { type: "button", "data-key": "drill up", onclick: () => weigh(true) }, "Give up"),
    ),
    drill.said ? el("p", { class: "said" }, drill.said) : null,
    el("p", { class: "note" }, drill.made.scale),
  );
}

// The score, then reason, proof and mend.
function over(app) {
  const { score, over } = app.drill;
  const word = (term, says) => [el("dt", {}, term), el("dd", {}, says)];
  return [
    el("p", { class: "score", tabindex: -1, "data-look": score.solved && score.missed.length === 0 ? "calm" : "attention" }, score.says),
    score.missed.map((says) => el("p", { class: "stop" }, el("strong", {}, "Danger missed: "), says)),
    over.faults.map((fault) =>
      el(
        "div",
        { class: "group", "data-severity": fault.severity },
        el("h3", {}, el("span", { class: "severity" }, `${fault.severity}: `), fault.title),
        el("p", {}, el("strong", {}, fault.place)),
        el("dl", {}, word("why", fault.why), word("prove", fault.prove), word("mend", fault.mend), word("sure", `${fault.confirmed_by}: ${fault.confirmed}`)),
        el("p", { class: "note" }, `An ideal search takes ${fault.readings}, and ${fault.at_most} at the most for any of the ${fault.rivals} other faults that would be noticed alike:`),
        el("ol", {}, fault.way.map(({ says, shown }) => el("li", {}, `${says}: ${shown}`))),
      ),
    ),
  ];
}
