// A printed form: the device takes the picture, the library reads it here, and what is not sure is shown.

import { byId, el, fill } from "./dom.js";

// Pixels along the longer side: enough for every bubble, and little enough for a phone.
const MOST_PIXELS = 2600;

export function wireForm(app) {
  const load = byId("form-load");
  byId("form-open").addEventListener("click", () => load.click());
  load.addEventListener("change", async () => {
    const [file] = load.files;
    if (file) await take(file, app);
    load.value = "";
  });
}

async function take(file, app) {
  app.calm();
  byId("form-said").textContent = "Reading the picture \u2026";
  fill(byId("form-asks"));
  let canvas;
  try {
    canvas = await drawn(file);
  } catch {
    refuse("this file is no picture that the browser can show.", app);
    return;
  }
  // Once what was said is on the screen.
  await new Promise((done) => setTimeout(done, 30));
  const answer = app.ask("read_form", grey(canvas));
  if (answer.refused) {
    refuse(answer.refused, app);
    return;
  }
  app.beforeAct();
  const { sheets } = app.history.state;
  const sheet = { name: answer.name, text: answer.text };
  const at = sheets.findIndex((one) => one.name === sheet.name);
  app.ui.sheet = at < 0 ? sheets.length : at;
  app.history.change({ sheets: at < 0 ? [...sheets, sheet] : sheets.map((one, other) => (other === at ? sheet : one)) });
  tell(answer, canvas, app);
}

function refuse(why, app) {
  byId("form-said").textContent = "";
  app.warn(`The form is not read: ${why}`);
}

async function drawn(file) {
  const picture = await createImageBitmap(file);
  const scale = Math.min(1, MOST_PIXELS / Math.max(picture.width, picture.height));
  const canvas = el("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
  canvas.getContext("2d", { willReadFrequently: true }).drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas;
}

// Width, height and brightness, as the library takes them; weights of ITU-R BT.601.
function grey(canvas) {
  const { width, height } = canvas;
  const { data } = canvas.getContext("2d").getImageData(0, 0, width, height);
  const bytes = new Uint8Array(8 + width * height);
  const head = new DataView(bytes.buffer);
  head.setUint32(0, width, true);
  head.setUint32(4, height, true);
  for (let at = 8, from = 0; at < bytes.length; at += 1, from += 4) {
    bytes[at] = (299 * data[from] + 587 * data[from + 1] + 114 * data[from + 2] + 500) / 1000;
  }
  return bytes;
}

// What was read, and each cell to confirm with its piece of the picture; a tap leads to its place.
function tell({ name, rows, asks, notes, quarters }, canvas, app) {
  const open = asks.length === 0 ? "nothing to confirm; compare the rows with the sheet all the same" : `${asks.length} to confirm`;
  const said = `${name}: ${rows} ${rows === 1 ? "row" : "rows"}, ${open}`;
  byId("form-said").textContent = `${[said, ...notes].join("; ")}.`;
  app.say(said);
  const list = asks.map((ask) =>
    el(
      "li",
      {},
      el("button", { type: "button", onclick: () => app.goToLine({ ...ask, file: name }) }, `Row ${ask.row}, ${ask.heading}: ${ask.reading}`),
      piece(canvas, ask.area, quarters),
    ),
  );
  fill(byId("form-asks"), list);
}

// Upright, however the picture was taken.
function piece(canvas, [x, y, width, height], quarters) {
  const margin = Math.min(width, height) / 4;
  const from = [x - margin, y - margin, width + 2 * margin, height + 2 * margin];
  const [wide, high] = quarters % 2 === 0 ? [from[2], from[3]] : [from[3], from[2]];
  const shown = el("canvas", { width: Math.round(wide), height: Math.round(high), role: "img", "aria-label": "This cell in the picture" });
  const pen = shown.getContext("2d");
  pen.translate(wide / 2, high / 2);
  pen.rotate((quarters * Math.PI) / 2);
  pen.drawImage(canvas, ...from, -from[2] / 2, -from[3] / 2, from[2], from[3]);
  return shown;
}
