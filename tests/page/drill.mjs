// The drill in the page: set, read, claim, score; the show mode; the same drills as on the command line.
// Arguments: where pictures go, then a file with drills as the library tells them.
import { mkdirSync, readFileSync } from "node:fs";
import { equal, expect, further, open, run } from "./browser.mjs";

const [folder, drills] = further;
mkdirSync(folder, { recursive: true });

const PHONE = { width: 360, height: 740 };
const PROJECTORS = [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }];

async function opened(size) {
  const page = await open(size);
  await page.click("#tab-start");
  await page.click("#drill-open");
  // The page proposes a number that nobody knows.
  await page.fill(key("drill number"), "1");
  await page.keyboard.press("Tab");
  return page;
}

const key = (name) => `[data-key='${name}']`;
const spent = (page) => page.textContent("#drill .spent");
const picture = (page, name) => page.screenshot({ path: `${folder}/${name}.png`, fullPage: true });

// A fault set by hand, by its title and a part of its place.
async function hide(page, title, place) {
  await page.click(key("drill hand"));
  await page.selectOption(key("hand kind"), title);
  const found = await page.$$eval(`${key("hand place")} option`, (options) => options.map((one) => ({ value: one.value, text: one.textContent })));
  const wanted = found.find(({ text }) => text.includes(place));
  expect(wanted, `${place} is not among ${found.map(({ text }) => text)}`);
  await page.selectOption(key("hand place"), wanted.value);
  await page.click(key("drill hide"));
  return wanted;
}

async function take(page, any, act) {
  const list = page.locator("#drill details", { has: page.locator(`summary:text-is("${any}")`) });
  if (!(await list.evaluate((one) => one.open))) await list.locator("summary").click();
  await page.click(key(`act ${act}`));
}

async function claim(page, title, value) {
  await page.selectOption(key("claim kind"), title);
  await page.selectOption(key("claim place"), value);
  await page.click(key("drill claim"));
}

const SWAPPED = "The two wires of the pair are exchanged in a link cable";
const LISTEN = "Let the gateway listen to the link for twelve seconds (1)";
const SETTINGS = "Read the settings on the display of a unit (1)";
const OHMS = "Dead: ohms between the two wires of the pair at a unit, all plugged in (1)";
const PINS = "Dead: a cable out at both ends, continuity pin by pin (2)";

