// The power-up in the page: what is answered is kept, what does not count is refused, and the file is
// the one of the command line.
import { readFileSync } from "node:fs";
import { equal, expect, further, open, run } from "./browser.mjs";
import { begin, saved, tabTo } from "./hand.mjs";

const [folder] = further;

const title = (page) => page.textContent("form.day h3");
const kept = (page) => page.evaluate(() => localStorage.getItem("coldcheck readings") ?? "");

async function read(page, value) {
  const before = await kept(page);
  await page.fill("[data-key='day value']", value);
  await page.click("[data-key='day write']");
  await page.waitForFunction((old) => (localStorage.getItem("coldcheck readings") ?? "") !== old, before);
}

async function started(width) {
  const page = await open(width);
  await page.evaluate(() => localStorage.removeItem("coldcheck readings"));
  await page.reload();
  await page.waitForSelector("body[data-ready]");
  await begin(page);
  await page.click("#tab-day");
  await page.fill("[data-key='day by']", "RK");
  await page.fill("[data-key='day instrument']", "meter 2");
  return page;
}

await run({
  "one step after the other, and a reload loses nothing": async () => {
    const page = await started();
    equal(await title(page), "locked-off", "the first step");
    await page.click("form.day button:text-is('Yes')");
    equal(await title(page), "dead-unit-1", "the second");
    await read(page, "0.2");
    equal(await title(page), "dead-unit-2", "the third");
    await page.reload();
    await page.waitForSelector("body[data-ready]");
    await page.click("#tab-day");
    equal(await title(page), "dead-unit-2", `after a reload, with ${await kept(page)}`);
    const file = await saved(page, "#day-save", folder);
    const lines = readFileSync(file, "utf8").trim().split("\n").map((line) => JSON.parse(line));
    equal(lines.map((line) => [line.step, line.value, line.by]), [["locked-off", "yes", "RK"], ["dead-unit-1", "0.2", "RK"]], "the file");
  },

  "what is not as expected says what to do, and the next reading counts": async () => {
    const page = await started();
    await page.click("form.day button:text-is('Yes')");
    await read(page, "48 V");
    equal(await title(page), "locked-off", "what feeds it is looked for first");
    await page.waitForSelector("p.stop:has-text('dead-unit-1: read 48'):has-text('Something still feeds it')");
    await page.click("form.day button:text-is('Yes')");
    equal(await title(page), "dead-unit-1", "then it is measured again");
    await read(page, "0.1");
    equal(await title(page), "dead-unit-2", "it goes on");
    equal((await kept(page)).trim().split("\n").length, 4, "nothing is taken away");
  },

  "a hard hold has no reason, and what is no reading is refused": async () => {
    const page = await started();
    await page.click("form.day button:text-is('Yes')");
    equal(await page.locator("text=Leave it, for this reason").count(), 0, "no way past absence of voltage");
    await page.fill("[data-key='day value']", "low");
    await page.click("[data-key='day write']");
    await page.waitForSelector("#warning-text:has-text('no reading')");
    equal((await kept(page)).trim().split("\n").length, 1, "nothing is written");
    await page.fill("[data-key='day by']", "");
    await page.fill("[data-key='day value']", "0.1");
    await page.click("[data-key='day write']");
    await page.waitForSelector("#warning-text:has-text('initials')");
  },

  "a changed site opens its steps again, and readings come back from a file": async () => {
    const page = await started();
    await page.click("form.day button:text-is('Yes')");
    for (const unit of [1, 2, 3]) await read(page, `0.${unit}`);
    const file = await saved(page, "#day-save", folder);
    await page.click("#tab-connect");
    await page.click("text=One more unit");
    await page.click("#tab-day");
    equal(await title(page), "locked-off", "everything is wired anew");
    await page.click("#undo");
    equal(await title(page), "dead-bars", "and with the old site it stands where it stood");
    await page.click("#day-clear");
    equal(await title(page), "locked-off", "taken away");
    await page.click("text=Bring them back");
    equal(await title(page), "dead-bars", "brought back");
    await page.click("text=Take them away");
    await page.setInputFiles("#day-load", file);
    await page.waitForFunction(() => document.querySelector("form.day h3")?.textContent === "dead-bars");
  },

  "readings that do not count are said": async () => {
    const page = await started();
    const line = (step, basis) =>
      JSON.stringify({ time: "2027-03-01T09:12", by: "RK", instrument: "m", place: "unit 1", quantity: "volts", value: "0.1", unit: "V", sheets: "0123456789abcdef", step, basis });
    const text = `${line("dead-unit-77", "00")}\n${line("dead-unit-1", "00")}\n{"time":"2027-03-0`;
    await page.setInputFiles("#day-load", { name: "day.jsonl", mimeType: "application/jsonl", buffer: Buffer.from(text) });
    await page.waitForSelector("#day-steps >> text=was cut off while it was written");
    await page.waitForSelector("#day-steps >> text=1 reading of the file: of steps that this site has no more");
  },

  "a danger stands first, and it works by key": async () => {
    const page = await started();
    await page.click("#tab-sheets");
    await page.click("#sheet-list >> text=settings.txt");
    const sheet = await page.inputValue("#sheet-text");
    await page.fill("#sheet-text", sheet.replace("role = follower", "role = coordinator"));
    await page.waitForTimeout(250);
    await page.click("#tab-day");
    expect((await page.textContent("#day-steps .stop")).startsWith("STOP:"), "the danger");
    await page.focus("#tab-day");
    await tabTo(page, "day value");
    await page.keyboard.type("yes");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("form.day h3")?.textContent === "dead-unit-1");
  },
});
