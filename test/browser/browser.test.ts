import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { describeInBrowser } from "./browser.js";

const directory = mkdtempSync(join(tmpdir(), "coldturn-browser-"));
afterAll(() => rmSync(directory, { recursive: true, force: true }));

function fileOf(body: string): string {
  const path = join(directory, `${body.length}.html`);
  writeFileSync(path, `<!doctype html><html lang="en"><title>page</title>${body}</html>`);
  return path;
}

describeInBrowser("the browser of the tests", (open) => {
  it("draws a self-contained page that asks for nothing", async () => {
    const svg = `<svg width="10" height="20"><rect width="10" height="20"/></svg>`;
    const { page, requests, errors } = await open(fileOf(`<p>answer</p>${svg}`), {
      javaScriptEnabled: false,
    });
    expect(await page.locator("p").textContent()).toBe("answer");
    expect((await page.locator("svg").boundingBox())?.height).toBe(20);
    expect({ requests, errors }).toEqual({ requests: [], errors: [] });
  });

  it("sees a request and a script's error", async () => {
    const { requests, errors } = await open(
      fileOf(`<img src="https://example.org/a.png" alt=""><script>throw new Error("broken")</script>`),
    );
    expect(requests).toEqual(["https://example.org/a.png"]);
    expect(errors).toContain("broken");
  });
});
