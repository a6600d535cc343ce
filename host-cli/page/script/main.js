// Everything put together: the state changes, the library answers, the page shows it.

import { showConnect } from "./connect.js";
import { showDay, wireDay } from "./day.js";
import { byId } from "./dom.js";
import { drillInAddress, openDrill, wireDrill } from "./drill.js";
import { engine } from "./engine.js";
import { openLink, showFiles, wireFiles } from "./files.js";
import { showFindings, showNothing, showVerdict } from "./findings.js";
import { wireForm } from "./form.js";
import { drawLines } from "./lines.js";
import { marksOf } from "./marks.js";
import { showParts } from "./parts.js";
import { selectLine, showSheets, wireSheets } from "./sheets.js";
import { History, emptyState, fragment, request } from "./state.js";
import { wireLight, wireTabs } from "./tabs.js";
import { showWay } from "./way.js";

async function begin() {
  wireLight();
  let ask;
  try {
    ask = await engine(byId("engine").textContent);
  } catch (error) {
    byId("warning-text").textContent = `This page cannot run: the file is damaged, or the browser is too old (${error.message}). Copy the file once more, or open it in another browser.`;
    byId("warning").hidden = false;
    return;
  }
  const app = {
    ask,
    about: ask("about"),
    answer: {},
    ownHash: "",
    beforeAct: () => {},
    ui: { chosen: null, cables: null, unit: null, sheet: 0, group: false, parts: new Set(["drawing", "settings"]) },
  };
  app.history = new History(emptyState(), (typing) => changed(app, typing));
  wire(app);
  app.tab("start");
  const { hash } = location;
  if (hash.length > 1 && !hash.startsWith("#drill=") && (await openLink(hash, app))) app.tab("connect");
  else app.render();
  openDrill(hash, app);
  // For the console, and for tests: the library itself, and the present answer.
  globalThis.coldcheck = { ask, answer: () => app.answer, open: (state) => app.history.put({ ...emptyState(), ...state }) };
  document.body.dataset.ready = "true";
}

function wire(app) {
  // Read out, and seen for as long as it takes to read, unless the page shows the same in its place.
  app.say = (text, isShown = false) => {
    const said = byId("said");
    said.textContent = text;
    if (isShown) {
      // What is open beside it says the same.
      delete said.dataset.shown;
      return;
    }
    said.dataset.shown = "true";
    clearTimeout(app.unsaid);
    app.unsaid = setTimeout(() => delete said.dataset.shown, 2500 + 25 * text.length);
  };
  app.warn = (text) => {
    byId("warning-text").textContent = text;
    byId("warning").hidden = false;
  };
  app.calm = () => {
    byId("warning").hidden = true;
  };
  app.render = () => show(app, "");
  app.keepInAddress = () => keepInAddress(app);
  app.begin = (sheets) => {
    app.ui = { ...app.ui, chosen: null, cables: null, unit: null, sheet: 0, group: false };
    app.history.change({ sheets });
  };
  app.edit = (changes) => edit(app, changes);
  app.disconnect = (position) => {
    const { label } = app.answer.site.cables[position];
    const here = app.ui.cables;
    app.ui.cables = null;
    if (app.edit([{ do: "disconnect", cable: position }])) app.say(`Taken out: ${label ?? "the cable"}`);
    else app.render();
    focusOn(here ? `port ${here.unit} ${here.port}` : "add unit");
  };
  app.showPart = (id) => {
    app.ui.parts.add(id);
    app.tab("dial");
    const head = [...document.querySelectorAll("#parts summary")].find((one) => one.dataset.key === `part ${id}`);
    head?.scrollIntoView({ block: "start" });
    head?.focus({ preventScroll: true });
  };
  app.focusOn = focusOn;
  app.goTo = (place) => goTo(app, place);
  app.goToLine = (origin) => {
    app.tab("sheets");
    selectLine(app, origin);
  };
  // Lines are measured on what is shown, so they are drawn when it comes into view.
  app.tab = wireTabs(() => app.shown && app.render());
  wireSheets(app);
  wireFiles(app);
  wireForm(app);
  wireDay(app);
  wireDrill(app);
  byId("dial-cautions").textContent = app.about.cautions;
  byId("day-cautions").textContent = app.about.cautions;
  byId("version").textContent = app.about.version;
  byId("skip").addEventListener("click", () => byId("main").focus());
  byId("undo").addEventListener("click", () => step(app, "undo"));
  byId("redo").addEventListener("click", () => step(app, "redo"));
  byId("warning-close").addEventListener("click", app.calm);
  byId("verdict").addEventListener("click", () => app.tab("found", true));
  addEventListener("keydown", (event) => keys(app, event));
  addEventListener("resize", () => resized(app));
}

