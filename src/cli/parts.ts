/** `coldturn parts`: the parts on file, one of them in full, and a team's own list taken in. */
import { join } from "node:path";
import { type Part, partKinds, partsOfTable, partsOnFile, readParts } from "../dossier/index.js";
import { type Fault, nearName, Refusal, refuse } from "../fault/index.js";
import { kindAt, readDossierFiles, readPartTable, readText, writeWhole } from "../host/index.js";
import type { Declared } from "../quantity/index.js";
import type { Command, Input, Outcome } from "./command.js";
import { hasOption, textOption } from "./options.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";

export const partsCommand: Command = {
  name: "parts",
  summary: "list the parts on file, print one in full, or take in a list of your own",
  details: [
    "Lists motors, gear stages, seats, valves and batteries that valve files may name by `part:`: the generic classes that are shipped, and with --in the parts of a dossier, which go before a shipped one of the same name. With a name it prints every value of that part, how it was read, and where it comes from.",
    "--import takes in a list of parts, CSV or Parquet, with a mapping that says which column is which field, in which unit and with which spread: each row becomes a file in parts/ of the dossier, to be read and corrected there like any other. A value that does not fit is told with line, column and field, and then nothing is written.",
  ],
  arguments: [{ flags: "[name]", description: "name of a part, to print all of it" }],
  options: [
    { flags: "--in <folder>", description: "dossier whose own parts (parts/*.yaml) are listed too" },
    { flags: "--kind <kind>", description: `parts of one kind alone: ${partKinds.join(", ")}` },
    { flags: "--class <class>", description: "parts of one class alone, as planetary" },
    {
      flags: "--import <table>",
      description: "list of parts to take in: CSV or Parquet; needs --map and --in",
    },
    { flags: "--map <file>", description: "mapping of its columns, in YAML (docs/parts.md)" },
    { flags: "--force", description: "overwrite files in parts/ that are there" },
  ],
  examples: [
    { command: "coldturn parts --kind stage", says: "Every gear stage on file:" },
    { command: 'coldturn parts "generic brushless 100 W"', says: "All that is on file of one part:" },
    {
      command: "coldturn parts --import motors.csv --map motors.map.yaml --in main-valve",
      says: "A list of your own:",
    },
  ],
  act: async (input) => {
    const table = textOption(input, "import");
    return table === undefined ? await listed(input) : await imported(table, input);
  },
};

async function listed(input: Input): Promise<Outcome> {
  const folder = textOption(input, "in");
  const team =
    folder === undefined ? { parts: [], faults: [] } : readParts((await readDossierFiles(folder)).parts);
  const all = partsOnFile(team.parts);
  const [name] = input.arguments;
  const kind = textOption(input, "kind");
  const sort = textOption(input, "class");
  if (kind !== undefined && !partKinds.some((each) => each === kind))
    refuse(
      "part-kind-unknown",
      `${kind} is no kind of part`,
      `Kinds are ${partKinds.join(", ")}.`,
      "Write one of them",
      nearName(kind, partKinds),
    );
  const found = all.filter(
    (part) =>
      (name === undefined || part.name === name) &&
      (kind === undefined || part.kind === kind) &&
      (sort === undefined || part.class === sort),
  );
  if (name !== undefined && found.length === 0)
    refuse(
      "part-not-on-file",
      `no part on file is called ${name}`,
      `${all.length} parts are on file.`,
      "Write a name as `coldturn parts` lists it; parts of a dossier need --in with its folder",
      nearName(
        name,
        all.map((part) => part.name),
      ),
    );
  const own = new Set(team.parts.map((part) => part.name));
  return {
    status: team.faults.length > 0 ? 2 : 0,
    faults: team.faults,
    result: { parts: found.map((part) => recordOf(part, own)) },
    text: (page) =>
      (name === undefined
        ? listLines(page, found, own)
        : found.flatMap((part) => partLines(page, part))
      ).join("\n"),
  };
}

function recordOf({ values, ...part }: Part, own: ReadonlySet<string>): unknown {
  return { ...part, from: own.has(part.name) ? "team" : "shipped", values: Object.fromEntries(values) };
}

