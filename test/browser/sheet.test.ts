import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import axe from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { figureCsv } from "../../src/picture/index.js";
import { type SheetContent, sheetHtml } from "../../src/sheet/index.js";
import { testedContent } from "../sheet/petrelSheet.js";
import { describeInBrowser } from "./browser.js";

/** What axe reports of one rule. */
interface Violation {
  readonly id: string;
  readonly impact: string;
  readonly nodes: readonly { readonly html: string }[];
}

/** @param rules those that are asked, all of them by default */
async function violations(page: Page, rules?: readonly string[]): Promise<readonly Violation[]> {
  await page.evaluate(axe.source);
  const options = rules === undefined ? {} : { runOnly: rules };
  return page.evaluate<readonly Violation[]>(
    `axe.run(${JSON.stringify(options)}).then(({ violations }) => violations)`,
  );
}

/** What depends on colours and width; all else is the same markup. */
const lookRules = ["color-contrast", "target-size", "scrollable-region-focusable", "meta-viewport"];

const wide = { width: 1200, height: 900 };
const middle = { width: 700, height: 900 };
const narrow = { width: 380, height: 800 };

describeInBrowser("the sheet in a browser", (open) => {
  const directory = mkdtempSync(join(tmpdir(), "coldturn-sheet-"));
  const file = join(directory, "sheet.html");
  let content: SheetContent;
  beforeAll(async () => {
    content = await testedContent();
    writeFileSync(file, sheetHtml(content));
  });
  afterAll(() => rmSync(directory, { recursive: true, force: true }));

  it("is read without script and without network", async () => {
    const { page, requests, errors } = await open(file, { javaScriptEnabled: false, viewport: wide });
    expect(await page.locator("h1").textContent()).toBe("Petrel oxygen main valve");
    const pictures = page.locator("figure .wide svg");
    expect(await pictures.count()).toBeGreaterThan(10);
    expect((await pictures.first().boundingBox())?.width).toBeGreaterThan(300);
    expect({ requests, errors }).toEqual({ requests: [], errors: [] });
  });

  it.each([
    ["light", wide, undefined],
    ["dark", narrow, lookRules],
  ] as const)("axe finds nothing against it: %s, %o", async (colorScheme, viewport, rules) => {
    const { page } = await open(file, { colorScheme, viewport });
    const found = await violations(page, rules);
    expect(found.map(({ id, impact, nodes }) => `${impact} ${id}: ${nodes[0]?.html.slice(0, 200)}`)).toEqual(
      [],
    );
  });

  it("axe finds what is wrong with a page that is wrong", async () => {
    const wrong = join(directory, "wrong.html");
    writeFileSync(
      wrong,
      `<!doctype html><html><body><img src="data:,"><p style="color:#ccc">pale</p></body></html>`,
    );
    const { page } = await open(wrong, { viewport: wide });
    const ids = (await violations(page)).map(({ id }) => id);
    expect(ids).toEqual(expect.arrayContaining(["color-contrast", "html-has-lang", "image-alt"]));
  });

  it.each([wide, middle, narrow, { width: 320, height: 800 }])("fits the width: %o", async (viewport) => {
    const { page } = await open(file, { viewport });
    const beyond = await page.evaluate<readonly string[]>(`
      [...document.querySelectorAll("body *")]
        .filter((one) => one.closest("svg") === null || one.tagName === "svg")
        .filter((one) => one.getBoundingClientRect().right > innerWidth + 1 && one.closest(".unseen, thead") === null)
        .map((one) => one.outerHTML.slice(0, 120))`);
    expect(beyond).toEqual([]);
    expect(await page.evaluate("document.documentElement.scrollWidth <= innerWidth")).toBe(true);
  });

  it("no two lines of text lie on each other", async () => {
    for (const viewport of [wide, middle, narrow]) {
      const { page } = await open(file, { viewport });
      const covered = await page.evaluate<readonly string[]>(`
        [...document.querySelectorAll("h1,h2,h3,h4,p,dt,dd,th,td,figcaption,summary,.mark,.strip a,.bar")]
          .filter((one) => one.checkVisibility() && one.closest(".unseen, thead, .skip") === null)
          .map((one) => ({ one, box: one.getBoundingClientRect() }))
          .flatMap((first, index, all) => all.slice(index + 1, index + 12)
            .filter(({ one, box }) => !first.one.contains(one) && !one.contains(first.one)
              && Math.min(box.right, first.box.right) - Math.max(box.left, first.box.left) > 1
              && Math.min(box.bottom, first.box.bottom) - Math.max(box.top, first.box.top) > 1)
            .map(({ one }) => first.one.textContent.slice(0, 40) + " / " + one.textContent.slice(0, 40)))`);
      expect(covered).toEqual([]);
    }
  });

  it("paper shows what a screen keeps folded, on white", async () => {
    const { page } = await open(file, { viewport: wide, colorScheme: "dark" });
    const ground = page.locator("#check-3-1 details dl");
    expect(await ground.isVisible()).toBe(false);
    await page.emulateMedia({ media: "print" });
    expect((await ground.boundingBox())?.height).toBeGreaterThan(20);
    const seen = await page.evaluate(`({
      fold: document.querySelector("#check-3-1 details dl").checkVisibility(),
      paper: getComputedStyle(document.body).backgroundColor,
    })`);
    expect(seen).toEqual({ fold: true, paper: "rgb(255, 255, 255)" });
    for (const format of ["A4", "Letter"])
      expect((await page.pdf({ format })).length).toBeGreaterThan(50_000);
  });

  it("gives the data of a picture without script", async () => {
    const { page } = await open(file, { javaScriptEnabled: false, viewport: wide });
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.locator("#question-3 a.data").first().click(),
    ]);
    const figure = content.answers[2]?.figures[0];
    if (figure === undefined) throw new Error("question 3 has no picture");
    expect(download.suggestedFilename()).toBe(`opening-${figure.id}.csv`);
    expect(readFileSync(await download.path(), "utf8")).toBe(figureCsv(figure));
  });

  it("is operated by keyboard: skip links come first and show themselves, a fold opens", async () => {
    const { page } = await open(file, { viewport: wide });
    await page.keyboard.press("Tab");
    const first = page.locator(":focus");
    expect(await first.textContent()).toBe("Skip to the overview");
    expect((await first.boundingBox())?.y).toBeGreaterThanOrEqual(0);
    await page.keyboard.press("Enter");
    expect(new URL(page.url()).hash).toBe("#overview");
    await page.locator("#check-1-1 summary").focus();
    await page.keyboard.press("Enter");
    expect(await page.locator("#check-1-1 dl").isVisible()).toBe(true);
  });

  it("a target is not hidden under the strip of verdicts", async () => {
    const { page } = await open(file, { viewport: wide });
    await page.locator(".strip a").nth(6).click();
    const strip = await page.locator(".strip").boundingBox();
    const heading = await page.locator("#question-7-title").boundingBox();
    expect(strip?.y).toBeCloseTo(0, 0);
    expect(heading?.y).toBeGreaterThanOrEqual(strip?.height ?? 0);
    expect(heading?.y).toBeLessThan(300);
  });

  it("text from a file runs no script and breaks no line of the page", async () => {
    const path = join(directory, "hostile.html");
    const name = `<img src=x onerror="document.title='run'"></h1><script>document.title='run'</script>${"W".repeat(300)}`;
    const { prediction } = content;
    const dossier = { ...prediction.dossier, valve: { ...prediction.dossier.valve, name } };
    writeFileSync(
      path,
      sheetHtml({
        ...content,
        prediction: { ...prediction, dossier },
        files: [{ name, sha256: "0".repeat(64) }],
        notices: [{ code: name, text: name, field: name }],
      }),
    );
    const { page, requests, errors } = await open(path, { viewport: narrow });
    expect(await page.locator("h1").textContent()).toBe(name);
    expect(await page.title()).toContain(name.slice(0, 20));
    expect(await page.evaluate("document.documentElement.scrollWidth <= innerWidth")).toBe(true);
    expect({ requests, errors }).toEqual({ requests: [], errors: [] });
  });
});
