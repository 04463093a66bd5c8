/**
 * The story of the demo at the page: look, ask, edit, undo, keep, save, seal; by the keyboard alone and by mouse
 * (logs, reconciliation and accepted values are in testsPage.test.ts). Two windows; a server that is killed.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { hasBrowser, type ServedWorkbench, serveDemo } from "./workbenchServer.js";

const isRequired = Boolean(process.env.COLDTURN_BROWSER_REQUIRED);
const friction = '[data-path="valve.seat.friction"]';
const box = `${friction} input[type=text]`;
const headline = "[data-headline]";
const comments = (text: string) => text.match(/#.*/g);
const patient = { timeout: 60_000 };

/** Name of what has the focus. */
const focused = (page: Page) =>
  page.evaluate<string>(
    "(() => { const e = document.activeElement; return e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent ?? ''; })()",
  );

/** Goes on by Tab until something with this name has the focus. */
async function tabTo(page: Page, name: RegExp): Promise<void> {
  for (let press = 0; press < 200; press++) {
    await page.keyboard.press("Tab");
    if (name.test(await focused(page))) return;
  }
  throw new Error(`nothing named ${String(name)} is reached by Tab`);
}

const text = (page: Page, selector: string) => page.locator(selector).textContent();
const value = (page: Page) => page.locator(box).inputValue();

