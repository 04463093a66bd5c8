/**
 * What a person at the page waits for, in a real browser on a copy of the demo: the first answer after the
 * page is asked for, and an answer after an edit. The page itself measures both, from the event to the
 * end of the frame that shows the answer (src/web/state/workers.ts).
 */
import type { Page } from "playwright-core";
import { median } from "../src/numerics/index.js";
import type { Bench } from "./bench.js";
import { inBrowser } from "./browser.js";
import { pageScripts } from "./pageScripts.js";
import { budgetMachine } from "./rk4.js";

/** Loads of the page, each with an empty cache. */
const loads = 7;
/** Fields that are edited at each question, at most. */
const fieldsEach = 6;
/** Without an answer for so long an edit has failed [ms]. */
const longest = 20_000;
/** Between two edits: the page is at rest again, or has begun its thorough work [ms]. */
const between = [100, 900] as const;

/** The waits that the page has measured so far under a name [ms]. */
const waits = (page: Page, name: string): Promise<readonly number[]> =>
  page.evaluate<number[]>(
    `performance.getEntriesByName(${JSON.stringify(name)}).map(({ duration }) => duration)`,
  );

/** The wait that is measured next, after `known` others [ms]. */
async function nextWait(page: Page, name: string, known: number): Promise<number> {
  for (const started = performance.now(); performance.now() - started < longest; ) {
    const found = (await waits(page, name))[known];
    if (found !== undefined) return found;
    await page.waitForTimeout(25);
  }
  return longest;
}

export const firstAnswer: Bench = {
  name: "page, to its first answer on screen",
  budget: { kind: "at most", value: 1, setWhere: budgetMachine },
  run: () =>
    inBrowser(async (open) => {
      const found: number[] = [];
      for (let n = 0; n < loads; n++) {
        const page = await open("question/3");
        found.push(await nextWait(page, "first answer", 0));
        await page.context().close();
      }
      return {
        value: median(found) / 1e3,
        unit: "s",
        accuracy: `median of ${loads} loads without a cache, slowest ${Math.round(Math.max(...found))} ms; a band of 72 openings`,
      };
    }),
};

/** Types another nominal value into a field, or moves its slider; false where it has no such thing. */
const edit = (path: string, way: "slide" | "type"): string => `(() => {
  const field = document.querySelector('aside [data-path="${path}"]');
  const input = field?.querySelector('input[type=${way === "slide" ? "range" : "text"}]');
  if (!input) return false;
  const put = (value) => {
    Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set.call(input, value);
    input.dispatchEvent(new Event("input", { bubbles: true }));
  };
  if (${way === "slide"}) {
    put(String(Number(input.value) + 0.004 * (Number(input.max) - Number(input.min))));
    return true;
  }
  const parts = /^(.*?)(\\d+(?:\\.\\d+)?)(.*)$/s.exec(input.value);
  if (parts === null) return false;
  put(parts[1] + Number((Number(parts[2]) * 1.004).toPrecision(7)) + parts[3]);
  input.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
  return true;
})()`;

interface Wait {
  readonly ms: number;
  readonly of: string;
}

/** Edits the fields beside one question. */
async function editsAt(page: Page, question: number): Promise<readonly Wait[]> {
  await page.evaluate(`history.pushState(null, "", "/question/${question}")`);
  await page.locator("h2", { hasText: new RegExp(`^${question} `) }).waitFor({ timeout: longest });
  await page.waitForTimeout(between[1]);
  const paths = await page.evaluate<string[]>(
    `[...document.querySelectorAll("aside [data-path]:has(input[type=range])")].map((field) => field.dataset.path)`,
  );
  const found: Wait[] = [];
  for (const path of paths.slice(0, fieldsEach))
    for (const way of ["slide", "type"] as const) {
      const known = (await waits(page, "edit to redraw")).length;
      if (!(await page.evaluate<boolean>(edit(path, way)))) continue;
      const ms = await nextWait(page, "edit to redraw", known);
      found.push({ ms, of: `question ${question}, ${path}` });
      await page.waitForTimeout(between[found.length % 2] ?? 0);
    }
  return found;
}

export const editToRedraw: Bench = {
  name: "page, edit to redrawn answer",
  budget: { kind: "at most", value: 0.05, setWhere: budgetMachine },
  run: () =>
    inBrowser(async (open) => {
      const page = await open("question/1");
      // All twelve from the sharp band: then every question has the fields that it hangs on beside it.
      await page.getByText("Band from 4096 openings").waitFor({ timeout: 6 * longest });
      const found: Wait[] = [];
      for (let question = 1; question <= 12; question++) found.push(...(await editsAt(page, question)));
      const sorted = found.toSorted((a, b) => a.ms - b.ms);
      const at = (share: number) => sorted[Math.min(Math.floor(share * sorted.length), sorted.length - 1)];
      const slowest = sorted.at(-1);
      return {
        value: (at(0.95)?.ms ?? Number.NaN) / 1e3,
        unit: "s",
        accuracy: `95th percentile of ${sorted.length} edits of numbers at ${new Set(found.map(({ of }) => of.split(",")[0])).size} questions by slider and by typing, median ${Math.round(at(0.5)?.ms ?? Number.NaN)} ms, slowest ${Math.round(slowest?.ms ?? Number.NaN)} ms (${slowest?.of}); first looks, which are sharpened afterwards`,
      };
    }),
};

export const pageScript: Bench = {
  name: "page script of the first load, compressed",
  budget: { kind: "at most", value: 450e3 },
  run: () => {
    const { first, later } = pageScripts("dist/web");
    return {
      value: first,
      unit: "B",
      accuracy: `as it is sent, that of the workers in it; parts that are fetched when they are first looked at take ${Math.round(later / 1e3)} kB more`,
    };
  },
};
