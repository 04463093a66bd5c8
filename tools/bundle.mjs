/**
 * Bundles the program into dist/: each entry stays at its own path (src/cli/main.ts becomes
 * dist/src/cli/main.js), what entries share lies in dist/chunks/, and a command loads a few files
 * instead of some hundreds. Data are bundled with the code that reads them; native parts of
 * packages stay in node_modules. Started by tools/setup.mjs; types are checked by tools/check.mjs.
 *
 *   node tools/bundle.mjs
 */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { stripVTControlCharacters } from "node:util";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { rolldown } from "rolldown";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const dist = join(root, "dist");

/** The page that `coldturn serve` shows. */
const PAGE = "src/web";
/** Folders whose every file with this ending is an entry, and single entries. */
const WORKERS = { folder: "src/host", ending: /Worker\.ts$/ };
const TOOLS = { folder: "tools", ending: /\.ts$/ };
/** Where the chunks of what only a developer starts lie: no package has them. */
const DEVELOPER = "chunks/developer";
/**
 * Bundles, each with chunks of its own: what a user starts, cut so that a command loads what it needs;
 * the worker threads, that need the least; the library, whose two faces share what they have in common,
 * with the demo; what a developer starts, with the faces of `host` that the tests call as bundled.
 */
const BUNDLES = [
  { entries: ["src/cli/main.ts"] },
  ...entriesIn(WORKERS).map((path) => ({ entries: [path] })),
  { entries: ["src/api/coldturn.ts", "src/node/index.ts", "demo/run.ts"] },
  {
    entries: [
      ...["bench/run.ts", "src/host/index.ts", "src/host/wholeFile.ts"],
      ...["test/cli/warmServer.ts", ...entriesIn(TOOLS)],
    ],
    chunks: DEVELOPER,
  },
];
/**
 * Native parts, the packages of the server, the driver of a browser and two tools of the developer, which load
 * parts of themselves by name: a package of a hundred small files costs more to find than to run, but these
 * are started once a day.
 */
const EXTERNAL = [
  /^@duckdb\/node-bindings/,
  /^h5wasm/,
  /^fastify$/,
  /^@fastify\//,
  /^chokidar$/,
  /^playwright-core$/,
  /^rolldown$/,
  /^typescript$/,
  /^@myriaddreamin\//,
];
/** Modules that only declare. */
const OWN = [join(root, "src", sep), join(root, "data", sep)];
/** Written by others into dist/. */
const FOREIGN = /^(\.|test-report\.json$|site\/|browser\/|types\/)/;

function entriesIn({ folder, ending }) {
  if (!existsSync(join(root, folder))) return [];
  return readdirSync(join(root, folder))
    .filter((name) => ending.test(name))
    .map((name) => `${folder}/${name}`);
}

/** The files of one bundle: [path in dist, text], the chunks before the entries that need them. */
async function filesOf({ entries, chunks = "chunks" }) {
  const present = entries.filter((path) => existsSync(join(root, path)));
  if (present.length === 0) return [];
  const bundle = await rolldown({
    cwd: root,
    input: Object.fromEntries(present.map((path) => [path.replace(/\.ts$/, ""), path])),
    platform: "node",
    external: EXTERNAL,
    // No module of the project does anything when it is imported: what is not used is not loaded.
    treeshake: { moduleSideEffects: (id) => !OWN.some((folder) => id.startsWith(folder)) },
    logLevel: "silent",
  });
  const { output } = await bundle.generate({
    format: "esm",
    entryFileNames: "[name].js",
    chunkFileNames: `${chunks}/[name]-[hash].js`,
    sourcemap: true,
    // Spaces and comments cost reading at each start; names stay for the stack of a defect.
    minify: { compress: false, mangle: false, codegen: { removeWhitespace: true } },
  });
  await bundle.close();
  return output
    .map((file) => [file.fileName, file.type === "chunk" ? file.code : file.source])
    .sort(([a], [b]) => Number(b.startsWith("chunks/")) - Number(a.startsWith("chunks/")));
}

/** The files of the page: [path in dist, text or bytes]; its own settings are beside its sources. */
async function pageFiles() {
  const configFile = join(root, PAGE, "vite.config.ts");
  if (!existsSync(configFile)) return [];
  // Whoever builds it, as a test with an environment of its own: the page is the same.
  process.env.NODE_ENV = "production";
  const { build } = await import("vite");
  const { output } = await build({ configFile, build: { write: false } });
  // The page that names the others comes last.
  return output
    .flatMap((file) => compressed(`web/${file.fileName}`, file.type === "chunk" ? file.code : file.source))
    .sort(([a], [b]) => Number(a.endsWith(".html")) - Number(b.endsWith(".html")));
}

/** A file of the page, and what the server sends of it to a browser that can unpack it; the page itself gets its token first. */
function compressed(name, text) {
  if (!/\.(js|css)$/.test(name)) return [[name, text]];
  return [
    [`${name}.br`, brotliCompressSync(text)],
    [`${name}.gz`, gzipSync(text)],
    [name, text],
  ];
}

/** Whole or not at all: a command that starts meanwhile finds the old files or the new ones. */
function write(name, text) {
  const path = join(dist, name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(`${path}.part`, text);
  renameSync(`${path}.part`, path);
}

function removeAllBut(names) {
  const kept = new Set(names);
  for (const entry of readdirSync(dist, { recursive: true, withFileTypes: true })) {
    const name = join(entry.parentPath ?? entry.path, entry.name).slice(dist.length + 1);
    if (entry.isFile() && !FOREIGN.test(name) && !kept.has(name.replaceAll("\\", "/")))
      rmSync(join(dist, name), { force: true });
  }
}

try {
  const files = (await Promise.all([...BUNDLES.map(filesOf), pageFiles()])).flat();
  for (const [name, text] of files) write(name, text);
  removeAllBut(files.map(([name]) => name));
} catch (error) {
  process.stderr.write(`${stripVTControlCharacters(error.message)}\n`);
  process.exitCode = 1;
}
