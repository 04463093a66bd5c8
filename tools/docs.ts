/**
 * Writes docs/file-reference.md from the list of fields that the reader itself uses, and docs/coverage.md
 * from what the checks declare.
 *
 *   node dist/tools/docs.js
 */
import { writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { describeSchema, type FieldDescription } from "../src/dossier/index.js";
import { coveragePage } from "./coverage.js";

const head = `# The valve file

<!-- Written by tools/docs.ts from the fields in src/dossier/schema.ts. -->

\`valve.yaml\` is the one file of a dossier that a person must write. It is YAML 1.2: \`name: value\` lines, sections by indentation, list items with a dash. \`coldturn new\` writes one with every field blank and explained; \`coldturn schema\` prints a JSON Schema with which an editor completes and checks while you type.

**A value** is a number with its unit. Where it is uncertain, it says so:

| written | read as |
|---|---|
| \`0.08 +/- 0.02\` | normal law with standard uncertainty 0.02, cut at the bounds of the field |
| \`0.08 +/- 0.04 (k=2)\` | the same, from an expanded uncertainty |
| \`5 N m +/- 10 %\` | the same, relative |
| \`32 mm tol 0.1 mm\` | anywhere within the tolerance, each value equally likely |
| \`{ from: 300 N, to: 700 N }\` | anywhere between, each value equally likely |
| \`{ nominal: 0.78, low: 0.70, high: 0.84 }\` | triangular law; \`law: uniform\` or \`law: normal\` choose another |
| \`{ value: 0.8 ohm +/- 4 %, origin: catalogue, because: ..., reference: ... }\` | any of the texts, with where it comes from |

\`origin\` is one of assumed, catalogue, drawing, measured, fitted, standard. An absolute pressure says what it counts from: \`bar(a)\` from vacuum, \`bar(g)\` from \`duty.ambient_pressure\`.

**Blank is not known.** A field that is left out or blank turns the answers that need it to *not known*, unless the table shows what stands in for it; what was used is printed with its reason. A field with a fault is not known and is never replaced by a default.

**Parts.** A section with a field \`part\` can name a motor, gear stage, seat, valve or battery described once: a shipped generic one (\`data/parts/\`) or a team's own in the folder \`parts/\` of the dossier. The part fills what the section leaves out.

\`\`\`yaml
name: our planetary 10:1
kind: stage            # motor, stage, seat, valve or battery
reason: data sheet, revision C
values:
  ratio: 10
  efficiency: { nominal: 0.93, low: 0.88, high: 0.96 }
\`\`\`

**Solids.** The materials of \`valve.cold\` are names of the shipped solids (\`data/solids/\`) or of a team's own: a file in \`parts/\` with \`format: solid/1\`, in the form that CONTRIBUTING explains under *A solid, step by step*. A measured blank then takes the place of the handbook's.

**Faults** name file, line and column, show the line, and say what is allowed and how to mend it. Each has [a page](errors/unknown-field.md).

`;

/** Text of docs/file-reference.md. */
export function fileReference(): string {
  const fields = describeSchema();
  const top = fields.filter(({ path }) => !/[.[]/.test(path));
  const sections = top.filter(({ kind }) => kind === "section" || kind === "list");
  return [
    head.trimEnd(),
    "",
    "## Top of the file",
    "",
    ...table(
      top.filter((field) => !sections.includes(field)),
      "",
    ),
    ...sections.flatMap((section) => group(section, fields)),
  ].join("\n");
}

/** A section with its own fields, then the sections inside it. */
function group(section: FieldDescription, fields: readonly FieldDescription[]): readonly string[] {
  const { path, description, kind } = section;
  const prefix = kind === "list" ? `${path}[].` : `${path}.`;
  const children = fields.filter(
    (field) => field.path.startsWith(prefix) && !/[.[]/.test(field.path.slice(prefix.length)),
  );
  const inner = children.filter((field) => field.kind === "section" || field.kind === "list");
  const own = children.filter((field) => !inner.includes(field));
  return [
    "",
    `## \`${path}\`${kind === "list" ? ", a list" : ""}`,
    "",
    description,
    ...(own.length === 0 ? [] : ["", ...table(own, prefix)]),
    ...inner.flatMap((child) => group(child, fields)),
  ];
}

function table(fields: readonly FieldDescription[], prefix: string): readonly string[] {
  const rows = fields.map((field) => {
    const { path, description, dimension, bounds, words, example } = field;
    const what = [dimension ?? (field.kind === "count" ? "whole number" : "text"), bounds].filter(
      (part) => part,
    );
    const takes = words === undefined ? what.join(", ") : words.map((word) => `\`${word}\``).join(", ");
    const cells = [
      `\`${path.slice(prefix.length)}\``,
      description,
      takes,
      example === undefined ? "" : `\`${example}\``,
      field.default ?? "",
    ];
    return `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
  });
  return ["| field | meaning | takes | example | left out |", "|---|---|---|---|---|", ...rows, ""].slice(
    0,
    -1,
  );
}

const self = fileURLToPath(import.meta.url);
if (process.argv[1] === self) {
  // The bundled file lies in dist/tools/, the source in tools/.
  const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");
  writeFileSync(join(root, "docs", "file-reference.md"), `${fileReference()}\n`);
  writeFileSync(join(root, "docs", "coverage.md"), await coveragePage());
}
