/** The workbench in a real browser, for what a person at the page waits for. */
import { type ChildProcess, spawn } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import type { Measured } from "./bench.js";

const usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
/** Opens a page of the workbench in a window of its own, without a cache. */
export type Opened = (path: string) => Promise<Page>;

/**
 * Starts server and browser on a copy of the demo, and ends both.
 * @param prepare  what is done to the copy before it is served
 */
export async function inBrowser(
  act: (open: Opened) => Promise<Measured>,
  prepare: (folder: string) => Promise<void> = async () => {},
): Promise<Measured> {
  const { COLDTURN_BROWSER: named } = process.env;
  const program = [...(named ? [named] : usual)].find((path) => existsSync(path));
  if (program === undefined)
    return {
      value: Number.NaN,
      unit: "s",
      accuracy: "no chromium was found: apt-get install chromium, or name one in COLDTURN_BROWSER",
    };
  const place = mkdtempSync(join(tmpdir(), "coldturn-bench-"));
  const folder = join(place, "petrel");
  cpSync("demo/petrel-oxygen-main", folder, { recursive: true });
  await prepare(folder);
  const server = spawn(process.execPath, ["dist/src/cli/main.js", "serve", folder, "--port", "0"], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  let browser: Browser | undefined;
  try {
    const address = await addressOf(server);
    const { chromium } = await import("playwright-core");
    browser = await chromium.launch({
      executablePath: program,
      args: ["--no-sandbox", "--disable-background-networking", "--disable-dev-shm-usage"],
    });
    const started = browser;
    return await act(async (path) => {
      const context = await started.newContext({
        locale: "en-GB",
        viewport: { width: 1366, height: 768 },
        reducedMotion: "reduce",
      });
      const page = await context.newPage();
      await page.goto(`${address}${path}`);
      return page;
    });
  } finally {
    await browser?.close();
    server.kill();
    rmSync(place, { recursive: true, force: true });
  }
}

function addressOf(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = "";
    for (const stream of [server.stdout, server.stderr])
      stream?.setEncoding("utf8").on("data", (text: string) => {
        said += text;
        const address = /http:\/\/[\d.]+:\d+\//.exec(said)?.[0];
        if (address !== undefined) resolve(address);
      });
    server.on("exit", () => reject(new Error(`the server ended: ${said}`)));
  });
}
