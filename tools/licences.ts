/**
 * Writes THIRD_PARTY.md: every package that a package of Coldturn has in it or brings along, with its
 * licence. What is bundled has the text of its licence there; what npm installs beside it has its own.
 *
 *   node dist/tools/licences.js
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const self = fileURLToPath(import.meta.url);
// The bundled file lies in dist/tools/, the source in tools/.
const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");

/** A package of the lock file that is shipped. */
export interface ShippedPackage {
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  /** In the files of the program, or installed beside them by npm. */
  readonly how: "bundled" | "installed";
  /** Path in the lock file: "node_modules/yaml". */
  readonly path: string;
}

interface LockedPackage {
  readonly version?: string;
  readonly license?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
  readonly peerDependencies?: Readonly<Record<string, string>>;
}

/** Licences by the text of their file, where the registry has no name for them. */
const named: Readonly<Record<string, string>> = {
  h5wasm: "NIST notice; HDF5 (BSD style)",
  "dejavu-fonts-ttf": "Bitstream Vera; Arev; public domain",
};

/** What may be shipped: none of these asks anything of who uses the program. */
const allowed =
  /^\(?(MIT|ISC|BSD-2-Clause|BSD-3-Clause|Apache-2\.0|0BSD|BlueOak-1\.0\.0|CC0-1\.0|Unlicense)\b/;

/** Whether a package's licence may be shipped. */
export function isAllowed({ name, licence }: Pick<ShippedPackage, "name" | "licence">): boolean {
  return allowed.test(licence) || named[name] === licence;
}

/** Every package that is shipped, by name. */
export function shippedPackages(): readonly ShippedPackage[] {
  const locked: Readonly<Record<string, LockedPackage>> = JSON.parse(read("package-lock.json")).packages;
  const { dependencies = {} } = JSON.parse(read("package.json"));
  const installed = closureOf(locked, Object.keys(dependencies));
  const bundled = closureOf(
    locked,
    importedBySources().filter((name) => !(name in dependencies)),
  );
  const shipped = (how: ShippedPackage["how"]) => (path: string) => {
    const { version = "", license } = locked[path] ?? {};
    const name = path.replace(/^.*node_modules\//, "");
    return { name, version, licence: named[name] ?? license ?? "not known", how, path };
  };
  return [
    ...[...bundled].map(shipped("bundled")),
    ...[...installed].filter((path) => !bundled.has(path)).map(shipped("installed")),
  ].sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** Names of the packages that the sources import. */
function importedBySources(): readonly string[] {
  const files = ["src", "demo"].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
      .filter((name) => /\.tsx?$/.test(name) && !name.endsWith("vite.config.ts"))
      .map((name) => join(folder, name)),
  );
  const names = files.flatMap((file) =>
    [...read(file).matchAll(/(?:^(?:import|export)\b[^;]*?\bfrom |\bimport\()"([^."][^"]*)"/gm)].map(
      ([, from = ""]) =>
        from
          .split("/")
          .slice(0, from.startsWith("@") ? 2 : 1)
          .join("/"),
    ),
  );
  return [...new Set(names)].filter((name) => !name.startsWith("node:") && name !== "coldturn");
}

/** Paths in the lock file of some packages and of all that they need in turn. */
function closureOf(
  locked: Readonly<Record<string, LockedPackage>>,
  names: readonly string[],
): ReadonlySet<string> {
  const found = new Set<string>();
  const visit = (name: string, from: string): void => {
    const path = pathOf(locked, name, from);
    if (path === undefined || found.has(path)) return;
    found.add(path);
    const { dependencies, optionalDependencies } = locked[path] ?? {};
    for (const next of Object.keys({ ...dependencies, ...optionalDependencies })) visit(next, path);
  };
  for (const name of names) visit(name, "");
  return found;
}

/** Where Node finds a package: beside who asks, or in a folder above. */
function pathOf(
  locked: Readonly<Record<string, LockedPackage>>,
  name: string,
  from: string,
): string | undefined {
  for (let folder = from; ; folder = folder.replace(/(^|\/)node_modules\/(@[^/]+\/)?[^/]+$/, "")) {
    const path = `${folder === "" ? "" : `${folder}/`}node_modules/${name}`;
    if (path in locked) return path;
    if (folder === "") return undefined;
  }
}

/** Text of THIRD_PARTY.md. */
export function thirdPartyPage(): string {
  const shipped = shippedPackages();
  const rows = shipped.map(
    ({ name, version, licence, how }) => `| \`${name}\` | ${version} | ${licence} | ${how} |`,
  );
  const texts = shipped
    .filter(({ how }) => how === "bundled")
    .flatMap(({ name, version, path }) => {
      const text = licenceText(path);
      return text === undefined ? [] : ["", `### ${name} ${version}`, "", "~~~text", text, "~~~"];
    });
  return [
    "# Packages of others",
    "",
    "Written by `tools/licences.ts` from `package-lock.json`; a test compares the two, and fails for a licence that is not on its list. *Bundled* packages are part of the files of the program, as a whole or in part; *installed* ones are fetched by npm beside it, each with its own licence file, and of those for several platforms only the fitting one.",
    "",
    "| package | version | licence | shipped |",
    "|---|---|---|---|",
    ...rows,
    "",
    "## Licence texts of what is bundled",
    ...texts,
    "",
  ].join("\n");
}

function licenceText(path: string): string | undefined {
  if (!existsSync(join(root, path))) return undefined;
  const file = readdirSync(join(root, path)).find((name) => /^(licen[cs]e|copying)/i.test(name));
  if (file === undefined) return undefined;
  return read(join(path, file))
    .replaceAll("\r", "")
    .split("\n")
    .map((line) => line.trimEnd())
    .join("\n")
    .trim();
}

function read(path: string): string {
  return readFileSync(join(root, path), "utf8");
}

if (process.argv[1] === self) writeFileSync(join(root, "THIRD_PARTY.md"), thirdPartyPage());
