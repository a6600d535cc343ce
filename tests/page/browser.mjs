// The page in a browser that may reach nothing else. Arguments: where the packages are, the page.
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

export const [packages, file, ...further] = process.argv.slice(2);
const require = createRequire(`${resolve(packages)}/`);
const { chromium } = require("playwright-core");
export const axe = require.resolve("axe-core/axe.min.js");
export const address = pathToFileURL(file).href;

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
  ],
});
const complaints = [];

// A new page: every request but that for the file itself is refused and held against the test, and
// so is every word on the console.
export async function open({ width = 360, height = 740, scheme = "light", hash = "" } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme, acceptDownloads: true });
  const page = await context.newPage();
  page.setDefaultTimeout(10_000);
  page.on("console", (message) => complaints.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => complaints.push(`error: ${error}`));
  page.on("dialog", (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  await context.route("**", (route) => {
    const url = route.request().url();
    if (url.split("#")[0] === address) return route.continue();
    complaints.push(`request: ${url}`);
    return route.abort();
  });
  await page.goto(`${address}${hash}`);
  await page.waitForSelector("body[data-ready]");
  return page;
}

export function expect(holds, says) {
  if (!holds) throw new Error(says);
}

export function equal(found, wanted, says) {
  const [one, other] = [found, wanted].map((value) => JSON.stringify(value, null, 1));
  expect(one === other, `${says}:\n--- found\n${one}\n--- wanted\n${other}`);
}

// Runs each test under its name. What the browser complained of is a failure of that test.
export async function run(tests) {
  const failed = [];
  for (const [name, test] of Object.entries(tests)) {
    const begin = performance.now();
    try {
      await test();
      expect(complaints.length === 0, complaints.join("\n"));
      console.log(`ok      ${name} (${Math.round(performance.now() - begin)} ms)`);
    } catch (error) {
      failed.push(name);
      console.log(`FAILED  ${name}\n${error.stack}`);
    }
    complaints.length = 0;
    for (const context of browser.contexts()) await context.close();
  }
  await browser.close();
  process.exitCode = failed.length > 0 ? 1 : 0;
}
