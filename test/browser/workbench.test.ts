import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import axe from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { pageScripts } from "../../bench/pageScripts.js";
import { root } from "../project/files.js";
import { hasBrowser, type ServedWorkbench, serveDemo } from "./workbenchServer.js";

const friction = '[data-path="valve.seat.friction"] input[type=text]';

async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe.source);
  return page.evaluate<readonly string[]>(
    "axe.run().then(({ violations }) => violations.map(({ id, nodes }) => id + ': ' + nodes[0].html.slice(0, 150)))",
  );
}

/** Waits for something to be so: the page's content policy forbids to wait inside of it. */
async function until(page: Page, expression: string): Promise<void> {
  await expect
    .poll(() => page.evaluate<boolean>(expression).catch(() => false), { timeout: 30_000, interval: 20 })
    .toBe(true);
}

/** A value typed into the field of the seat's friction, and the text of the large number after it. */
async function typeFriction(page: Page, text: string): Promise<void> {
  await page.locator(friction).fill(text);
  await page.locator(friction).press("Enter");
}

const isRequired = Boolean(process.env.COLDTURN_BROWSER_REQUIRED);

describe.skipIf(!hasBrowser() && !isRequired)("the workbench in a browser", () => {
  let bench: ServedWorkbench;
  const valve = () => readFileSync(join(bench.folder, "valve.yaml"), "utf8");
  beforeAll(async () => {
    bench = await serveDemo();
  });
  afterAll(() => bench.stop());

  it("shows the twelve questions, asks for nothing else and breaks no policy", async () => {
    const { page, errors } = await bench.open();
    expect(await page.locator("[data-question]").count()).toBe(12);
    expect(await page.locator('[data-question="3"]').textContent()).toContain("at most 800 ms");
    expect(errors).toEqual([]);
  });

  it("the scripts of the first load, compressed, take at most 450 kB", () => {
    const { first, later } = pageScripts(join(root, "dist", "web"));
    process.stdout.write(
      `page script, compressed: ${Math.round(first / 1000)} kB, ${Math.round(later / 1000)} kB more when looked at\n`,
    );
    expect(first).toBeGreaterThan(200_000);
    expect(first).toBeLessThanOrEqual(450_000);
  });

  it("gives the calculation note of a check as a page of its own", async () => {
    const { page, errors } = await bench.open("/question/1");
    const check = page.locator("details", { hasText: "Velocity through the bore" });
    await check.locator("summary").click();
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      check.getByRole("button", { name: "Calculation note" }).click(),
    ]);
    expect(download.suggestedFilename()).toBe("velocity-body.html");
    const note = readFileSync(await download.path(), "utf8");
    expect(note).toContain("<code>pi * d^2 / 4</code>");
    // The verdict and the band are those that the page shows, not those of the nominal values alone.
    expect(note).toMatch(/95\s%\sbetween/);
    expect(errors).toEqual([]);
  });

  it("an edit moves the answer, is undone and done again, and saves with every comment kept", async () => {
    const { page } = await bench.open("/question/3");
    const number = page.locator("[data-headline]");
    await page.locator(friction).waitFor();
    const before = await number.textContent();
    await typeFriction(page, "0.14 +/- 0.01");
    await until(page, `document.querySelector("[data-headline]").textContent !== ${JSON.stringify(before)}`);
    await page.getByRole("button", { name: "Undo" }).click();
    await until(page, `document.querySelector("[data-headline]").textContent === ${JSON.stringify(before)}`);
    await page.getByRole("button", { name: "Redo" }).click();
    await page.reload();
    await until(page, `document.querySelector(${JSON.stringify(friction)})?.value === "0.14 +/- 0.01"`);
    const old = valve();
    await page.getByRole("button", { name: "Save", exact: true }).click();
    await page.getByRole("button", { name: "Saved" }).waitFor();
    const comments = (text: string) => text.match(/#.*/g);
    expect(valve()).toContain("friction: 0.14 +/- 0.01");
    expect(comments(valve())).toEqual(comments(old));
  });

  it("a change outside is merged, and one of the same line is shown as a conflict", async () => {
    const { page } = await bench.open("/question/3");
    await page.locator(friction).waitFor();
    const written = /friction: 0\.\d\d \+\/- 0\.01/;
    expect(valve()).toMatch(written);
    await typeFriction(page, "0.12 +/- 0.01");
    await page.getByRole("button", { name: "Save", exact: true }).waitFor();
    writeFileSync(join(bench.folder, "valve.yaml"), valve().replace("dwell: 10 min", "dwell: 11 min"));
    await page.getByText("A file was changed outside").waitFor({ state: "attached" });
    writeFileSync(join(bench.folder, "valve.yaml"), valve().replace(written, "friction: 0.10 +/- 0.01"));
    const conflict = page.getByRole("region", { name: "Conflict" });
    await conflict.waitFor();
    expect(await conflict.textContent()).toMatch(/0\.12.*0\.10/s);
    expect(valve()).toContain("friction: 0.10 +/- 0.01");
    await page.getByRole("button", { name: "Take what is on the disk" }).click();
    await until(page, `document.querySelector(${JSON.stringify(friction)}).value === "0.10 +/- 0.01"`);
  });

  it("a fault is shown at its field", async () => {
    const { page } = await bench.open("/question/3");
    await page.locator(friction).waitFor();
    await typeFriction(page, "-3");
    const field = page.locator('[data-path="valve.seat.friction"]');
    await field.getByRole("alert").waitFor();
    expect(await field.getByRole("alert").textContent()).toContain("-3");
  });

  it("a question's page has nothing left of the one before it, and its tables", async () => {
    const { page } = await bench.open("/question/4");
    await page.locator("meter").first().waitFor();
    // No test is in yet: nothing drives the answer to the eleventh question.
    await page.keyboard.press("-");
    await page.getByRole("heading", { name: /^11 / }).waitFor();
    expect(await page.locator("meter").count()).toBe(0);
    await page.keyboard.press("8");
    await page.getByRole("heading", { name: /^8 / }).waitFor();
    await page.getByRole("region", { name: /^For the oxygen specialist/ }).waitFor();
  });

  it("is worked by the keyboard alone", async () => {
    const { page } = await bench.open();
    await page.keyboard.press("2");
    await page.getByRole("heading", { name: /^2 / }).waitFor();
    await page.keyboard.press("?");
    await page.getByRole("heading", { name: "Keys" }).waitFor();
    await page.keyboard.press("k");
    await page.keyboard.press("c");
    await page.getByRole("columnheader", { name: /variant 1/ }).waitFor();
    await page.keyboard.press("Tab");
    expect(await page.evaluate("document.activeElement.tagName")).not.toBe("BODY");
  });

  it.each([
    ["light", { width: 1366, height: 768 }],
    ["dark", { width: 380, height: 800 }],
  ] as const)("axe finds nothing against any page: %s, %o", async (colorScheme, viewport) => {
    const { page } = await bench.open("/", { colorScheme, viewport });
    for (const path of ["/", "/question/3", "/question/8", "/question/12", "/values", "/variants", "/keys"]) {
      await page.evaluate(`history.pushState(null, "", ${JSON.stringify(path)})`);
      await page.locator("main :is(h2, p, ol)").first().waitFor();
      expect({ path, found: await violations(page) }).toEqual({ path, found: [] });
    }
  });

  it("no page is wider than a phone", async () => {
    const { page } = await bench.open("/", { viewport: { width: 360, height: 800 } });
    for (const path of ["/", "/question/3", "/values", "/keys"]) {
      await page.evaluate(`history.pushState(null, "", ${JSON.stringify(path)})`);
      await page.locator("main :is(h2, p, ol)").first().waitFor();
      const width = await page.evaluate<number>("document.documentElement.scrollWidth");
      expect({ path, width }).toEqual({ path, width: 360 });
    }
  });
});