function listLines(page: Page, parts: readonly Part[], own: ReadonlySet<string>): readonly string[] {
  const groups = partKinds
    .map((kind) => parts.filter((part) => part.kind === kind))
    .filter((group) => group.length > 0);
  if (groups.length === 0) return ["No part on file is of that kind and class."];
  return groups.flatMap((group) =>
    section(
      page,
      group[0]?.kind ?? "",
      tableLines(
        page,
        ["name", "class", "mass", "what it is"],
        group.map((part) => [
          part.name,
          part.class ?? "",
          readAs(part.values.get("build.mass")) ?? "not known",
          `${part.description}${own.has(part.name) ? " (of the team)" : ""}`,
        ]),
      ),
    ),
  );
}

function partLines(page: Page, part: Part): readonly string[] {
  const rows = [...part.values].map(([path, value]) => [path, readAs(value) ?? String(value)]);
  const said = [
    ["kind", part.kind],
    ...(part.class === undefined ? [] : [["class", part.class]]),
    ...(part.reason === undefined ? [] : [["from", part.reason]]),
    ...(part.reference === undefined ? [] : [["reference", part.reference]]),
  ];
  return [
    strong(page, part.name),
    ...paragraph(page, part.description),
    ...section(page, "Where it comes from", tableLines(page, [], said)),
    ...section(page, "Values", tableLines(page, ["field", "as it is read"], rows)),
    "",
    ...paragraph(
      page,
      `To correct a value, write it beside \`part: ${part.name}\` in valve.yaml: what stands there goes before the part. Or describe the part in parts/ of the dossier under the same name.`,
    ),
  ];
}

function readAs(value: unknown): string | undefined {
  if (typeof value !== "object" || value === null) return typeof value === "string" ? value : undefined;
  if (Array.isArray(value)) return `${value.length} rows`;
  // The reader puts nothing else there but a declared value.
  return (value as Declared).readAs;
}

async function imported(path: string, input: Input): Promise<Outcome> {
  const map = textOption(input, "map");
  const folder = textOption(input, "in");
  if (map === undefined || folder === undefined)
    refuse(
      "command-line",
      "a list of parts needs --map, the mapping of its columns, and --in, the dossier it is for",
      "It is called as: coldturn parts --import <table> --map <file> --in <folder>.",
      "docs/parts.md has a mapping to begin with",
    );
  await readDossierFiles(folder);
  const table = await readPartTable(path);
  const { files, faults } = partsOfTable(table, await readText(map));
  if (faults.length > 0) throw new Refusal(faults);
  const targets = files.map((file) => ({ ...file, path: join(folder, "parts", file.name) }));
  const isForced = hasOption(input, "force");
  const standing = await Promise.all(targets.map(standingIn));
  // All or none: half a list would be taken for the whole. A part that stands there as it would be written was brought
  // by a call that was broken off, or given twice.
  const others = isForced ? [] : targets.filter((_, i) => standing[i] === "another");
  if (others.length > 0) throw new Refusal(others.map(existing));
  for (const [i, { path: target, text }] of targets.entries())
    if (standing[i] !== "the same") await writeWhole(target, text, isForced ? "always" : "never");
  return {
    status: 0,
    result: { written: targets.map(({ part, path: target }) => ({ part, path: target })) },
    text: (page) =>
      [
        ...paragraph(page, `Wrote ${targets.length} parts from ${path} into ${join(folder, "parts")}.`),
        ...section(
          page,
          "Parts",
          tableLines(
            page,
            ["name", "file"],
            targets.map(({ part, path: target }) => [part, target]),
          ),
        ),
      ].join("\n"),
  };
}

async function standingIn({ path, text }: { readonly path: string; readonly text: string }) {
  const kind = await kindAt(path);
  if (kind === "nothing") return "nothing";
  return kind === "file" && (await readText(path)).text === text ? "the same" : "another";
}

function existing({ path, part }: { readonly path: string; readonly part: string }): Fault {
  return {
    code: "file-exists",
    where: { file: path },
    found: `there is a file for ${part} already`,
    allowed: "Nothing is overwritten unless you ask for it.",
    mend: "Give --force to overwrite the files of the list, or move this one away",
  };
}
