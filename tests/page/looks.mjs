// What axe-core has against the page, in light and dark, on a phone, a tablet and a projector.
// Pictures go into the folder named last.
import { mkdirSync, readFileSync } from "node:fs";
import { axe, expect, further, open, run } from "./browser.mjs";

const folder = further[0];
mkdirSync(folder, { recursive: true });

async function judged(page, name) {
  const found = await page.evaluate(async () => {
    const { violations } = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => `${node.html} (${node.failureSummary})`).join("; ")}`);
  });
  expect(found.length === 0, `${name}: ${found.join("\n")}`);
  // Nothing is wider than the screen, and everything to tap is large enough for a thumb: 44 by 44
  // CSS pixels, as WCAG 2.2 has it in success criterion 2.5.5 (target size, enhanced). Contrast is
  // judged by axe-core, to success criterion 1.4.3.
  const faults = await page.evaluate(() => {
    const wide = document.documentElement.scrollWidth > innerWidth ? [`wider than the screen: ${document.documentElement.scrollWidth}`] : [];
    const seen = (one) => one.getClientRects().length > 0 && !one.closest(".unseen, .skip");
    const small = [...document.querySelectorAll("button, select, input, summary")]
      .filter(seen)
      .filter((one) => {
        const { width, height } = (one.closest("label") ?? one).getBoundingClientRect();
        return Math.round(width) < 44 || Math.round(height) < 44;
      })
      .map((one) => `too small: ${one.outerHTML.slice(0, 120)}`);
    return [...wide, ...small];
  });
  expect(faults.length === 0, `${name}: ${faults.join("\n")}`);
  await page.screenshot({ path: `${folder}/${name}.png` });
}

async function walk(width, scheme) {
  const page = await open({ width, height: width < 700 ? 740 : 1080, scheme });
  await page.evaluate(readFileSync(axe, "utf8"));
  const name = (what) => `${width}-${scheme}-${what}`;
  await judged(page, name("start"));
  await page.fill("#new-units", "8");
  await page.click("#new .main");
  await judged(page, name("right"));
  await page.click("[data-key='port unit 2 A']");
  await judged(page, name("cable"));
  await page.click("text=Take C2 out");
  await page.click("[data-key='terminator unit 2']");
  await page.click("[data-key='port unit 1 B']");
  await page.click("[data-key='head unit 2']");
  await page.click("text=The site as a whole");
  await judged(page, name("broken"));
  await page.click("#tab-found");
  await page.evaluate(() => document.querySelectorAll("#found details").forEach((one) => (one.open = true)));
  await judged(page, name("found"));
  await page.click("#tab-dial");
  await judged(page, name("dial"));
  await page.click("#tab-day");
  await page.evaluate(() => document.querySelectorAll("#day details").forEach((one) => (one.open = true)));
  await judged(page, name("day"));
  await page.click("#tab-sheets");
  await page.fill("#sheet-text", "this is no sheet");
  await page.waitForFunction(() => document.querySelector("#verdict").textContent === "CANNOT BE READ");
  await judged(page, name("unread"));
  await page.click("#tab-start");
  await page.click("#drill-open");
  await page.click("[data-key='drill hand']");
  await judged(page, name("drill-set"));
  await page.click("[data-key='drill draw']");
  await page.click("[data-key='drill up']");
  await judged(page, name("drill-answer"));
  await page.click("[data-key='drill again']");
  await page.click("[data-key='drill show']");
  await page.click("[data-key='show pull']");
  await judged(page, name("drill-show"));
}

const tests = {};
for (const width of [360, 768, 1920]) {
  for (const scheme of ["light", "dark"]) tests[`axe-core and sizes, ${width} px, ${scheme}`] = () => walk(width, scheme);
}
await run(tests);
