// Sites that begin, come from files or links, and go into files and links.

import { byId, choice, copyLink, el, fill } from "./dom.js";
import { openDrill } from "./drill.js";
import { emptyState, fragment, fromLink, request } from "./state.js";

// More than this is no sheet; the library refuses such a one as well.
export const MOST_BYTES = 4 * 1024 * 1024;

export function save(name, parts, type, app) {
  const address = URL.createObjectURL(new Blob(parts, { type }));
  const link = el("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
  app.say(`${name} is with this device's downloads.`);
}

export function wireFiles(app) {
  wireNew(app);
  const load = byId("load");
  byId("open").addEventListener("click", () => load.click());
  load.addEventListener("change", async () => {
    await loadFiles([...load.files], app);
    load.value = "";
  });
  byId("save-site").addEventListener("click", () => {
    const answer = app.ask("tidy_site", request(app.history.state));
    if (answer.refused) app.warn(answer.refused);
    else save("site.toml", [answer.text], "application/toml", app);
  });
  byId("save-report").addEventListener("click", () => {
    const answer = app.ask("site_report", request(app.history.state));
    if (answer.refused) app.warn(answer.refused);
    else save("report.html", [answer.html], "text/html", app);
  });
  byId("save-image").addEventListener("click", () => {
    const answer = app.ask("plan_image", request(app.history.state));
    if (answer.refused) {
      app.warn(answer.refused);
      return;
    }
    save("plan.bin", [new Uint8Array(answer.bytes)], "application/octet-stream", app);
    if (answer.note) app.warn(`The image is written; ${answer.note}.`);
  });
  byId("sheet-save").addEventListener("click", () => {
    const sheet = app.history.state.sheets[app.ui.sheet];
    save(sheet.name, [sheet.text], "text/plain", app);
  });
  wireLinks(app);
  wireOptions(app);
}

function wireNew(app) {
  const { profiles } = app.about;
  const profile = choice(
    profiles.map(({ name }) => [name, name]),
    "plain",
    { id: "new-profile" },
  );
  byId("new-profile").replaceWith(profile);
  const units = byId("new-units");
  const tell = () => {
    const chosen = profiles.find(({ name }) => name === profile.value);
    byId("new-summary").textContent = `${chosen.summary}; ${chosen.least} to ${chosen.most} units`;
    units.min = chosen.least;
    units.max = chosen.most;
  };
  profile.addEventListener("change", tell);
  tell();
  byId("new").addEventListener("submit", (event) => {
    event.preventDefault();
    const answer = app.ask("new_site", { profile: profile.value, units: Number(units.value), site: byId("new-name").value, cables: !byId("new-bare").checked });
    if (answer.refused) {
      app.warn(answer.refused);
      return;
    }
    app.begin(answer.sheets);
    const blanks = answer.blanks.length > 0 ? ` Still to be filled in: ${answer.blanks.join(", ")}.` : "";
    app.say(`${byId("new-bare").checked ? "Units without cables." : "A right site to start from."}${blanks}`);
    app.tab("connect");
  });
}

export async function loadFiles(files, app) {
  const sheets = [];
  for (const file of files) {
    if (file.size > MOST_BYTES) {
      app.warn(`${file.name} is larger than any sheet of one site; nothing was opened.`);
      return;
    }
    const bytes = new Uint8Array(await file.arrayBuffer());
    const answer = app.ask("read_file", bytes);
    if (answer.refused) {
      app.warn(`${file.name}: ${answer.refused}`);
      return;
    }
    const hex = () => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    sheets.push(answer.image ? { name: file.name, text: "", hex: hex() } : { name: file.name, text: answer.text });
  }
  if (sheets.length === 0) return;
  app.begin(sheets);
  app.say(`Opened: ${sheets.map((sheet) => sheet.name).join(", ")}. Undo brings back what was there.`);
  app.tab(sheets.some((sheet) => sheet.hex) ? "found" : "connect");
}

function wireLinks(app) {
  const shown = byId("link");
  byId("share").addEventListener("click", async () => {
    const text = await fragment(app.history.state);
    if (text === undefined) {
      app.warn("This is too much text for a link; save the sheets as files.");
      return;
    }
    shown.value = `${location.href.split("#")[0]}#${text}`;
    await copyLink(shown, app, "The link is copied. Whoever has this page opens it, or puts it into the same field there.");
  });
  byId("take-link").addEventListener("click", () => openLink(shown.value, app));
  addEventListener("hashchange", () => {
    if (location.hash.length > 1 && location.hash !== app.ownHash) openLink(location.hash, app);
  });
}

export async function openLink(link, app) {
  if (openDrill(link, app)) return true;
  try {
    const state = await fromLink(link);
    app.ui.chosen = app.ui.cables = app.ui.unit = null;
    app.history.put(state);
    app.say("The link is opened. Undo brings back what was there.");
    return true;
  } catch (error) {
    app.warn(error.message);
    return false;
  }
}

// How the sheets are taken, as the command line's options do.
function wireOptions(app) {
  const scope = byId("scope");
  scope.addEventListener("change", () => app.history.change({ scope: scope.value }));
  const strict = byId("strict");
  strict.addEventListener("change", () => app.history.change({ strict: strict.checked }));
  const date = byId("date");
  date.addEventListener("change", () => app.history.change({ date: date.value }));
  byId("clear").addEventListener("click", () => {
    app.ui.chosen = app.ui.cables = app.ui.unit = null;
    app.history.put(emptyState());
    app.say("Everything is gone. Undo brings it back.");
  });
}

export function showFiles(app) {
  const { state } = app.history;
  byId("scope").value = state.scope;
  byId("strict").checked = state.strict;
  byId("date").value = state.date;
  const nothing = state.sheets.length === 0;
  for (const id of ["save-site", "save-report", "save-image", "share", "clear"]) byId(id).disabled = nothing;
  fill(byId("cautions-short"), app.about.cautions.split(". ")[0], ".");
}