await run({
  "a fault set by hand is read, claimed and weighed": async () => {
    const page = await opened(PHONE);
    await picture(page, "phone-set");
    const fault = await hide(page, SWAPPED, "cable C2");
    const shown = await page.textContent("#drill-inside");
    expect(shown.includes("partners are gone") && !shown.includes("exchanged in a link cable are"), "the symptom and not the fault");
    equal(await page.locator(key("hand place")).count(), 0, "the trainer's choice is out of sight");
    await picture(page, "phone-begin");
    await page.click(key("drill dead"));
    await take(page, OHMS, "ohms at unit 1");
    expect((await page.textContent("#drill .log")).includes("60"), "ohms do not show it");
    await take(page, PINS, "pins of cable C2");
    expect((await page.textContent("#drill .log")).includes("comes out where the second should"), "the pins do");
    equal(await spent(page), "Readings used: 3", "one and two");
    await picture(page, "phone-read");
    await claim(page, SWAPPED, fault.value);
    const score = await page.textContent("#drill .score");
    expect(score.startsWith("Solved: 10 of 10 points. 3 readings taken"), score);
    const answer = await page.textContent("#drill-inside");
    for (const word of ["why", "prove", "mend", "compare: ", "Pin by pin"]) expect(answer.includes(word), `${word} is not told`);
    await picture(page, "phone-score");
  },

  "a wrong claim and a danger that was missed cost points": async () => {
    const page = await opened(PHONE);
    const fault = await hide(page, "More than one unit is set as coordinator", "unit");
    await take(page, OHMS, "ohms at unit 2");
    await take(page, SETTINGS, "settings of unit 2");
    const suspects = await page.evaluate(() => globalThis.coldcheck.ask("drill", { do: "suspects", number: 1, units: 4, kinds: ["parallel-mode-not-set"] }));
    // What unit 2 shows on its display speaks against it.
    const wrong = suspects.find((one) => one.kind === "parallel-mode-not-set" && one.place.includes("unit 2"));
    await claim(page, wrong.title, wrong.id);
    expect((await page.textContent("#drill .claim")).includes("Not solved"), "it is said to be wrong");
    const said = await page.textContent("#drill .said");
    expect(said.startsWith("That is not it.") && said.includes("\u201csettings of unit 2\u201d speaks against it"), said);
    equal(await page.inputValue(key("claim place")), wrong.id, "the claim stays");
    await page.click(key("drill up"));
    const score = await page.textContent("#drill .score");
    expect(score.startsWith("Not solved: 0 of 10 points"), score);
    const missed = await page.$$eval("#drill .stop", (all) => all.map((one) => one.textContent).filter((text) => text.startsWith("Danger missed")));
    equal(missed.length, 2, `dangers missed: ${missed}`);
    await picture(page, "phone-missed");
  },

  "a claim is chosen by whoever makes it, and one without readings costs half": async () => {
    const page = await opened(PHONE);
    await page.fill(key("drill number"), "7");
    await page.click(key("drill draw"));
    await page.waitForSelector("#drill .noticed");
    equal([await page.inputValue(key("claim kind")), await page.inputValue(key("claim place"))], ["", ""], "nothing is chosen");
    await page.click(key("drill claim"));
    expect((await page.textContent("#drill .said")).startsWith("Choose"), "nothing is claimed before it is chosen");
    equal(await page.locator("#drill .claim .stop").count(), 0, "nothing was weighed");
    const { id, title } = await page.evaluate(() => {
      const ask = { number: 7, units: 4, profile: "plain", faults: 1 };
      return globalThis.coldcheck.ask("drill", { ...ask, do: "answers" }).faults[0];
    });
    await claim(page, title, id);
    const score = await page.textContent("#drill .score");
    expect(score.startsWith("Solved: 5 of 10 points"), score);
    expect(score.includes("no reading supports"), score);
    equal(await page.evaluate(() => document.activeElement.className), "score", "the focus is at the score");
  },

  "the focus stays where the work is, and nothing lies upon it": async () => {
    const page = await opened(PHONE);
    const draw = page.locator(key("drill draw"));
    await draw.scrollIntoViewIfNeeded();
    const top = await draw.evaluate((one) => {
      const { left, top, width, height } = one.getBoundingClientRect();
      return document.elementFromPoint(left + width / 2, top + height - 2) === one;
    });
    expect(top, "the button is covered");
    await page.click(key("drill draw"));
    await page.waitForSelector("#drill .noticed");
    await page.click(key("drill dead"));
    expect(await page.evaluate(() => document.activeElement !== document.body), "proven dead");
    await take(page, OHMS, "ohms at unit 1");
    equal(await page.evaluate(() => document.activeElement.dataset.key), "read ohms at unit 1", "at the reading");
  },

  "a drill is handed on by a link that does not name its fault, and outlives a reload": async () => {
    const page = await opened(PHONE);
    const fault = await hide(page, SWAPPED, "cable C2");
    await page.click(key("drill share"));
    const link = await page.inputValue(key("drill link"));
    expect(link.includes("#drill=") && !link.includes("swapped") && !atob(link.split("#drill=")[1].replaceAll("-", "+").replaceAll("_", "/")).includes("swapped"), link);
    for (const reopened of [await open({ ...PHONE, hash: link.slice(link.indexOf("#")) }), page]) {
      if (reopened === page) await page.reload();
      await reopened.waitForSelector("#drill .noticed");
      await claim(reopened, SWAPPED, fault.value);
      expect((await reopened.textContent("#drill .score")).startsWith("Solved"), "the same fault");
    }
    const drawn = await opened(PHONE);
    await drawn.fill(key("drill number"), "12");
    await drawn.selectOption(key("drill kind"), "plug-loose");
    await drawn.click(key("drill draw"));
    await drawn.waitForSelector("#drill .noticed");
    const noticed = await drawn.textContent("#drill .noticed");
    expect(noticed.startsWith("For hours all is well"), noticed);
    await drawn.reload();
    equal(await drawn.textContent("#drill .noticed"), noticed, "the same drill");
    equal(await drawn.textContent("#drill h3"), "Drill 12", "by its number");
    await drawn.click(key("drill again"));
    expect(!(await drawn.evaluate(() => location.hash)).includes("drill"), "the address is free again");
    const damaged = await open({ ...PHONE, hash: "#drill=AAAA" });
    await damaged.waitForSelector("#warning-text:has-text('damaged')");
  },

  "the number draws the same as on the command line": async () => {
    const page = await opened(PHONE);
    for (const { ask, exercise, answers } of JSON.parse(readFileSync(drills, "utf8"))) {
      const told = await page.evaluate((ask) => {
        const { acts, svg, caution, scale, ...exercise } = globalThis.coldcheck.ask("drill", { ...ask, do: "make" });
        return { exercise, answers: globalThis.coldcheck.ask("drill", { ...ask, do: "answers" }) };
      }, ask);
      const { acts, ...rest } = exercise;
      equal(told.exercise, rest, `drill ${ask.number}`);
      equal(told.answers, answers, `the answers of drill ${ask.number}`);
    }
    await page.fill(key("drill number"), "5");
    await page.click(key("drill draw"));
    await page.waitForSelector("#drill .noticed");
    await take(page, LISTEN, "listen");
    equal(await spent(page), "Readings used: 1", "listening is one");
    await page.click(key("drill again"));
    await page.waitForSelector(key("drill draw"));
  },

  "what cannot be drilled is refused in words, and the page goes on": async () => {
    const page = await opened(PHONE);
    await page.selectOption(key("drill profile"), "two-port-ring");
    await page.fill(key("drill units"), "2");
    await page.click(key("drill draw"));
    await page.waitForSelector("#warning-text:has-text('no group of 2 units')");
    await page.fill(key("drill units"), "3");
    await page.click(key("drill draw"));
    await page.waitForSelector("#drill .noticed");
    await page.click("#drill-close");
    expect(await page.isVisible("#tab-start"), "back at the site");
  },

  "show mode: what check, meter and gateway say, beside the right site": async () => {
    for (const size of [...PROJECTORS, PHONE]) {
      const page = await opened(size);
      await page.click(key("drill show"));
      const columns = () => page.$$eval("#drill .beside section", (all) => all.map((one) => one.textContent));
      const right = (await columns())[0];
      expect(right.includes("Nothing is found.") && right.includes("Every unit, as declared."), right);
      await picture(page, `show-${size.width}-right`);
      await page.selectOption(key("show cable"), "C2");
      await page.click(key("show swap"));
      const [, swapped] = await columns();
      expect(swapped.includes("Nothing is found.") && !swapped.includes("Every unit, as declared.") && !swapped.includes("(!)"), `no list and no ohms show it, but it is heard: ${swapped}`);
      await page.click(key("show mend"));
      await page.selectOption(key("show unit"), "3");
      await page.selectOption(key("show to"), "1");
      await page.click(key("show renumber"));
      const [, numbered] = await columns();
      expect(numbered.includes("Address 1 is used by more than one unit") && !numbered.includes("Every unit, as declared."), numbered);
      await page.click(key("show pull"));
      await page.click(key("show flip"));
      const [still, now] = await columns();
      equal(still, right, "the right site stays");
      expect(now.includes("(!)") && now.includes("no-start: "), `ohms and findings change: ${now}`);
      await picture(page, `show-${size.width}-broken`);
      expect((await page.locator("#drill .drawing svg").count()) === 1, "the line is drawn");
      const letters = await page.$eval(".beside .ohms li", (one) => parseFloat(getComputedStyle(one).fontSize));
      if (size.width >= 1900) expect(letters >= 30, `${letters} px are too small for a room`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth > innerWidth);
      expect(!wide, `wider than ${size.width}`);
    }
  },
});
