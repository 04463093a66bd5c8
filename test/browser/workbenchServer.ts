/** The workbench as a user has it: `coldturn serve` on a copy of the demo, in a real browser. */
import { type ChildProcess, spawn } from "node:child_process";
import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { built } from "../host/built.js";
import { root } from "../project/files.js";
import { browserPath, launched } from "./browser.js";

export interface ServedWorkbench {
  readonly url: string;
  /** The copy of the demo's dossier. */
  readonly folder: string;
  /** Opens a page and waits for all twelve answers. @param path as "/question/3" */
  readonly open: (path?: string, options?: BrowserContextOptions) => Promise<OpenedBench>;
  /** Ends the server as a crash does, without a chance to tidy up. */
  readonly kill: () => Promise<void>;
  readonly stop: () => Promise<void>;
}

export interface OpenedBench {
  readonly page: Page;
  /** Errors of scripts, and what the content policy refused. */
  readonly errors: readonly string[];
}

/** Whether there is a browser for these tests. */
export function hasBrowser(): boolean {
  return browserPath() !== undefined;
}

/** Serves a copy of the demo. */
export async function serveDemo(): Promise<ServedWorkbench> {
  const path = browserPath();
  if (path === undefined) throw new Error("no chromium was found");
  const place = mkdtempSync(join(tmpdir(), "coldturn-workbench-"));
  const folder = join(place, "petrel");
  cpSync(join(root, "demo", "petrel-oxygen-main"), folder, { recursive: true });
  const program = fileURLToPath(built("src/cli/main.js"));
  const server = spawn(process.execPath, [program, "serve", folder, "--port", "0"], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const url = await addressOf(server);
  const browser = await launched(path);
  return {
    url,
    folder,
    open: (at = "/", options = {}) => openPage(browser, `${url}${at.slice(1)}`, options),
    kill: () => ended(server, "SIGKILL"),
    stop: async () => {
      await browser.close();
      await ended(server, "SIGTERM");
      rmSync(place, { recursive: true, force: true });
    },
  };
}

async function openPage(
  browser: Browser,
  address: string,
  options: BrowserContextOptions,
): Promise<OpenedBench> {
  const context = await browser.newContext({
    locale: "en-GB",
    viewport: { width: 1366, height: 768 },
    reducedMotion: "reduce",
    ...options,
  });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", ({ message }) => errors.push(message));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  await page.goto(address);
  await page
    .locator("nav li:nth-child(12) svg")
    .waitFor()
    .catch((thrown: unknown) => {
      throw new Error(`the twelve answers did not come: ${errors.join("; ")}`, { cause: thrown });
    });
  return { page, errors };
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

function ended(server: ChildProcess, signal: NodeJS.Signals): Promise<void> {
  if (server.exitCode !== null || server.signalCode !== null) return Promise.resolve();
  return new Promise((resolve) => {
    server.removeAllListeners("exit").on("exit", () => resolve());
    server.kill(signal);
  });
}
