// What a hand does with the page, step by step.
import { join } from "node:path";

export const report = (page) => page.evaluate(() => globalThis.coldcheck.answer().report);
export const rules = async (page) => (await report(page)).findings.map((finding) => finding.rule);
export const has = async (page, rule) => (await rules(page)).includes(rule);

export async function begin(page, units = 3, profile = "plain") {
  await page.click("#tab-start");
  await page.selectOption("#new-profile", profile);
  await page.fill("#new-units", String(units));
  await page.click("#new .main");
}

export const port = (unit, name) => `[data-key='port unit ${unit} ${name}']`;

export async function text(page, sheet) {
  await page.click("#tab-sheets");
  await page.click(`#sheet-list >> text=${sheet}`);
  return page.inputValue("#sheet-text");
}

export async function fillText(page, value) {
  await page.fill("#sheet-text", value);
  await page.waitForTimeout(250);
}

export async function saved(page, button, folder) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(button)]);
  const path = join(folder, download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

export async function shared(page) {
  await page.click("#share");
  await page.waitForFunction(() => document.getElementById("link").value.includes("#site="));
  return page.inputValue("#link");
}

// Moves on with the tabulator until the focus has this key, as a person without a mouse would.
export async function tabTo(page, key, most = 200) {
  for (let step = 0; step < most; step += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => document.activeElement?.dataset?.key ?? document.activeElement?.id);
    if (at === key) return;
  }
  throw new Error(`the focus never comes to ${key}`);
}
