// What is shown of a site beside its findings, and what the page holds on to.
import { gzipSync } from "node:zlib";
import { equal, expect, open, run } from "./browser.mjs";
import { begin } from "./hand.mjs";

// A site with findings at a sensor, a pack, another device, a cable, and at no place.
const SHEETS = [
  {
    name: "cables.csv",
    text: "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,1 m\nB1,pack 1,unit 2 battery,battery,1 m\nS1,CT L1,unit 2 CT,sensor,1 m\nG1,gateway,unit 1 battery,link,1 m\n",
  },
  {
    name: "settings.txt",
    text: "unit 1 = coordinator, addr 1, term on\nunit 2 = follower, addr 1, term on\npack 1 addr = 1\npack 2 addr = 1\nct L1 arrow = street\narrow must point to = house\npacks set = 5\n",
  },
];
const opened = (page, sheets) => page.evaluate((sheets) => globalThis.coldcheck.open({ sheets }), sheets);

await run({
  "every finding is marked on the plan, at its place": async () => {
    const page = await open();
    await opened(page, SHEETS);
    await page.click("#tab-connect");
    const found = await page.evaluate(() => {
      const { findings } = globalThis.coldcheck.answer().report;
      const labels = (where) => [...(where?.querySelectorAll(".mark") ?? [])].map((mark) => mark.textContent);
      const thing = (name) => [...document.querySelectorAll("[data-thing]")].find((one) => one.dataset.thing === name);
      const unit = (name) => [...document.querySelectorAll("[data-unit]")].find((one) => one.dataset.unit === name);
      const kinds = new Set();
      const missing = findings.flatMap(({ rule, places, asks }, at) => {
        const label = `${at + 1}${asks ? "?" : ""}`;
        if (places.length === 0) kinds.add("group");
        const spots = places.length === 0 ? [document.querySelector("#plan .group summary")] : places.map((place) => {
          const kind = ["unit", "sensor", "pack", "device", "cable"].find((one) => place[one] !== undefined);
          kinds.add(kind);
          if (kind === "unit") return unit(place.unit);
          return kind === "cable" ? document.getElementById("plan") : thing(`${kind} ${place[kind]}`);
        });
        return spots.filter((spot) => !labels(spot).includes(label)).map(() => `${rule} ${JSON.stringify(places)}`);
      });
      return { missing, kinds: [...kinds].sort() };
    });
    equal(found.missing, [], "not marked");
    for (const kind of ["group", "pack", "sensor", "unit"]) expect(found.kinds.includes(kind), `the site has a finding of a ${kind}: ${found.kinds}`);
    await page.click("#verdict");
    await page.locator("#found-list >> text=Show CT L1").first().click();
    equal(await page.evaluate(() => document.activeElement.dataset.key), "head sensor CT L1", "a finding leads there");
    await page.keyboard.press("Enter");
    await page.selectOption("[data-key='sensor CT L1 arrow']", "house");
    await page.waitForFunction(() => globalThis.coldcheck.answer().site.sensors[0].arrow === "house");
  },

  "both values are shown where the sheets disagree": async () => {
    const page = await open();
    await opened(page, [
      { name: "a.txt", text: "unit 1 = coordinator, addr 1\nunit 2 = follower, addr 2, term on\nlink shape = line\n" },
      { name: "b.txt", text: "unit 2 address = 5\nunit 2 terminator = off\nlink shape = ring\n" },
      { name: "a.csv", text: "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,1 m\n" },
      { name: "b.csv", text: "cable,from,to,kind,length\nC1,unit 1 A,unit 2 B,link,2 m\n" },
    ]);
    await page.click("#tab-connect");
    const head = await page.textContent("[data-key='head unit 2']");
    expect(head.includes("address 2 or 5"), head);
    const terminator = await page.textContent("[data-key='terminator unit 2']");
    expect(terminator.includes("on or off"), terminator);
    await page.click("[data-key='head unit 2']");
    await page.getByLabel("address: the sheets say 2 or 5").fill("7");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => globalThis.coldcheck.answer().site.units[1].facts.address === "7");
    await page.click("[data-key='group']");
    await page.getByLabel("link shape: the sheets say line or ring").waitFor();
    await page.click("[data-key='port unit 1 A']");
    await page.getByLabel("length: the sheets say 1 m or 2 m").waitFor();
  },

  "what is typed stays when the screen changes its size": async () => {
    const page = await open();
    await begin(page);
    await page.click("[data-key='head unit 2']");
    const field = page.locator("[data-key='unit unit 2 firmware']");
    await field.click();
    await page.keyboard.type("2.1");
    // A phone's keyboard comes up, and the phone is turned.
    await page.setViewportSize({ width: 360, height: 420 });
    await page.setViewportSize({ width: 740, height: 360 });
    await page.waitForTimeout(100);
    await page.keyboard.type("4");
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => globalThis.coldcheck.answer().site.units[1].facts.firmware === "2.14");
  },

  "a link that unpacks without end is refused": async () => {
    const page = await open();
    const packed = gzipSync(Buffer.from(`{"sheets":[{"name":"s","text":"${" ".repeat(60_000_000)}"}],"scope":"","strict":false,"date":""}`));
    await page.fill("#link", `#site=${packed.toString("base64url")}`);
    await page.click("#take-link");
    await page.waitForSelector("#warning-text:has-text('damaged')");
    equal(await page.textContent("#verdict"), "NO SITE YET", "nothing was opened");
  },

  "undo forgets the oldest steps, by count and by size": async () => {
    const page = await open();
    const steps = async (count, letters) => {
      await page.evaluate(([count, letters]) => {
        // Bytes that are no sheet are refused at once, however many they are.
        const large = letters === 0 ? [] : [{ name: "large", text: "", hex: "00".repeat(letters / 2) }];
        for (let at = 0; at < count; at += 1) {
          const small = { name: "s.txt", text: `unit 1 = coordinator, addr ${(at % 9) + 1}\n# ${at}\n` };
          globalThis.coldcheck.open({ sheets: [small, ...large] });
        }
      }, [count, letters]);
      return page.evaluate(() => {
        const undo = document.getElementById("undo");
        let undone = 0;
        for (; !undo.disabled; undone += 1) undo.click();
        return undone;
      });
    };
    equal(await steps(230, 0), 200, "200 steps");
    const large = await steps(14, 900_000);
    expect(large >= 4 && large <= 10, `${large} steps of 900,000 letters`);
  },

  "what can be added stands in the order of the alphabet, demands as such": async () => {
    const page = await open();
    await begin(page);
    await page.click("text=The site as a whole");
    const options = await page.evaluate(() => [...document.querySelector("[data-key='group which']").options].map((one) => [one.value, one.textContent]));
    const keys = options.map(([key]) => key);
    equal(keys, [...keys].sort(), "the order");
    const demanded = options.filter(([key, text]) => text === `${key} (demanded)`).map(([key]) => key);
    expect(demanded.includes("link shape") && !demanded.includes("supply breaker"), `demanded: ${demanded}`);
  },

  "what is dark on the screen is dark ink on paper": async () => {
    for (const choice of ["auto", "dark"]) {
      const page = await open({ scheme: "dark" });
      await begin(page);
      await page.evaluate((choice) => (document.documentElement.dataset.light = choice), choice);
      const colours = () =>
        page.evaluate(() => {
          const light = (colour) => {
            const [red, green, blue, alpha = 1] = colour.match(/[\d.]+/g).map(Number);
            return alpha === 0 ? 1 : (0.2126 * red + 0.7152 * green + 0.0722 * blue) / 255;
          };
          const shown = [...document.querySelectorAll("main h2, main p, main strong, main small, main span")].filter((one) => one.getClientRects().length > 0 && !one.closest(".mark, .terminator, .unseen"));
          return {
            ground: light(getComputedStyle(document.documentElement).backgroundColor),
            inks: Math.max(...shown.map((one) => light(getComputedStyle(one).color))),
          };
        });
      await page.click("#tab-connect");
      const screen = await colours();
      expect(screen.ground < 0.2, "the screen is dark");
      await page.emulateMedia({ media: "print", colorScheme: "dark" });
      const paper = await colours();
      expect(paper.ground > 0.99 && paper.inks < 0.45, `${choice}: ${JSON.stringify(paper)}`);
    }
  },
});
