// The state: the text of the sheets and how to take them. Everything else follows from it.

import { through } from "./engine.js";

// More text than this is no site, and no link carries it.
const MOST_IN_LINK = 100_000;
// Steps that undo can take back, and letters that all of them may hold: a phone keeps them in memory.
const MOST_STEPS = 200;
const MOST_LETTERS = 8_000_000;
const SCOPES = ["", "communication", "power", "all"];

export function emptyState() {
  return { sheets: [], scope: "", strict: false, date: "" };
}

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

// The present state with the ones before and after it. `onchange` is told of every other state.
export class History {
  constructor(state, onchange) {
    this.state = state;
    this.onchange = onchange;
    this.before = [];
    this.after = [];
    this.typing = "";
  }

  // A new state. Steps of one kind in a row, such as letters typed into one sheet, are one step.
  put(state, typing = "") {
    if (same(state, this.state)) return;
    if (typing === "" || typing !== this.typing) this.before.push(this.state);
    const letters = (one) => one.sheets.reduce((sum, sheet) => sum + sheet.text.length + (sheet.hex?.length ?? 0), 0);
    let held = this.before.reduce((sum, one) => sum + letters(one), 0);
    while (this.before.length > MOST_STEPS || (held > MOST_LETTERS && this.before.length > 1)) held -= letters(this.before.shift());
    this.after = [];
    this.typing = typing;
    this.state = state;
    this.onchange(typing);
  }

  change(part, typing = "") {
    this.put({ ...this.state, ...part }, typing);
  }

  // Letters typed after this are a step of their own.
  settle() {
    this.typing = "";
  }

  undo() {
    return this.step(this.before, this.after);
  }

  redo() {
    return this.step(this.after, this.before);
  }

  step(from, to) {
    if (from.length === 0) return false;
    to.push(this.state);
    this.state = from.pop();
    this.typing = "";
    this.onchange("");
    return true;
  }
}

function base64url(bytes) {
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) {
    text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  }
  return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

function fromBase64url(text) {
  const letters = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
}

// The state as the fragment of a link, with a checksum by its packing; or nothing if it is too large for one.
export async function fragment(state) {
  const text = JSON.stringify(state);
  if (text.length > MOST_IN_LINK) return undefined;
  const bytes = new TextEncoder().encode(text);
  return `site=${base64url(await through(bytes, new CompressionStream("gzip")))}`;
}

// The state of a link or a fragment. Throws words if it is damaged or none of ours.
export async function fromLink(link) {
  const found = /site=([A-Za-z0-9_-]+)\s*$/.exec(link);
  const damaged = new Error("This link is damaged or cut short, so nothing was opened. Ask for it once more.");
  if (!found) throw damaged;
  try {
    const stream = new DecompressionStream("gzip");
    // A few bytes can unpack to more than a phone can hold: no link of ours is longer than this.
    const unpacked = await through(fromBase64url(found[1]), stream, 4 * MOST_IN_LINK);
    return checked(JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(unpacked)));
  } catch {
    throw damaged;
  }
}

function checked(state) {
  const isText = (value) => typeof value === "string";
  const sound =
    Array.isArray(state.sheets) &&
    state.sheets.length > 0 &&
    state.sheets.length <= 20 &&
    state.sheets.every(({ name, text, hex }) => isText(name) && isText(text) && /^[0-9a-f]*$/.test(hex ?? "")) &&
    SCOPES.includes(state.scope) &&
    typeof state.strict === "boolean" &&
    /^(\d{4}-\d\d-\d\d)?$/.test(state.date);
  if (!sound) throw new Error("not ours");
  const sheets = state.sheets.map(({ name, text, hex }) => (hex ? { name, text, hex } : { name, text }));
  return { sheets, scope: state.scope, strict: state.strict, date: state.date };
}

// What the library is asked about a state. The day is that of the clock, as on the command line.
export function request(state) {
  const asked = { sheets: state.sheets, strict: state.strict };
  if (state.scope !== "") asked.scope = state.scope;
  if (state.date !== "") asked.date = state.date;
  else asked.clock = new Date().toISOString().slice(0, 10);
  return asked;
}
