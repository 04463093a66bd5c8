/** The page: built by Vite into dist/web, served with a policy that lets nothing else run, and with the token. */
import { readFile } from "node:fs/promises";
import { join } from "node:path";

/** What the page may load: its own files, and nothing from anywhere else. */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "font-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

/** Headers of every answer. */
export const securityHeaders: Readonly<Record<string, string>> = {
  "content-security-policy": policy,
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  // With it the page's workers may share a number, by which work that an edit made useless ends at once.
  "cross-origin-embedder-policy": "require-corp",
  "cross-origin-resource-policy": "same-origin",
};

const meta = /<meta\s+name="coldturn-token"[^>]*>/;

/** The page with the token in it; where it is not built, a page that says so. */
export async function pageHtml(folder: string, token: string): Promise<{ status: number; html: string }> {
  const html = await readFile(join(folder, "index.html"), "utf8").catch(() => undefined);
  const tag = `<meta name="coldturn-token" content="${token}">`;
  if (html === undefined) return { status: 503, html: missing.replace("<head>", `<head>${tag}`) };
  return {
    status: 200,
    html: meta.test(html) ? html.replace(meta, tag) : html.replace("<head>", `<head>${tag}`),
  };
}

const missing = `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>Coldturn: the page is not built</title></head>
<body>
<h1>The page is not built</h1>
<p>The server runs, but dist/web has no page. In the folder of the program, type</p>
<pre>npm run build</pre>
<p>and load this address again. The command line needs no page: coldturn --help lists what it does.</p>
</body>
</html>
`;
