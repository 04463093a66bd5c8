/** The page of other parts in a browser: search, choose, look at the answers, keep as a variant; by mouse and by keyboard. */
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import axe from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { smallSearch } from "../seek/smallSearch.js";
import { hasBrowser, type ServedWorkbench, serveDemo } from "./workbenchServer.js";

const isRequired = Boolean(process.env.COLDTURN_BROWSER_REQUIRED);
const long = { timeout: 90_000 };

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

describe.skipIf(!hasBrowser() && !isRequired)("the page of other parts in a browser", () => {
  let bench: ServedWorkbench;
  beforeAll(async () => {
    bench = await serveDemo();
    const valve = join(bench.folder, "valve.yaml");
    writeFileSync(valve, smallSearch(readFileSync(valve, "utf8")));
  });
  afterAll(() => bench.stop());

  it("from the overview to a kept variant and back, by mouse and by keyboard, axe content in every theme", async () => {
    const { page, errors } = await bench.open();
    const chosen = page.locator("section[data-chosen]");
    const chosenNumber = () => chosen.getAttribute("data-chosen");
    await page.getByRole("link", { name: "Would other parts do better?" }).click();
    await page.locator("[data-scope] summary", { hasText: "choices may be tried" }).click();
    expect(await page.locator("[data-unlimited]").textContent()).toContain("seek.limits.cost");
    await page.locator("[data-trade]").getByText("direct solenoid on a poppet").first().waitFor();
    expect(existsSync(join(bench.folder, "seek"))).toBe(false);
    await page.getByRole("button", { name: "Search for other parts" }).click();
    // A page that is left while the search goes on takes it up again.
    await page.getByRole("button", { name: "Cancel searching for other parts" }).waitFor();
    await page.reload();
    await page.locator("[data-found]").waitFor(long);
    expect(existsSync(join(bench.folder, "seek"))).toBe(true);
    const rows = page.locator("[data-front] tbody tr");
    expect(await rows.count()).toBeGreaterThan(1);
    expect(await page.locator("[data-losses]").textContent()).toContain("not met");

    // By mouse: a press on a line of the picture chooses its choice in the table too.
    const bead = page.locator('[data-picture] svg g[role="group"][aria-label^="choice"] circle').first();
    await bead.click({ force: true });
    await chosen.waitFor();
    const first = await chosenNumber();
    expect(page.url()).toMatch(new RegExp(`/parts/${first}$`));
    // The other way of drawing: the same choice stands out, and another is pressed.
    await page.getByRole("button", { name: "Two numbers, as points" }).click();
    await page.getByLabel("Upwards").selectOption({ label: "peak current" });
    await page.locator("[data-picture] svg", { hasText: "Peak current against mass" }).waitFor();
    expect(await page.locator("[data-picture] figcaption").textContent()).toContain(`Choice ${first}: `);
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.locator("[data-picture]").getByRole("button", { name: "Data (CSV)" }).click(),
    ]);
    expect(readFileSync(await download.path(), "utf8")).toContain("peak_current");
    await page.getByRole("button", { name: "All numbers, as lines" }).click();

    // By keyboard: the slider below goes from choice to choice.
    const step = page.getByLabel("Chosen choice");
    await step.focus();
    await page.keyboard.press("Home");
    await chosen.waitFor({ state: "detached" });
    await page.keyboard.press("ArrowRight");
    await chosen.waitFor();
    const second = await chosenNumber();
    await page.locator(`[data-front] tr[data-choice="${second}"][aria-current="true"]`).waitFor();
    // Sorted by a head, by keyboard; the largest number then stands first.
    const head = page.getByRole("columnheader", { name: /^peak current/ });
    await head.getByRole("button").focus();
    await page.keyboard.press("Enter");
    const up = await rows.first().getAttribute("data-choice");
    await page.keyboard.press("Enter");
    expect(await head.getAttribute("aria-sort")).toBe("descending");
    expect(await rows.last().getAttribute("data-choice")).toBe(up);

    // What is kept is one press, and comes with the verdicts once they are there.
    await tabTo(page, /^Look at choice|^Choose choice/);
    await page.getByRole("button", { name: `Keep choice ${second} as a variant` }).focus();
    await page.keyboard.press("Enter");
    await page.locator("[data-kept]").waitFor();
    await page.locator('[data-answers="whole"]').waitFor(long);
    expect(await page.locator("[data-answers] [data-answer]").count()).toBe(12);
    const sentence = await page.locator('[data-answer="3"] > p').textContent();

    for (const theme of ["light", "dark", "sunlight"]) {
      await page.getByLabel("Theme").selectOption(theme);
      expect({ theme, found: await violations(page) }).toEqual({ theme, found: [] });
    }
    const small = await page.locator("main :is(button, select, summary, input)").evaluateAll((all) =>
      all.flatMap((one) => {
        const { height, width } = (one.closest("label") ?? one).getBoundingClientRect();
        return height > 0 && (height < 48 || width < 48) ? [one.outerHTML.slice(0, 120)] : [];
      }),
    );
    expect(small).toEqual([]);
    await page.setViewportSize({ width: 360, height: 800 });
    expect(await page.evaluate<number>("document.documentElement.scrollWidth")).toBe(360);
    await page.setViewportSize({ width: 1366, height: 768 });

    // The variant: its verdicts beside those of now, taken as an edit; the search is then out of date until it is undone.
    await page.keyboard.press("c");
    await page.getByRole("columnheader", { name: `choice ${second}` }).waitFor();
    expect(await page.locator("table tbody tr").first().locator("td").nth(1).textContent()).not.toBe(" ");
    await page.getByRole("button", { name: `Take choice ${second}` }).click();
    await page.getByRole("link", { name: "Its numbers in the search" }).click();
    await page.locator("[data-stale]").waitFor();
    expect(await page.getByRole("button", { name: /^Save, then search again/ }).isEnabled()).toBe(true);
    await page.keyboard.press("3");
    await page.locator("[data-headline]").waitFor();
    expect(await page.locator("article").textContent()).toContain(sentence ?? "no sentence");
    await page.getByRole("button", { name: "Undo" }).click();
    await page.keyboard.press("p");
    await page.locator("[data-found]").waitFor();
    expect(await page.locator("[data-stale]").count()).toBe(0);

    // Any choice that lost says why.
    const lost = page.locator("[data-losses] button").first();
    await lost.focus();
    await page.keyboard.press("Enter");
    await page.locator("[data-lost] li").first().waitFor();
    expect(errors).toEqual([]);
  });
});
