// The way through a job day: what of it is done and open for this site, each with its place here.

import { byId, el, fill } from "./dom.js";
import { request } from "./state.js";

const SIGNS = { done: "\u2713", open: "\u25cb", stop: "!", waits: "\u2013" };
const STANDINGS = { done: "done", open: "open", stop: "STOP", waits: "waits" };
// What the command line calls by its commands, and where it is here: a tab, or a part of what is to do.
const PLACES = {
  check: ["Check", "found"],
  mend: ["Mend", "mend"],
  size: ["Sizes", "sizes"],
  meter: ["Meter", "meter"],
  powerup: ["Steps", "day"],
  sensors: ["Sensors", "day"],
  changeover: ["Changeover", "day"],
  report: ["Report", "start", "save-report"],
};

const PARTS = ["mend", "sizes", "meter"];

// Worked out only while it is in view.
export function showWay(state, app) {
  const panel = byId("way");
  if (panel.offsetParent === null && state.sheets.length > 0) return;
  if (state.sheets.length === 0) {
    fill(panel, el("p", { class: "note" }, "A job day: design (sheets, check, sizes), dead (dead tests, meter), live (one unit after the other), hand-over (the sheet to sign)."));
    return;
  }
  const day = app.ask("day_way", { ...request(state), readings: app.ui.readings, time: `${new Date().toISOString().slice(0, 19)}Z` });
  if (day.refused) {
    fill(panel);
    return;
  }
  const station = (one, at) => {
    const [name, tab, button] = PLACES[one.command];
    const go = () => {
      if (PARTS.includes(tab)) {
        app.showPart(tab);
        return;
      }
      app.tab(tab, true);
      if (!button) return;
      byId(button).scrollIntoView({ block: "center" });
      byId(button).focus();
    };
    const isNext = at === day.next;
    return el(
      "li",
      { class: one.standing },
      el("span", { class: "sign", "aria-hidden": "true" }, SIGNS[one.standing]),
      el("button", { type: "button", class: isNext ? "main" : undefined, "data-key": `way ${at}`, onclick: go }, name),
      el("span", {}, `${STANDINGS[one.standing]}: ${one.says}${isNext ? " \u2190 next" : ""}`),
    );
  };
  const parts = [...new Set(day.stations.map(({ part }) => part))];
  const of = (part) => day.stations.map((one, at) => [one, at]).filter(([one]) => one.part === part);
  fill(
    panel,
    el("h3", {}, "The way through the day"),
    parts.map((part) => [el("h4", {}, part), el("ul", { class: "way" }, of(part).map(([one, at]) => station(one, at)))]),
  );
}
