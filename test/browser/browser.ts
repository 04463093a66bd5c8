/**
 * A real browser for tests. `COLDTURN_BROWSER` names its program; without it the usual places are
 * looked at. Without a browser the tests are left out with a printed notice, unless
 * `COLDTURN_BROWSER_REQUIRED` is set (as in the pipeline): then they fail.
 */
import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe } from "vitest";

const USUAL = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** The browser's program, or undefined. */
export function browserPath(): string | undefined {
  const { COLDTURN_BROWSER: named } = process.env;
  return [...(named ? [named] : USUAL)].find((path) => existsSync(path));
}

/** The browser itself, for pages that a server gives. */
export function launched(executablePath: string): Promise<Browser> {
  return chromium.launch({
    executablePath,
    args: ["--no-sandbox", "--disable-background-networking", "--disable-dev-shm-usage"],
  });
}

/** A page that was opened, and what it did that a self-contained page must not do. */
export interface OpenedPage {
  readonly page: Page;
  /** Addresses asked for beside the page itself; the network is out of reach. */
  readonly requests: readonly string[];
  /** Errors of scripts and messages of the console of kind error. */
  readonly errors: readonly string[];
}

export interface PageOptions {
  readonly javaScriptEnabled?: boolean;
  readonly colorScheme?: "light" | "dark";
  readonly viewport?: { readonly width: number; readonly height: number };
}

/** Opens a file of the machine in a context of its own. */
export type OpenFile = (path: string, options?: PageOptions) => Promise<OpenedPage>;

/** A describe block whose tests have a browser. */
export function describeInBrowser(name: string, body: (open: OpenFile) => void): void {
  const path = browserPath();
  const isRequired = Boolean(process.env.COLDTURN_BROWSER_REQUIRED);
  if (path === undefined && !isRequired) {
    process.stdout.write(
      `Left out: ${name}. No chromium was found; install it or name it in COLDTURN_BROWSER.\n`,
    );
  }
  describe.skipIf(path === undefined && !isRequired)(name, () => {
    let browser: Browser | undefined;
    beforeAll(async () => {
      if (path === undefined) throw new Error("COLDTURN_BROWSER_REQUIRED is set, and no chromium was found");
      browser = await launched(path);
    });
    afterAll(() => browser?.close());
    body(async (file, options = {}) => {
      if (browser === undefined) throw new Error("the browser did not start");
      const context = await browser.newContext({ locale: "en-GB", timezoneId: "UTC", ...options });
      const page = await context.newPage();
      const address = pathToFileURL(file).href;
      const requests: string[] = [];
      const errors: string[] = [];
      await page.route("**", (route) => {
        const { href } = new URL(route.request().url());
        if (href === address || href.startsWith("data:")) return route.continue();
        requests.push(href);
        return route.abort();
      });
      page.on("pageerror", ({ message }) => errors.push(message));
      page.on("console", (message) => {
        if (message.type() === "error") errors.push(message.text());
      });
      await page.goto(address, { waitUntil: "load" });
      return { page, requests, errors };
    });
  });
}
