// A drill in a link: what the library is asked by, written so that nobody reads the fault at a glance.
// It is an encoding and no secret.

const DRILL_KEYS = ["units", "profile", "number", "faults", "level", "paper", "kind", "hand"];
// Each letter is turned by its place, so that alike names do not look alike.
const turned = (text) => Array.from(text, (letter, at) => String.fromCharCode(letter.charCodeAt(0) ^ (at * 37 + 91) % 128)).join("");

export function drillHash(drill) {
  const text = JSON.stringify(DRILL_KEYS.map((key) => drill[key])).replace(/[^\x20-\x7e]/g, "");
  return `#drill=${btoa(turned(text)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")}`;
}

// What a link asks for; null if it is damaged, undefined if it is none to a drill.
export function drillOf(link) {
  const found = /#drill=([A-Za-z0-9_-]*)\s*$/.exec(link);
  if (!found) return undefined;
  try {
    const values = JSON.parse(turned(atob(found[1].replaceAll("-", "+").replaceAll("_", "/"))));
    const asked = Object.fromEntries(DRILL_KEYS.map((key, at) => [key, values[at]]));
    const within = (value, most) => Number.isInteger(value) && value >= 1 && value <= most;
    const isText = (value) => typeof value === "string" && value.length < 100;
    const sound =
      within(asked.units, 12) && within(asked.number, 999_999) && within(asked.faults, 3) && typeof asked.paper === "boolean" &&
      [asked.profile, asked.level, asked.kind].every(isText) && Array.isArray(asked.hand) && asked.hand.length <= 3 && asked.hand.every(isText);
    return sound ? asked : null;
  } catch {
    return null;
  }
}
