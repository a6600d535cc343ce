// The same answer as the command line: browser.mjs's arguments, then a file with sites, each with
// the report and the text that the command line gives.
import { readFileSync } from "node:fs";
import { equal, expect, further, open, run } from "./browser.mjs";

const sites = JSON.parse(readFileSync(further[0], "utf8"));

await run({
  "the page says what the command line says": async () => {
    const page = await open();
    for (const { name, state, report, text, sizes, meter, mend, drawing, html, date } of sites) {
      const found = await page.evaluate(({ state, date, isMended }) => {
        globalThis.coldcheck.open(state);
        const { report, text, errors } = globalThis.coldcheck.answer();
        // What stands on the page, beside what the library said.
        const shown = document.getElementById("text").textContent;
        const cards = [...document.querySelectorAll("#found-list .finding[id] h3")].map((one) => one.textContent);
        const word = document.querySelector("#verdict span").textContent;
        const asked = { ...state, scope: state.scope || undefined, width: 800 };
        const parts = (part) => globalThis.coldcheck.ask("site_parts", { ...asked, part }).parts;
        const [sizes, meter] = [parts("sizes"), parts("meter")];
        const mend = isMended ? parts("mend") : null;
        const drawing = parts("drawing")[0].svg;
        const { html } = globalThis.coldcheck.ask("site_report", { ...asked, date });
        return { html, report, text, errors, shown, cards, word, sizes, meter, mend, drawing };
      }, { state, date, isMended: mend !== null });
      expect(found.html === html, `${name}: the report to print`);
      equal(found.report, report, `${name}: the report`);
      equal(found.text, text, `${name}: the text`);
      equal(found.drawing, drawing, `${name}: the drawing`);
      equal(found.sizes, sizes, `${name}: the sizes`);
      equal(found.meter, meter, `${name}: the meter plan`);
      equal(found.mend, mend, `${name}: the cheapest acts`);
      equal(found.shown, text, `${name}: the text on the page`);
      const findings = report.findings.map(({ severity, says, asks }, at) => `${at + 1}${asks ? "?ask, " : ""}${severity}: ${says}`);
      equal(found.cards, findings, `${name}: the findings on the page`);
      equal(found.word, text.split(":")[0], `${name}: the verdict on the page`);
    }
    console.log(`        ${sites.length} sites`);
  },
});
