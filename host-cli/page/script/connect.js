// The units with their sockets. Tap one socket, then the other, and a cable joins them.

import { byId, el, fill } from "./dom.js";
import { cableForm, disputed, ends, groupForm, unitForm } from "./facts.js";
import { drawLines } from "./lines.js";
import { marksOf, said, shownMarks, together, unseen } from "./marks.js";
import { showThings } from "./things.js";

// What a socket of each class may also be joined to, apart from another socket.
const OTHER_ENDS = {
  link: ["terminator plug", "no other end"],
  battery: ["pack 1", "new pack"],
  sensor: ["CT L1", "CT L2", "CT L3"],
  meter: ["meter"],
  service: ["router"],
};

export function showConnect(answer, app) {
  const panel = byId("plan");
  if (!answer.site) {
    const { sheets } = app.history.state;
    let says = "The sheets cannot be read as they are. Mend their text where the findings say so, or undo.";
    if (sheets.length === 0) says = "Begin with a new site, or open one.";
    if (sheets.some((sheet) => sheet.hex)) says = "A plan image is checked, but it cannot be changed: open the sheets that it was made from.";
    fill(panel, el("p", { class: "note" }, says));
    return;
  }
  const { units, cables } = answer.site;
  const marks = marksOf(answer.report);
  const loose = cables.map((cable, at) => ({ cable, at })).filter(({ cable }) => !isAt(cable, units));
  const list = el(
    "ol",
    { class: "units", id: "units" },
    units.map((unit) => unitCard(unit, answer, marks, app)),
  );
  fill(
    panel,
    groupForm(answer, together(marks, ["group"]), app),
    el("div", { class: "ladder" }, list),
    el("p", { class: "row" }, el("button", { type: "button", "data-key": "add unit", onclick: () => app.edit([{ do: "add unit" }]) }, "One more unit")),
    loose.length > 0 ? el("h3", {}, "Cables that reach no unit") : null,
    loose.map(({ cable, at }) => cableForm(cable, at, marks, app)),
    showThings(answer.site, marks, app),
    el("p", { class: "note legend" }, "Lines on the left are cables between units: solid for the link, dashed for all others. Numbers are those of the findings."),
  );
  drawLines(answer.site, marks, app);
  // What has just opened is seen whole.
  const opened = app.ui.chosen ?? app.ui.cables;
  if (opened && opened !== app.ui.seen) panel.querySelector(".inside:not(.tray)")?.scrollIntoView({ block: "nearest" });
  app.ui.seen = opened;
}

const isAt = (cable, units) => units.some((unit) => [cable.from, cable.to].includes(unit.facts.name));

function unitCard(unit, answer, marks, app) {
  const { name, role, address, terminator } = unit.facts;
  const both = disputed(answer.site, { unit: name });
  const isOpen = app.ui.unit === name;
  const own = together(marks, [`unit ${name}`]);
  const chosenHere = app.ui.chosen?.unit === name;
  const seen = app.ui.cables?.unit === name ? app.ui.cables : null;
  const toggle = () => {
    app.ui.unit = isOpen ? null : name;
    app.render();
  };
  return el(
    "li",
    { class: "unit", "data-unit": name },
    el(
      "button",
      {
        type: "button",
        class: "unit-head",
        "aria-expanded": String(isOpen),
        "data-key": `head ${name}`,
        onclick: toggle,
      },
      el("strong", {}, name),
      el("span", {}, [role ?? both.role ?? "no role", (address ?? both.address) === undefined ? "no address" : `address ${address ?? both.address}`].join(", ")),
      shownMarks(own),
      unseen(said(own)),
    ),
    el(
      "div",
      { class: "ports" },
      answer.site.ports.map((port) => socket(unit, port, answer.site, marks, app)),
      terminatorSwitch(name, terminator, both.terminator, marks, app),
    ),
    chosenHere ? tray(app.ui.chosen, answer.site, app) : null,
    seen ? seenCables(seen, answer.site, marks, app) : null,
    isOpen ? el("div", { class: "inside" }, unitForm(unit, app)) : null,
  );
}

function terminatorSwitch(name, value, both, marks, app) {
  const own = together(marks, [`terminator ${name}`]);
  const isOn = value !== undefined && value !== "off";
  const change = { do: "set", unit: name, key: "terminator", value: isOn ? "off" : "on" };
  return el(
    "button",
    {
      type: "button",
      class: "port terminator",
      "aria-pressed": String(isOn),
      "data-key": `terminator ${name}`,
      onclick: () => app.edit([change]),
    },
    el("span", {}, "terminator"),
    unseen(` of ${name}: `),
    el("small", {}, value ?? both ?? "not declared"),
    unseen(said(own)),
    shownMarks(own),
  );
}

// The cables in a socket, with their positions.
function inSocket(site, unit, port) {
  const is = (name, socketName) => name === unit && socketName === port;
  return site.cables
    .map((cable, at) => ({ cable, at }))
    .filter(({ cable }) => is(cable.from, cable.from_port) || is(cable.to, cable.to_port));
}

