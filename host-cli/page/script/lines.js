// Cables between units, drawn as brackets in the margin left of the units.

import { byId, svg } from "./dom.js";

const LANE = 14;
const MOST_LANES = 5;

// Cables between two units, each in the innermost lane that is free along its way.
export function lanes(site) {
  const names = site.units.map((unit) => unit.facts.name);
  const spans = site.cables
    .map((cable, at) => ({ at, cable, ends: [names.indexOf(cable.from), names.indexOf(cable.to)].sort((a, b) => a - b) }))
    .filter(({ ends }) => ends[0] >= 0);
  spans.sort((a, b) => a.ends[1] - a.ends[0] - (b.ends[1] - b.ends[0]) || a.ends[0] - b.ends[0] || a.at - b.at);
  const taken = [];
  for (const span of spans) {
    const overlaps = (other) =>
      (span.ends[0] < other.ends[1] && other.ends[0] < span.ends[1]) ||
      (span.ends[0] === span.ends[1] && other.ends.includes(span.ends[0])) ||
      (other.ends[0] === other.ends[1] && span.ends.includes(other.ends[0]));
    span.lane = 0;
    while (taken.some((other) => other.lane === span.lane && overlaps(other))) span.lane += 1;
    span.lane = Math.min(span.lane, MOST_LANES - 1);
    taken.push(span);
  }
  return spans;
}

// Where the head of each unit is decides where its lines end; they are drawn again when it moves.
export function drawLines(site, marks, app) {
  const list = byId("units");
  const ladder = list.parentElement;
  const spans = lanes(site);
  const count = Math.max(1, ...spans.map((span) => span.lane + 1));
  const margin = 14 + count * LANE;
  ladder.style.setProperty("--margin", `${margin}px`);
  ladder.querySelector("svg")?.remove();
  const top = ladder.getBoundingClientRect().top;
  const middle = [...list.children].map((unit) => {
    const box = unit.firstElementChild.getBoundingClientRect();
    return box.top - top + box.height / 2;
  });
  const height = ladder.getBoundingClientRect().height;
  const drawing = svg("svg", { class: "lines", width: margin, height, "aria-hidden": "true" });
  for (const { cable, ends, lane, at } of spans) {
    const [from, to] = [middle[ends[0]] + 7, middle[ends[1]] + (ends[0] === ends[1] ? 15 : -7)];
    const x = margin - 10 - lane * LANE;
    const way = `M${margin} ${from}H${x}V${to}H${margin}`;
    const broken = marks.has(`cable ${cable.label}`);
    const open = () => app.goTo({ cable: cable.label, position: at });
    drawing.append(
      svg("path", { class: "line", d: way, "data-kind": cable.kind ?? "", "data-broken": String(broken) }),
      svg("path", { class: "touch", d: way, onclick: open }),
    );
  }
  ladder.append(drawing);
}
