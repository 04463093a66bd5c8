/** How the page is bundled: tools/bundle.mjs writes what comes out of it to dist/web. */
import { sep } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const root = fileURLToPath(new URL(".", import.meta.url));
const project = fileURLToPath(new URL("../..", import.meta.url));
/** Modules of the core only declare; those of the page start it. */
const declares = (id: string): boolean =>
  (id.startsWith(`${project}src${sep}`) && !id.startsWith(root)) || id.startsWith(`${project}data${sep}`);

const treeshake = { moduleSideEffects: (id: string) => !declares(id) };

export default defineConfig({
  root,
  base: "/",
  logLevel: "silent",
  build: {
    target: "es2023",
    // An older target rewrites light-dark(), and the theme could no longer be chosen.
    cssTarget: ["chrome123", "firefox120", "safari17.5"],
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: { treeshake },
  },
  worker: { format: "es", rolldownOptions: { treeshake } },
});