function otherEnd(cable, unit, port) {
  const isFrom = cable.from === unit && cable.from_port === port;
  const end = isFrom ? [cable.to, cable.to_port] : [cable.from, cable.from_port];
  return end.filter(Boolean).join(" ");
}

function socket(unit, port, site, marks, app) {
  const name = unit.facts.name;
  const cables = inSocket(site, name, port.name);
  const isChosen = app.ui.chosen?.unit === name && app.ui.chosen?.port === port.name;
  const own = together(marks, [`port ${name} ${port.name}`, ...cables.map(({ cable }) => `cable ${cable.label}`)]);
  const held = cables.map(({ cable }) => otherEnd(cable, name, port.name).replace(/^-$/, "nothing"));
  return el(
    "button",
    {
      type: "button",
      class: "port",
      "data-class": port.class,
      "data-used": String(cables.length > 0),
      "data-key": `port ${name} ${port.name}`,
      "aria-pressed": String(isChosen),
      onclick: () => tapped({ unit: name, port: port.name, class: port.class }, cables, app),
    },
    unseen(`${name}, socket `),
    el("span", {}, port.name),
    unseen(": "),
    el("small", {}, cables.length > 0 ? cables.map(({ cable }) => cable.label ?? "cable").join(" ") : "free"),
    unseen(`${held.length > 0 ? ` to ${held.join(" and ")}` : ""}${said(own)}`),
    shownMarks(own),
  );
}

function tapped(here, cables, app) {
  const { chosen } = app.ui;
  if (chosen && chosen.unit === here.unit && chosen.port === here.port) {
    app.ui.chosen = null;
    app.say("No end is chosen");
  } else if (chosen) {
    join(chosen, { name: here.unit, port: here.port }, app);
    return;
  } else if (cables.length > 0) {
    const same = app.ui.cables?.unit === here.unit && app.ui.cables?.port === here.port;
    app.ui.cables = same ? null : here;
  } else {
    choose(here, app);
  }
  app.render();
}

function choose(here, app) {
  app.ui.chosen = here;
  app.ui.cables = null;
  app.say(`${here.unit}, socket ${here.port}, is one end. Choose the other end.`, true);
}

function join(chosen, to, app) {
  const from = { name: chosen.unit, port: chosen.port };
  const kind = to.kind ?? chosen.class;
  app.ui.chosen = null;
  if (app.edit([{ do: "connect", from, to, kind }])) {
    app.say(`A cable joins ${from.name} ${from.port} and ${to.name} ${to.port}`.trim());
  } else {
    app.render();
  }
  app.focusOn(`port ${chosen.unit} ${chosen.port}`);
}

// What the chosen socket can be joined to without a second tap on a unit.
function tray(chosen, site, app) {
  const packs = site.packs.map((pack) => pack.name);
  const next = `pack ${packs.length + 1}`;
  const proposed = (OTHER_ENDS[chosen.class] ?? []).flatMap((end) => {
    if (end === "pack 1") return packs;
    if (end === "new pack") return [next];
    // A leg is on one input only.
    return site.cables.some((cable) => end.startsWith("CT ") && [cable.from, cable.to].includes(end)) ? [] : [end];
  });
  const to = (end) => {
    if (end === "terminator plug") return { name: "-", port: "", kind: "terminator" };
    if (end === "no other end") return { name: "-", port: "" };
    return { name: end, port: "" };
  };
  const button = (end) =>
    el("button", { type: "button", "data-key": `tray ${end}`, onclick: () => join(chosen, to(end), app) }, end);
  const cancel = () => {
    app.ui.chosen = null;
    app.say("No end is chosen");
    app.render();
    app.focusOn(`port ${chosen.unit} ${chosen.port}`);
  };
  return el(
    "div",
    { class: "inside tray" },
    el("p", {}, el("strong", {}, `${chosen.unit} ${chosen.port}`), " is one end. Tap the socket at the other end", proposed.length > 0 ? ", or:" : "."),
    el("p", { class: "row" }, proposed.map(button), el("button", { type: "button", "data-key": "tray cancel", onclick: cancel }, "Cancel")),
  );
}

function seenCables(here, site, marks, app) {
  const cables = inSocket(site, here.unit, here.port);
  if (cables.length === 0) return null;
  const another = () => {
    choose(here, app);
    app.render();
  };
  const close = () => {
    app.ui.cables = null;
    app.render();
    app.focusOn(`port ${here.unit} ${here.port}`);
  };
  return el(
    "div",
    { class: "inside", role: "group", "aria-label": cables.map(({ cable }) => ends(cable)).join(", ") },
    el(
      "p",
      { class: "row" },
      el("button", { type: "button", "data-key": "another cable", onclick: another }, `One more cable in ${here.unit} ${here.port}`),
      el("button", { type: "button", "data-key": "close cable", onclick: close }, "Close"),
    ),
    cables.map(({ cable, at }) => cableForm(cable, at, marks, app)),
  );
}
