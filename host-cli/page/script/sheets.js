// The text of the sheets: the one source of truth, typed or pasted.

import { byId, el, fill } from "./dom.js";

const NEW_NAMES = ["settings.txt", "cables.csv", "site.toml"];

// The text area is kept while a person types in it; all else is made anew.
export function showSheets(app, typing) {
  const { sheets } = app.history.state;
  if (app.ui.sheet >= sheets.length) app.ui.sheet = Math.max(0, sheets.length - 1);
  const present = sheets[app.ui.sheet];
  fill(
    byId("sheet-list"),
    sheets.map((sheet, at) =>
      el(
        "button",
        {
          type: "button",
          "data-key": `sheet ${at}`,
          "aria-pressed": String(at === app.ui.sheet),
          onclick: () => open(app, at),
        },
        sheet.name,
      ),
    ),
    el("button", { type: "button", "data-key": "new sheet", onclick: () => add(app) }, "Add a sheet"),
  );
  const area = byId("sheet-text");
  area.disabled = present === undefined || present.hex !== undefined;
  if (typing !== "sheet" || document.activeElement !== area) {
    const text = present?.text ?? "";
    if (area.value !== text) area.value = text;
  }
  byId("sheet-label").textContent = !present ? "No sheet yet" : present.hex ? `${present.name} is a plan image and has no text` : `Text of ${present.name}`;
  byId("sheet-remove").disabled = present === undefined;
  byId("sheet-save").disabled = area.disabled;
}

function open(app, at) {
  app.ui.sheet = at;
  app.history.settle();
  app.render();
}

function add(app) {
  const { sheets } = app.history.state;
  const names = sheets.map((sheet) => sheet.name);
  const free = NEW_NAMES.find((name) => !names.includes(name)) ?? `sheet-${sheets.length + 1}.txt`;
  app.ui.sheet = sheets.length;
  app.history.change({ sheets: [...sheets, { name: free, text: "" }] });
  byId("sheet-text").focus();
}

export function wireSheets(app) {
  let waiting;
  const area = byId("sheet-text");
  const take = () => {
    clearTimeout(waiting);
    waiting = undefined;
    const at = app.ui.sheet;
    const { sheets } = app.history.state;
    if (sheets[at] === undefined || sheets[at].text === area.value) return;
    const text = area.value;
    app.history.change({ sheets: sheets.map((sheet, other) => (other === at ? { ...sheet, text } : sheet)) }, "sheet");
  };
  area.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(take, 150);
  });
  // Whatever comes next must know what was typed.
  app.beforeAct = take;
  area.addEventListener("blur", () => {
    take();
    app.history.settle();
  });
  byId("sheet-remove").addEventListener("click", () => {
    const { sheets } = app.history.state;
    app.history.change({ sheets: sheets.filter((_, at) => at !== app.ui.sheet) });
    app.say("The sheet is gone. Undo brings it back.");
  });
}

// Shows a stretch of a sheet, as the findings name it: lines and columns in characters, from one.
export function selectLine(app, origin) {
  const at = app.history.state.sheets.findIndex((sheet) => sheet.name === origin.file);
  if (at < 0) return;
  app.ui.sheet = at;
  app.render();
  const area = byId("sheet-text");
  const lines = area.value.split("\n");
  const before = lines.slice(0, origin.line - 1).reduce((sum, line) => sum + line.length + 1, 0);
  const line = [...(lines[origin.line - 1] ?? "")];
  const part = (end) => line.slice(0, end).join("").length;
  area.focus();
  area.setSelectionRange(before + part(origin.column - 1), before + part(origin.end_column - 1));
  const height = Number.parseFloat(getComputedStyle(area).lineHeight);
  area.scrollTop = Math.max(0, (origin.line - 4) * height);
}
