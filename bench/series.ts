/**
 * Zooming and panning in a run of ten million samples, in a real browser: from the turn of the wheel or the
 * press of a key to the end of the frame that shows it. What is drawn never waits for finer samples; they are
 * fetched meanwhile and drawn by the same frames. That no extreme is lost on the way is
 * test/server/long.test.ts.
 */
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { DuckDBInstance } from "@duckdb/node-api";
import type { Page } from "playwright-core";
import type { Bench } from "./bench.js";
import { inBrowser } from "./browser.js";
import { budgetMachine } from "./rk4.js";

const rows = 10_000_000;
const rate_Hz = 10_000;
const run = "ten-million";
/** Zooms and pans that are measured. */
const moves = 80;
/** Between two of them: at once, and long enough for finer samples to come. */
const between = [5, 250] as const;
/** Loading the whole record takes seconds [ms]. */
const patience = 120_000;

/** One opening at 1 s, then a noise that repeats, in all channels that the page draws. */
const columns: readonly (readonly [name: string, value: string])[] = [
  ["t [s]", `i / ${rate_Hz}.0`],
  ["cmd [V]", `CASE WHEN i >= ${rate_Hz} THEN 5.0 ELSE 0.0 END`],
  ["angle [deg]", `least(90, greatest(0, 300 * (i / ${rate_Hz}.0 - 1.05))) + 0.02 * z`],
  ["current [A]", `CASE WHEN i > ${rate_Hz} AND i < ${1.35 * rate_Hz} THEN 4 ELSE 0 END + 0.2 * z`],
  ["supply [V]", "24 + 0.1 * z"],
  ["flow [kg/s]", `least(3.8, greatest(0, 12 * (i / ${rate_Hz}.0 - 1.05))) + 0.01 * z`],
];

async function importLog(folder: string): Promise<void> {
  const log = join(folder, "..", "log.parquet");
  const instance = await DuckDBInstance.create(":memory:");
  const connection = await instance.connect();
  const cells = columns.map(([name, value]) => `${value} AS "${name}"`).join(", ");
  const table = `(SELECT i, ((i * 7919) % 1000) / 1000.0 AS z FROM range(${rows}) r(i))`;
  await connection.run(`COPY (SELECT ${cells} FROM ${table}) TO '${log}' (FORMAT parquet, COMPRESSION zstd)`);
  connection.closeSync();
  instance.closeSync();
  const words = ["dist/src/cli/main.js", "import", folder, log, "--case", "dry-ambient", "--run", run];
  execFileSync(process.execPath, [...words, "--date", "2031-04-18", "--quiet"]);
}

/** Turns the wheel with Ctrl over the panels, or presses a key of the slider below; resolves at the end of the frame [ms]. */
const move = (n: number): string => `new Promise((resolve) => {
  const panels = document.querySelector("[data-panels]");
  const box = panels.getBoundingClientRect();
  const began = performance.now();
  if (${n % 3 === 2}) {
    const key = ${JSON.stringify(n % 2 === 0 ? "PageDown" : "PageUp")};
    document.querySelector("[data-panels] ~ input[type=range]").dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  } else {
    const clientX = box.left + box.width * ${(0.2 + ((n * 7) % 10) / 16).toFixed(3)};
    // Four steps closer, four steps back: through all depths, from the whole record to single rows.
    const deltaY = ${n % 40 < 22 ? -300 : 300};
    panels.dispatchEvent(new WheelEvent("wheel", { deltaY, ctrlKey: true, clientX, clientY: box.top + 60, bubbles: true, cancelable: true }));
  }
  requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => { port1.close(); resolve(performance.now() - began); };
    port2.postMessage(undefined);
  });
})`;

async function movesOn(page: Page): Promise<readonly number[]> {
  await page.getByRole("button", { name: "Whole record" }).click({ timeout: patience });
  await page.waitForTimeout(1000);
  const found: number[] = [];
  for (let n = 0; n < moves; n++) {
    found.push(await page.evaluate<number>(move(n)));
    await page.waitForTimeout(between[n % 2] ?? 0);
  }
  return found;
}

export const zoomOrPan: Bench = {
  name: "page, zoom or pan in a run of 10 million samples",
  budget: { kind: "at most", value: 0.05, setWhere: budgetMachine },
  run: () =>
    inBrowser(async (open) => {
      const page = await open(`tests/${run}`);
      const found = (await movesOn(page)).toSorted((a, b) => a - b);
      const shown = await page.getByText(/shown .* to .* ms/).textContent();
      const at = (share: number) => found[Math.min(Math.floor(share * found.length), found.length - 1)] ?? 0;
      return {
        value: at(0.95) / 1e3,
        unit: "s",
        accuracy: `95th percentile of ${found.length}, median ${Math.round(at(0.5))} ms, slowest ${Math.round(at(1))} ms, at the end ${shown?.replace(/^.*shown/, "shown") ?? ""}; every extreme kept: test/server/long.test.ts`,
      };
    }, importLog),
};