describe.skipIf(!hasBrowser() && !isRequired)("the story of the demo in a browser", () => {
  let bench: ServedWorkbench;
  const valve = () => readFileSync(join(bench.folder, "valve.yaml"), "utf8");
  const inFolder = (name: string) =>
    existsSync(join(bench.folder, name)) ? readdirSync(join(bench.folder, name)) : [];
  beforeAll(async () => {
    bench = await serveDemo();
  });
  afterAll(() => bench.stop());

  /** The page of values with the fields that have these words. */
  async function valuesAt(words: string): Promise<Page> {
    const { page } = await bench.open("/values");
    await page.getByLabel("Find a field").fill(words);
    return page;
  }

  it("by the keyboard alone", async () => {
    const { page, errors } = await bench.open();
    const asSaved = valve();
    await page.keyboard.press("3");
    await page.locator(box).waitFor(patient);
    const [before, written] = [await text(page, headline), await value(page)];
    await tabTo(page, /^valve seat friction$/);
    await page.keyboard.press("Control+A");
    await page.keyboard.type("0.2 +/- 0.01");
    await page.keyboard.press("Enter");
    await expect.poll(() => text(page, headline), patient).not.toBe(before);
    await page.keyboard.press("Control+Z");
    await expect.poll(() => text(page, headline), patient).toBe(before);
    await expect.poll(() => value(page), patient).toBe(written);
    await page.keyboard.press("Control+Shift+Z");
    await expect.poll(() => value(page), patient).toBe("0.2 +/- 0.01");
    // A field is left out by its button, and the default or the gap is shown in its place.
    await tabTo(page, /^Leave out valve seat friction$/);
    await page.keyboard.press("Enter");
    await expect.poll(() => value(page), patient).toBe("");
    await page.keyboard.press("Control+Z");
    await expect.poll(() => value(page), patient).toBe("0.2 +/- 0.01");
    await page.keyboard.press("Escape");
    await page.evaluate("document.activeElement.blur()");
    await page.keyboard.press("k");
    await page.keyboard.press("c");
    await tabTo(page, /^Save variant 1 as a file$/);
    await page.keyboard.press("Enter");
    await expect.poll(() => inFolder("variants"), patient).toEqual(["variant-1.yaml"]);
    await page.keyboard.press("Enter");
    await expect.poll(() => inFolder("variants").length, patient).toBe(2);
    const kept = readFileSync(join(bench.folder, "variants", "variant-1.yaml"), "utf8");
    expect(kept).toContain("friction: 0.2 +/- 0.01");
    expect(comments(kept)).toEqual(comments(asSaved));
    // A variant beside the dossier is not the dossier.
    expect(valve()).toBe(asSaved);
    await page.keyboard.press("Control+S");
    await expect.poll(valve, patient).toBe(kept);
    await page.keyboard.press("t");
    await page.getByRole("heading", { name: "Tests", exact: true }).waitFor(patient);
    await tabTo(page, /^Case to be tested/);
    await page.keyboard.type("duty");
    await expect
      .poll(() => page.getByRole("button", { name: "Seal the prediction of duty" }).isEnabled(), patient)
      .toBe(true);
    await tabTo(page, /^Seal the prediction of duty/);
    await page.keyboard.press("Enter");
    await expect.poll(() => inFolder("predictions").length, patient).toBe(1);
    // The browser itself complains of the name that the server refused, since it was taken.
    expect(errors.filter((words) => !words.includes("409"))).toEqual([]);
    await page.context().close();
  });

  it("by mouse: the same, a slider on a value that stands at its default, and the section", async () => {
    const { page, errors } = await bench.open();
    await page.getByRole("link", { name: "Does it open in time?", exact: true }).click();
    await page.locator(box).waitFor(patient);
    const before = await text(page, headline);
    await page.locator(box).fill("0.1 +/- 0.01");
    await page.getByRole("heading", { name: /^3 / }).click();
    await expect.poll(() => text(page, headline), patient).not.toBe(before);
    await page.getByRole("button", { name: "Undo" }).click();
    await expect.poll(() => text(page, headline), patient).toBe(before);
    // A field that is left out has a slider for what-if too: moved, its value is written, with its spread.
    const contraction = page.locator('[data-path="valve.contraction"]');
    const slider = contraction.getByRole("slider");
    await slider.waitFor(patient);
    expect(await contraction.locator("input[type=text]").inputValue()).toBe("");
    await slider.click({ position: { x: 30, y: 20 } });
    await expect.poll(() => contraction.locator("input[type=text]").inputValue(), patient).toMatch(/0\.\d+/);
    await page.getByRole("button", { name: "Undo" }).click();
    await expect.poll(() => contraction.locator("input[type=text]").inputValue(), patient).toBe("");
    await page.getByRole("button", { name: "Section of ball, seats and port" }).click();
    const drawing = page.getByRole("img", { name: /^Section through ball/ });
    await drawing.waitFor(patient);
    const half = await drawing.getAttribute("aria-label");
    // This browser says that its person wants no motion: the opening goes step by step.
    await page.getByRole("button", { name: "Next step of the opening" }).click();
    await expect.poll(() => drawing.getAttribute("aria-label")).toContain(" 0.0 deg open: throat 0 mm2");
    expect(half).not.toContain(" 0.0 deg open");
    await page.getByRole("button", { name: "Keep as variant" }).click();
    await page.getByRole("link", { name: "Variants" }).click();
    await page.getByRole("button", { name: "Save variant 1 as a file" }).click();
    await page.getByText(/^Saved as variants\/variant-1-\d\.yaml/).waitFor(patient);
    expect(errors.filter((words) => !words.includes("409"))).toEqual([]);
    await page.context().close();
  });

  it("two windows: one sees what the other saves, and keeps its own edit", async () => {
    const [one, other] = await Promise.all([valuesAt("friction"), valuesAt("dead time")]);
    const dead = '[data-path="drive.driver.dead_time"] input[type=text]';
    await other.locator(dead).fill("16 ms +/- 3 ms");
    await other.locator(dead).press("Enter");
    await other.getByRole("button", { name: "Save", exact: true }).waitFor(patient);
    await one.locator(box).fill("0.13 +/- 0.01");
    await one.locator(box).press("Enter");
    await one.getByRole("button", { name: "Save", exact: true }).click();
    await other.getByLabel("Find a field").fill("friction");
    await expect.poll(() => value(other), patient).toBe("0.13 +/- 0.01");
    await other.getByLabel("Find a field").fill("dead time");
    expect(await other.locator(dead).inputValue()).toBe("16 ms +/- 3 ms");
    await other.getByRole("button", { name: "Save", exact: true }).click();
    await one.getByLabel("Find a field").fill("dead time");
    await expect.poll(() => one.locator(dead).inputValue(), patient).toBe("16 ms +/- 3 ms");
    expect(valve()).toContain("friction: 0.13 +/- 0.01");
    await Promise.all([one, other].map((page) => page.context().close()));
  });

  it("a server that is killed during a save leaves the old file or the new one, and the page its edit", async () => {
    const page = await valuesAt("friction");
    await page.locator(box).waitFor(patient);
    const old = valve();
    await page.locator(box).fill("0.17 +/- 0.01");
    await page.locator(box).press("Enter");
    const save = page.getByRole("button", { name: "Save", exact: true });
    await save.waitFor(patient);
    await Promise.all([save.click(), bench.kill()]);
    const now = valve();
    expect([old, old.replace("friction: 0.13 +/- 0.01", "friction: 0.17 +/- 0.01")]).toContain(now);
    expect(await value(page)).toBe("0.17 +/- 0.01");
    // With the server gone the page goes on computing, and says what is the matter when it is asked to save.
    await page.locator(box).fill("0.18 +/- 0.01");
    await page.locator(box).press("Enter");
    await save.waitFor(patient);
    await save.click();
    await page.getByRole("alert").getByText("The server does not answer").waitFor(patient);
    expect(valve()).toBe(now);
  });
});