// What is measured is measured again. Forms stay as they are: a phone's keyboard changes the size
// while a person types, and what is typed is in no sheet yet.
function resized(app) {
  measureStrip();
  if (!app.answer.site) return;
  if (byId("units")?.offsetParent) drawLines(app.answer.site, marksOf(app.answer.report), app);
  const { clientWidth } = byId("parts");
  if (clientWidth > 0 && clientWidth !== app.ui.width) showParts(app.history.state, app);
}

// What lies above the strip with the cautions has to know how high that is.
function measureStrip() {
  document.documentElement.style.setProperty("--strip", `${byId("cautions-short").offsetHeight}px`);
}

// Where the focus goes when what had it is gone.
function focusOn(key) {
  if (document.activeElement !== document.body) return;
  const found = [...document.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);
  found?.focus({ preventScroll: true });
}

function step(app, way) {
  app.beforeAct();
  if (app.history[way]()) app.say(way === "undo" ? "One step back" : "One step on");
}

function keys(app, event) {
  if (event.key === "Escape" && app.ui.chosen) {
    app.ui.chosen = null;
    app.render();
    return;
  }
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  const way = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
  if (way === null) return;
  event.preventDefault();
  step(app, way);
}

// Changes, one after the other, as one step; none of them if one is refused.
function edit(app, changes) {
  app.beforeAct();
  let { sheets } = app.history.state;
  let anew = false;
  for (const change of changes) {
    const answer = app.ask("edit_site", { sheets, change });
    if (answer.refused) {
      // What was typed stays, to be mended.
      app.warn(answer.refused);
      return false;
    }
    sheets = answer.sheets;
    anew ||= answer.anew;
  }
  app.calm();
  app.history.change({ sheets });
  if (anew) app.warn("The sheets were written anew in their canonical form; they say the same, and undo brings back the old text.");
  return true;
}

function changed(app, typing) {
  show(app, typing);
  keepInAddress(app);
}

// The address holds the state, so that the page can be closed, reloaded and shared.
async function keepInAddress(app) {
  const { state } = app.history;
  const drill = drillInAddress(app);
  const text = state.sheets.length > 0 && drill === "" ? await fragment(state) : undefined;
  if (state !== app.history.state || drill !== drillInAddress(app)) return;
  app.ownHash = text === undefined ? drill : `#${text}`;
  try {
    history.replaceState(null, "", app.ownHash || location.href.split("#")[0]);
  } catch {
    // A browser may forbid it for a file; the link can still be copied.
  }
}

function show(app, typing) {
  const { state } = app.history;
  if (state !== app.shown) {
    app.answer = state.sheets.length > 0 ? app.ask("show_site", request(state)) : {};
    app.shown = state;
  }
  const { answer } = app;
  byId("undo").disabled = app.history.before.length === 0;
  byId("redo").disabled = app.history.after.length === 0;
  byId("site-name").textContent = answer.site?.name ?? "";
  if (state.sheets.length > 0) {
    showVerdict(answer);
    showFindings(answer, app);
  } else {
    showNothing();
  }
  showConnect(answer, app);
  showSheets(app, typing);
  showParts(state, app);
  showDay(state, app);
  showWay(state, app);
  showFiles(app);
  measureStrip();
}

function goTo(app, place) {
  const { site } = app.answer;
  if (!site) return;
  if (place.thing !== undefined) {
    app.tab("connect");
    reveal([...document.querySelectorAll("[data-thing]")].find((one) => one.dataset.thing === place.thing));
    return;
  }
  if (place.group) {
    app.ui.group = true;
    app.tab("connect");
    const head = document.querySelector("#plan summary");
    head?.scrollIntoView({ block: "center" });
    head?.focus({ preventScroll: true });
    return;
  }
  let { unit } = place;
  if (place.cable !== undefined) {
    const at = place.position ?? site.cables.findIndex((cable) => cable.label === place.cable);
    const cable = site.cables[at];
    if (!cable) return;
    const isFrom = site.units.some((one) => one.facts.name === cable.from);
    unit = isFrom ? cable.from : cable.to;
    app.ui.cables = { unit, port: isFrom ? cable.from_port : cable.to_port };
  }
  app.ui.chosen = null;
  app.tab("connect");
  app.render();
  reveal([...document.querySelectorAll(".unit")].find((one) => one.dataset.unit === unit));
}

function reveal(card) {
  card?.scrollIntoView({ block: "start" });
  card?.querySelector("button")?.focus({ preventScroll: true });
}

begin();
