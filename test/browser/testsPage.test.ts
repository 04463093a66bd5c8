/** The page of tests in a browser: from a dropped log to accepted values, by mouse and by the keyboard alone. */
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import axe from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { generateLogs } from "../../demo/generator/generate.js";
import { readDossier } from "../../src/dossier/index.js";
import { hasBrowser, type ServedWorkbench, serveDemo } from "./workbenchServer.js";

const isRequired = Boolean(process.env.COLDTURN_BROWSER_REQUIRED);
const log = "bench-dry.csv";

/** Faults that an automated tool finds on the page as it stands. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe.source);
  return page.evaluate<readonly string[]>(
    "axe.run().then(({ violations }) => violations.map(({ id, nodes }) => id + ': ' + nodes[0].html.slice(0, 150)))",
  );
}

/** Goes on by Tab until something with this name has the focus. */
async function tabTo(page: Page, name: RegExp): Promise<void> {
  for (let press = 0; press < 150; press++) {
    await page.keyboard.press("Tab");
    const now = await page.evaluate<string>(
      "(() => { const e = document.activeElement; return e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent ?? ''; })()",
    );
    if (name.test(now)) return;
  }
  throw new Error(`nothing named ${String(name)} is reached by Tab`);
}

describe.skipIf(!hasBrowser() && !isRequired)("the page of tests in a browser", () => {
  let bench: ServedWorkbench;
  let logs: string;
  const valve = () => readFileSync(join(bench.folder, "valve.yaml"), "utf8");
  const runs = () => (existsSync(join(bench.folder, "runs")) ? readdirSync(join(bench.folder, "runs")) : []);
  beforeAll(async () => {
    bench = await serveDemo();
    logs = join(bench.folder, "..", "logs");
    mkdirSync(logs);
    const { dossier } = readDossier({ valve: { path: "valve.yaml", text: valve() } });
    for (const { fileName, bytes } of generateLogs(dossier)) writeFileSync(join(logs, fileName), bytes);
  });
  afterAll(() => bench.stop());

  it("by mouse: a dropped log becomes a run, is held against the prediction, and one value is accepted", async () => {
    const { page, errors } = await bench.open("/tests");
    const text = readFileSync(join(logs, log), "utf8");
    const transfer = await page.evaluateHandle(
      `(() => { const all = new DataTransfer(); all.items.add(new File([${JSON.stringify(text)}], ${JSON.stringify(log)})); return all; })()`,
    );
    await page.locator("[data-drop]").dispatchEvent("drop", { dataTransfer: transfer });
    const staged = page.getByRole("region", { name: `Log ${log}` });
    await staged.waitFor();
    // Nobody has said what was tested: nothing is chosen, nothing can be kept.
    expect(await staged.getByLabel("Case that was tested").inputValue()).toBe("");
    expect(await staged.getByRole("button", { name: /^Keep/ }).isDisabled()).toBe(true);
    await staged.getByLabel("Case that was tested").selectOption("dry-ambient");
    await staged.locator("[data-shown]").getByText("command to end of travel").waitFor();
    // A unit that is none is told at its field, in the server's words.
    const unit = staged.locator('[data-column="Current"]').getByLabel("Unit");
    await unit.fill("furlong");
    await unit.press("Enter");
    await staged.locator('[data-column="Current"]').getByRole("alert").getByText("furlong").first().waitFor();
    await unit.fill("A");
    await unit.press("Enter");
    await staged.getByLabel("Name of the run").fill("by-mouse");
    await staged.getByLabel("Name of the run").press("Enter");
    await staged.locator("[data-shown]:not(:has(strong))").waitFor();
    await staged.getByRole("button", { name: /^Keep/ }).click();
    await page.locator('[data-run="by-mouse"]').waitFor();
    expect(runs()).toEqual(["by-mouse"]);
    expect(await page.locator('[data-run="by-mouse"]').textContent()).toContain(
      "nothing of what oxygen does",
    );
    await page.getByLabel("Choose by-mouse").check();
    const hold = page.getByRole("button", { name: /^Hold against the prediction/ });
    await expect.poll(() => hold.isEnabled(), { timeout: 30_000 }).toBe(true);
    await hold.click();
    await page.locator("[data-finding] [data-proposal]").first().waitFor({ timeout: 60_000 });
    const pressed = page.locator('[data-proposal] button[aria-pressed="true"]');
    expect(await pressed.count()).toBe(0);
    const before = valve();
    const path = await page.locator("[data-proposal]").first().getAttribute("data-proposal");
    await page.getByRole("button", { name: `accept ${path}`, exact: true }).click();
    await page
      .getByRole("button", { name: /^refuse / })
      .last()
      .click();
    expect(valve()).toBe(before);
    await page.getByRole("button", { name: /^Write 1 accepted/ }).click();
    await expect.poll(valve, { timeout: 60_000 }).not.toBe(before);
    expect(valve().match(/origin: fitted/g)?.length).toBe((before.match(/origin: fitted/g)?.length ?? 0) + 1);
    // The browser itself complains of the unit that the server refused.
    expect(errors.filter((text) => !text.includes("422"))).toEqual([]);
  });

  it("a run's series: zoomed and read by keyboard, an event moved with a reason, axe content in light and dark", async () => {
    const { page, errors } = await bench.open("/tests/by-mouse");
    await page.locator("[data-event]").first().waitFor();
    const at = page.getByLabel(/^Crosshair at/);
    await at.waitFor();
    expect(await page.locator("[data-panels] canvas").count()).toBeGreaterThanOrEqual(4);
    await page.locator("[data-readout]").getByText("by-mouse").waitFor();
    const before = await page.locator("[data-readout] caption").textContent();
    await at.focus();
    for (let press = 0; press < 20; press++) await page.keyboard.press("ArrowRight");
    expect(await page.locator("[data-readout] caption").textContent()).not.toBe(before);
    const shown = () => page.locator("label", { hasText: "Crosshair at" }).textContent();
    const wide = await shown();
    await page.keyboard.press("+");
    expect(await shown()).not.toBe(wide);
    for (const colorScheme of ["light", "dark"] as const) {
      await page.emulateMedia({ colorScheme });
      expect({ colorScheme, found: await violations(page) }).toEqual({ colorScheme, found: [] });
      await page.evaluate('history.pushState(null, "", "/tests")');
      await page.locator("[data-drop]").waitFor();
      expect({ colorScheme, found: await violations(page) }).toEqual({ colorScheme, found: [] });
      await page.evaluate('history.pushState(null, "", "/tests/by-mouse")');
      await page.locator("[data-event]").first().waitFor();
    }
    await page.getByRole("button", { name: "Move first motion" }).click();
    await page.getByLabel("Time of first motion [ms]").focus();
    for (let press = 0; press < 10; press++) await page.keyboard.press("ArrowRight");
    await page.getByLabel("Who moves it").fill("A. Tester");
    await page.getByLabel("Why", { exact: true }).fill("seen on film");
    await page.getByRole("button", { name: "Keep first motion there" }).click();
    await page.locator('[data-event="first motion"]').getByText("seen on film").waitFor({ timeout: 60_000 });
    expect(readFileSync(join(bench.folder, "runs", "by-mouse", "run.yaml"), "utf8")).toContain("A. Tester");
    expect(errors).toEqual([]);
  });

  it("by the keyboard alone: a chosen file becomes a run, is held, and a value is accepted", async () => {
    const { page } = await bench.open();
    // The browser takes a while to hand its choosers over: it is asked before the first of them opens.
    const chosen = page.waitForEvent("filechooser", { timeout: 120_000 });
    await page.keyboard.press("t");
    await page.getByRole("heading", { name: "Tests", exact: true }).waitFor();
    await page.locator('[data-run="by-mouse"]').waitFor();
    await tabTo(page, /^Choose log files/);
    const other = join(logs, "second-dry.csv");
    copyFileSync(join(logs, "rig-water-28bar.csv"), other);
    await page.keyboard.press("Enter");
    await (await chosen).setFiles(other);
    await page.getByRole("region", { name: /^Log second-dry/ }).waitFor();
    await tabTo(page, /^Case that was tested/);
    await page.keyboard.type("pressurised");
    await page.locator("[data-shown]").waitFor();
    await tabTo(page, /^Keep second-dry/);
    await page.keyboard.press("Enter");
    await expect.poll(() => runs().length, { timeout: 60_000 }).toBe(2);
    const run = runs().find((name) => name !== "by-mouse") ?? "";
    await page.locator(`[data-run="${run}"]`).waitFor();
    await tabTo(page, new RegExp(`^Choose ${run}`));
    await page.keyboard.press("Space");
    await expect
      .poll(() => page.getByRole("button", { name: /^Hold against/ }).isEnabled(), { timeout: 60_000 })
      .toBe(true);
    await tabTo(page, /^Hold against/);
    await page.keyboard.press("Enter");
    await page.locator("[data-proposal]").first().waitFor({ timeout: 60_000 });
    const before = valve();
    await tabTo(page, /^accept /);
    await page.keyboard.press("Enter");
    if ((await page.getByLabel(/although it does not stand/).count()) > 0) {
      await tabTo(page, /although it does not stand/);
      await page.keyboard.press("Space");
    }
    await expect
      .poll(() => page.getByRole("button", { name: /^Write 1 accepted/ }).isEnabled(), { timeout: 60_000 })
      .toBe(true);
    await tabTo(page, /^Write 1 accepted/);
    await page.keyboard.press("Enter");
    await expect.poll(valve, { timeout: 60_000 }).not.toBe(before);
  });
});
