/** How the page is bundled: tools/bundle.mjs writes what comes out of it to dist/web. */
import { readFileSync } from "node:fs";
import { sep } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const root = fileURLToPath(new URL(".", import.meta.url));
const project = fileURLToPath(new URL("../..", import.meta.url));
/** Modules of the core only declare; those of the page start it. */
const declares = (id: string): boolean =>
  (id.startsWith(`${project}src${sep}`) && !id.startsWith(root)) || id.startsWith(`${project}data${sep}`);

const treeshake = { moduleSideEffects: (id: string) => !declares(id) };

interface Chunk {
  readonly type: string;
  readonly imports?: readonly string[];
}

/**
 * What the first look needs and a later part of the page uses too, in one script: cut by who shares what it would
 * be a dozen small ones, which compress worse.
 */
const shared = {
  name: "shared",
  test: /\/src\/(picture|quantity|fault)\/|\/src\/web\/page\/(Field|Picture|Tables|VerdictMark|headline|keepFile|look|useBench)\.|\/src\/web\/page\/bench\.module|\/src\/web\/state\/(acts|disk|history|inputKey|kept|merge|schedule|server|workbench|workers)\.|\/node_modules\/(react|react-dom|scheduler|wouter|zustand)\//,
};

/** Names in the page what its first script will ask for, so that the browser fetches all of it at once. */
const preloads = {
  name: "preloads",
  transformIndexHtml: {
    order: "post" as const,
    handler: (html: string, { bundle = {} }: { readonly bundle?: Readonly<Record<string, Chunk>> }) => {
      const first = Object.keys(bundle).filter((name) => name.endsWith(".js") && name.includes("startPage"));
      return [...withImports(first, bundle)]
        .filter((name) => !html.includes(`/${name}`))
        .map((name) => ({
          tag: "link",
          attrs: { rel: "modulepreload", href: `/${name}`, crossorigin: true },
          injectTo: "head" as const,
        }));
    },
  },
};

/**
 * The page checks files of data and makes no JSON Schema of their forms. The library that checks them hangs the
 * making on every form; without it the worker is 5 kB smaller as it is sent.
 */
const withoutJsonSchema = {
  name: "without-json-schema",
  load: (id: string): string | undefined => {
    if (!/\/zod\/v4\/core\/(to-json-schema|json-schema-processors)\.js$/.test(id)) return undefined;
    const names = [...readFileSync(id, "utf8").matchAll(/^export (?:const |function |\{ \w+ as )(\w+)/gm)];
    const none = 'const none = () => { throw new Error("the page makes no JSON Schema"); };';
    return [none, ...names.map(([, name]) => `export const ${name} = () => none;`)].join("\n");
  },
};

/** Scripts and those that they cannot do without. */
function withImports(names: readonly string[], bundle: Readonly<Record<string, Chunk>>): ReadonlySet<string> {
  const found = new Set(names);
  for (const name of found) for (const needed of bundle[name]?.imports ?? []) found.add(needed);
  return found;
}

export default defineConfig({
  root,
  plugins: [preloads, withoutJsonSchema],
  base: "/",
  logLevel: "silent",
  build: {
    target: "es2023",
    // An older target rewrites light-dark(), and the theme could no longer be chosen.
    cssTarget: ["chrome123", "firefox120", "safari17.5"],
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: { treeshake, output: { codeSplitting: { groups: [shared] } } },
  },
  worker: { format: "es", plugins: () => [withoutJsonSchema], rolldownOptions: { treeshake } },
});
