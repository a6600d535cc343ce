// Opens files in headless Chromium and looks at them: node look.mjs MODULES FOLDER WIDTHS
// MODULES is where playwright-core and axe-core are installed, FOLDER holds *.html and *.svg, WIDTHS
// is a JSON file with the width of each sign at 1000 pixels, plain and bold. Prints what is wrong as
// a JSON list, and writes a PDF and pictures of each page beside it.
import { createRequire } from "node:module";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [modules, folder, widths] = process.argv.slice(2);
const require = createRequire(join(modules, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const wrong = [];
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
const context = await browser.newContext({ viewport: { width: 360, height: 740 } });

// Words as this browser sets them: outside the picture, or one on another.
const words = () => {
  const faults = [];
  for (const svg of document.querySelectorAll("svg")) {
    const [x, y, w, h] = svg.getAttribute("viewBox").split(" ").map(Number);
    if (svg.getBoundingClientRect().width === 0) continue;
    const boxes = [...svg.querySelectorAll("text")].map((text) => [text.getBBox(), text.textContent]);
    for (const [box, says] of boxes) {
      if (box.x < x - 1 || box.x + box.width > x + w + 1) faults.push(`outside: ${says}`);
    }
    boxes.sort((a, b) => a[0].y - b[0].y);
    boxes.forEach(([a, says], at) => {
      for (const [b, others] of boxes.slice(at + 1)) {
        // The box of a text has room above and below its signs.
        if (b.y + 3 >= a.y + a.height - 3) break;
        if (a.x + 1 < b.x + b.width && b.x + 1 < a.x + a.width) faults.push(`${says} | ${others}`);
      }
    });
  }
  return faults;
};

for (const file of readdirSync(folder).filter((name) => /\.(html|svg)$/.test(name)).sort()) {
  const page = await context.newPage();
  const say = (what) => wrong.push(`${file}: ${what}`);
  page.on("console", (message) => message.type() === "error" && say(`console: ${message.text()}`));
  page.on("pageerror", (error) => say(`error: ${error}`));
  page.on("dialog", (dialog) => { say("a dialog"); dialog.dismiss(); });
  page.on("request", (request) => request.url().startsWith("file:") || say(`asks for ${request.url()}`));
  await page.goto(pathToFileURL(join(folder, file)).href);
  for (const fault of await page.evaluate(words)) say(fault);
  if (file.endsWith(".html")) {
    const scrolls = "document.documentElement.scrollWidth - document.documentElement.clientWidth";
    if ((await page.evaluate(scrolls)) > 0) say("is wider than a phone");
    for (const [width, height] of [[360, 740], [1200, 900]]) {
      await page.setViewportSize({ width, height });
      await page.evaluate(axe);
      const { violations } = await page.evaluate("axe.run(document, { resultTypes: ['violations'] })");
      for (const { id, impact, nodes } of violations) {
        if (["serious", "critical"].includes(impact)) say(`${id} at ${nodes[0].html.slice(0, 200)}`);
      }
      for (const fault of await page.evaluate(words)) say(fault);
    }
    await page.screenshot({ path: join(folder, `${file}.png`), fullPage: true });
    writeFileSync(join(folder, `${file}.pdf`), await page.pdf({ preferCSSPageSize: true }));
  }
  await page.close();
}

// No sign is wider than the drawing takes it for.
const page = await context.newPage();
const measured = JSON.parse(readFileSync(widths, "utf8"));
const wider = await page.evaluate((measured) => {
  const pen = document.createElement("canvas").getContext("2d");
  return measured.filter(({ sign, bold, width }) => {
    pen.font = `${bold ? "bold " : ""}1000px "DejaVu Sans", Verdana, sans-serif`;
    return pen.measureText(sign).width > width + 1;
  });
}, measured);
for (const { sign, bold, width } of wider) wrong.push(`${sign} is wider than ${width}, bold: ${bold}`);
await browser.close();
console.log(JSON.stringify(wrong));
