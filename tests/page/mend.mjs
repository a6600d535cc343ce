// From units without cables to a group, and from a fault to acts that a person confirms. Argument: where
// files go that the page saves.
import { readFileSync } from "node:fs";
import { equal, expect, further, open, run } from "./browser.mjs";
import { report, rules, has, begin, port, saved } from "./hand.mjs";

const [folder] = further;

const top = (page, of) => page.evaluate((one) => document.querySelector(one).getBoundingClientRect().top, of);

await run({
  "units without cables are joined by taps, and no socket moves under the finger": async () => {
    const page = await open();
    await page.check("#new-bare");
    await begin(page, 4);
    expect(await has(page, "unit-not-on-link"), "no unit is joined");
    for (const unit of [1, 2, 3]) {
      const other = port(unit + 1, "B");
      await page.locator(port(unit, "A")).scrollIntoViewIfNeeded();
      const before = await top(page, other);
      await page.click(port(unit, "A"));
      equal(await top(page, other), before, `${other} after the first tap`);
      await page.click(other);
    }
    equal(await rules(page), ["bms-lead-missing", "ct-lead-missing"], "the link is right");
    await page.click(port(1, "battery"));
    await page.click("[data-key='tray pack 1']");
    await page.click(port(1, "CT"));
    await page.click("[data-key='tray CT L1']");
    await page.click(port(1, "CT"));
    await page.click("[data-key='another cable']");
    await page.click("[data-key='tray CT L2']");
    equal(await rules(page), [], "all is joined");
  },

  "a fault is mended by acts, and each waits for a person": async () => {
    const page = await open();
    await begin(page);
    const right = await report(page);
    await page.click(port(2, "A"));
    await page.click("text=Take C2 out");
    const broken = await rules(page);
    await page.click("#verdict");
    await page.click("[data-key='to mend']");
    expect((await page.textContent("#parts")).includes("run a new link cable"), "the act is told");
    await page.click("[data-key='take acts']");
    let found = await report(page);
    equal([found.verdict, found.questions.length], ["ask", 1], "what is to do is asked about");
    await page.click("[data-key='act 0 confirm']");
    await page.waitForSelector("#warning-text:has-text('what was seen')");
    equal((await report(page)).verdict, "ask", "nothing seen, nothing confirmed");
    await page.fill("[data-key='act 0 seen']", "a new cable between 2 and 3");
    await page.fill("[data-key='act 0 by']", "I. V.");
    await page.click("[data-key='act 0 confirm']");
    found = await report(page);
    equal([found.verdict, found.questions, found.findings], [right.verdict, [], []], "confirmed");
    await page.click("#tab-start");
    const printed = readFileSync(await saved(page, "#save-report", folder), "utf8");
    expect(printed.includes("a new cable between 2 and 3"), "the report has what was seen");
    await page.click("#undo");
    await page.click("#undo");
    equal(await rules(page), broken, "two steps back");
  },

  "what is missing leads to where it is declared": async () => {
    const page = await open();
    await begin(page);
    equal((await report(page)).verdict, "incomplete", "a bond is not declared");
    await page.click("#verdict");
    await page.click("[data-key='declare']");
    await page.fill("[data-key='group neutral-earth bond']", "yes");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => globalThis.coldcheck.answer().site.group["neutral-earth bond"] === "yes");
    equal((await report(page)).verdict, "incomplete", "yes does not say when");
    await page.fill("[data-key='group neutral-earth bond']", "main board (fixed)");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => globalThis.coldcheck.answer().report.verdict === "ok");
    // Dangers that nobody could look for are nothing to be calm about.
    equal(await page.textContent("#verdict"), "OK, dangers left open", "the word");
    equal(await page.getAttribute("#verdict", "data-look"), "attention", "the look");
  },

  "a site has a name, and what is refused stays to be mended": async () => {
    const page = await open();
    await page.fill("#new-name", "Mill # house");
    await begin(page);
    equal(await page.evaluate(() => globalThis.coldcheck.answer().site.name), "Mill # house", "its name");
    await page.click("#plan summary");
    const supply = "[data-key='group supply system']";
    await page.selectOption("[data-key='group which']", "supply system");
    await page.fill("[data-key='group value']", "split-phase 120/240 V");
    await page.click("[data-key='group add']");
    await page.fill(supply, "one phase");
    await page.keyboard.press("Tab");
    await page.waitForSelector("#warning:not([hidden])");
    equal(await page.inputValue(supply), "one phase", "what was typed");
    await page.fill(supply, "single-phase 230 V");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => globalThis.coldcheck.answer().site.group["supply system"]?.startsWith("single-phase"));
  },
});
