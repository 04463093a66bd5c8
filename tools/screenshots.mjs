/**
 * Pictures of every page of the workbench, at three sizes and in each theme, for a person to look at.
 *
 *   node tools/screenshots.mjs <address of `coldturn serve`> <folder for the pictures>
 */
import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";

const [address, folder] = process.argv.slice(2);
const usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const browserPath = [process.env.COLDTURN_BROWSER ?? "", ...usual].find((path) => existsSync(path));
const SIZES = { bench: [1366, 768], desk: [1920, 1080], phone: [390, 844] };
const THEMES = ["light", "dark", "sunlight"];
const PAGES = [
  ["overview", "/"],
  ...Array.from({ length: 12 }, (_, index) => [`question-${index + 1}`, `/question/${index + 1}`]),
  ...["values", "variants", "parts", "tests", "keys"].map((name) => [name, `/${name}`]),
];

if (address === undefined || folder === undefined || browserPath === undefined) {
  process.stderr.write(
    "Name the address that `coldturn serve` prints and a folder for the pictures; chromium must be installed.\n",
  );
  process.exit(2);
}
mkdirSync(folder, { recursive: true });
const browser = await chromium.launch({ executablePath: browserPath, args: ["--no-sandbox"] });
for (const [size, [width, height]] of Object.entries(SIZES)) {
  const context = await browser.newContext({ viewport: { width, height }, locale: "en-GB" });
  const page = await context.newPage();
  page.on("console", (message) => {
    if (message.type() === "error") process.stderr.write(`${message.text()}\n`);
  });
  page.on("pageerror", ({ message }) => process.stderr.write(`${message}\n`));
  await page.goto(address);
  await page.locator('[data-question="12"]').waitFor();
  for (const [name, path] of PAGES) {
    // The page goes there by itself: a load would work everything out again.
    await page.evaluate(`history.pushState(null, "", ${JSON.stringify(path)})`);
    await page.locator("main[aria-busy=true], article[aria-busy=true]").waitFor({ state: "detached" });
    for (const theme of THEMES) {
      await page.evaluate(`document.documentElement.dataset.theme = ${JSON.stringify(theme)}`);
      await page.screenshot({ path: join(folder, `${name}.${size}.${theme}.png`), fullPage: true });
    }
  }
  await context.close();
}
await browser.close();
