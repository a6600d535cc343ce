// Show mode: something is broken before everybody's eyes, and what check, meter and gateway say of it
// stands beside the site as it should be.

import { choice, el, labelled } from "./dom.js";
import { drillAsk, go, heading, showDrill } from "./drill.js";
import { picture } from "./parts.js";

export function showBroken(app) {
  const { drill } = app;
  const bench = drillAsk(app, { do: "bench" });
  if (!bench) return [heading("Show mode"), back(app)];
  const show = (drill.shown ??= { acts: [], cable: bench.cables[0], unit: "1", to: "2" });
  const answer = drillAsk(app, { do: "show", acts: show.acts });
  const act = (what) => () => {
    show.acts.push(what());
    showDrill(app);
  };
  const of = (key, options) =>
    choice(options.map((one) => [String(one), String(one)]), String(show[key]), {
      "data-key": `show ${key}`,
      onchange: ({ target }) => {
        show[key] = target.value;
      },
    });
  const units = Array.from({ length: bench.units }, (_, at) => at + 1);
  const button = (key, words, what) => el("button", { type: "button", "data-key": `show ${key}`, onclick: act(what) }, words);
  const unit = () => Number(show.unit);
  const done = show.acts.map((one) => deed(one)).join("; ");
  return [
    heading("Show mode"),
    el(
      "div",
      { class: "fields" },
      labelled("Cable", of("cable", bench.cables)),
      labelled("Unit", of("unit", units)),
      labelled("New address", of("to", [...units, bench.units + 1])),
    ),
    el(
      "p",
      { class: "row" },
      button("pull", "Pull the cable", () => ({ do: "pull", cable: show.cable })),
      button("swap", "Swap its two wires", () => ({ do: "swap", cable: show.cable })),
      button("flip", "Flip the terminator", () => ({ do: "flip", unit: unit() })),
      button("renumber", "Renumber the unit", () => ({ do: "renumber", unit: unit(), to: Number(show.to) })),
      el(
        "button",
        {
          type: "button",
          "data-key": "show mend",
          disabled: show.acts.length === 0,
          onclick: () => {
            show.acts = [];
            showDrill(app);
          },
        },
        "Make it right again",
      ),
      back(app),
    ),
    el("p", { role: "status", class: "noticed" }, done === "" ? "All is as it should be." : `Done: ${done}.`),
    el("div", { class: "beside" }, column("As it should be", answer, answer.right), column("As it is now", answer, answer.now)),
    answer.svg ? [el("h4", {}, "The line as it is now"), picture(answer.svg)] : null,
  ];
}

const back = (app) => el("button", { type: "button", "data-key": "show back", onclick: () => go(app, "set") }, "Back");

function deed(one) {
  if (one.do === "pull") return `cable ${one.cable} pulled`;
  if (one.do === "swap") return `wires of cable ${one.cable} swapped`;
  if (one.do === "flip") return `terminator of unit ${one.unit} flipped`;
  return `unit ${one.unit} set to address ${one.to}`;
}

// What is otherwise than in the right site is marked, and not by colour alone.
function column(title, { right, listens_at: at }, view) {
  const item = (severity, says) => el("li", { "data-severity": severity }, el("strong", { class: "severity" }, severity === "" ? "" : `${severity}: `), says);
  const list = (items, none) => (items.length === 0 ? el("p", { class: "none" }, none) : el("ul", {}, items));
  const ohms = view.ohms.map(([unit, shown], nth) => {
    const differs = right.ohms[nth]?.[1] !== shown;
    return el("li", { class: differs ? "differs" : "" }, `${unit}: `, el("strong", {}, shown), differs ? " (!)" : "");
  });
  return el(
    "section",
    {},
    el("h4", {}, title),
    el("h5", {}, "The check of a list that says so"),
    list(view.findings.map(([severity, says]) => item(severity, says)), "Nothing is found."),
    el("h5", {}, "Ohms across the pair, dead"),
    el("ul", { class: "ohms" }, ohms),
    el("h5", {}, `Heard by the gateway at unit ${at}`),
    list(view.heard.map((says) => item("", says)), "Every unit, as declared."),
  );
}
