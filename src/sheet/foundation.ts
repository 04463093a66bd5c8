/** What the numbers rest on: inputs, defaults, sources, files. */
import { originWords, type UsedDefault } from "../dossier/index.js";
import type { HashedFile, SheetContent } from "./content.js";
import { inputsOf, type SheetInput } from "./inputs.js";
import { html, type Markup } from "./markup.js";
import { bibliography, citedKeys, sourceText } from "./sources.js";
import { dataTable } from "./table.js";

export function inputsPart({ prediction }: SheetContent): Markup {
  const inputs = inputsOf(prediction.dossier, prediction.caseId);
  const sections = [...new Set(inputs.map(sectionOf))];
  const others = (prediction.dossier.valve.cases ?? []).filter(({ id }) => id !== prediction.caseId).length;
  return html`${
    others === 0
      ? ""
      : html`<p>The conditions of ${others} other ${others === 1 ? "case" : "cases"} stand in the valve file and are not printed here.</p>
`
  }${sections.map((section) =>
    inputTable(
      section,
      inputs.filter((input) => sectionOf(input) === section),
    ),
  )}`;
}

function sectionOf({ path }: SheetInput): string {
  return path.split(/[.[]/)[0] ?? path;
}

function inputTable(section: string, inputs: readonly SheetInput[]): Markup {
  return dataTable({
    caption: section,
    columns: ["field", "as typed", "as read", "origin", "because"],
    rows: inputs.map(({ path, text, readAs, origin, because, reference }) => [
      html`<code>${path}</code>`,
      text,
      readAs,
      origin === undefined ? "" : originWords[origin],
      [because, reference].filter((part) => part !== undefined).join("; "),
    ]),
  });
}

export function defaultsPart(defaults: readonly UsedDefault[]): Markup {
  if (defaults.length === 0) return html`<p>None: the valve file gives every value that was used.</p>`;
  return dataTable(
    {
      caption: "Defaults used",
      columns: ["field", "value", "reason", "source"],
      rows: defaults.map(({ field, value, reason, references }) => [
        html`<code>${field}</code>`,
        value,
        reason,
        sourceText(references.join("; ")),
      ]),
    },
    "unseen",
  );
}

export function sourcesPart({ answers, defaults, prediction }: SheetContent): Markup {
  const texts = [
    ...answers.flatMap(({ checks }) => checks.map(({ source }) => source)),
    ...defaults.flatMap(({ references }) => references),
    ...inputsOf(prediction.dossier, prediction.caseId).flatMap(({ reference }) => reference ?? []),
  ];
  return bibliography(citedKeys(texts));
}

export function filesPart(files: readonly HashedFile[]): Markup {
  if (files.length === 0) return html`<p>No file was named to this sheet.</p>`;
  return dataTable(
    {
      caption: "Files and their hashes",
      columns: ["file", "SHA-256"],
      rows: files.map(({ name, sha256 }) => [name, html`<code class="hash">${sha256}</code>`]),
    },
    "unseen",
  );
}
