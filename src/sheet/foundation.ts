/** What the numbers rest on: inputs, defaults, sources, files. */
import { originWords, type UsedDefault } from "../dossier/index.js";
import type { HashedFile, SheetContent } from "./content.js";
import { inputsOf, type SheetInput } from "./inputs.js";
import { fileWords, hashText, html, type Inset, type Markup, pathText } from "./markup.js";
import { bibliography, citedKeys, sourceText } from "./sources.js";
import { dataTable } from "./table.js";

/** Every field that somebody filled in, section by section. */
export function inputsPart({ prediction }: SheetContent): Markup {
  const inputs = inputsOf(prediction.dossier, prediction.caseId);
  const sections = [...new Set(inputs.map(sectionOf))];
  const others = (prediction.dossier.valve.cases ?? []).filter(({ id }) => id !== prediction.caseId).length;
  const left = others === 1 ? "one other case stand" : `${others} other cases stand`;
  return html`${
    others === 0
      ? ""
      : html`<p>The conditions of ${left} in the valve file and are not printed here.</p>
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
  return html`<details open class="inputs"><summary><h3>${section}</h3></summary>
${dataTable(
  {
    caption: `Inputs: ${section}`,
    columns: ["field", "as typed", "as read", "origin and reason"],
    rows: inputs.map((input) => [
      html`${pathText(input.path)} <small>${fileWords(input.description)}</small>`,
      input.text,
      input.readAs,
      reasonOf(input),
    ]),
  },
  "unseen",
)}</details>
`;
}

function reasonOf({ origin, because, reference }: SheetInput): Inset {
  if (origin === undefined) return "";
  const reason = because === undefined ? "" : `: ${because}`;
  return html`${originWords[origin]}${reason}${reference === undefined ? "" : html` (${sourceText(reference)})`}`;
}

/** What was filled in, why, and from where. */
export function defaultsPart(defaults: readonly UsedDefault[]): Markup {
  if (defaults.length === 0)
    return html`<p>None: the valve file gives every value that was used.</p>
`;
  return dataTable(
    {
      caption: "Defaults used",
      columns: ["field", "value", "reason", "source"],
      rows: defaults.map(({ field, value, reason, references }) => [
        pathText(field),
        value,
        reason,
        sourceText(references.join("; ")),
      ]),
    },
    "unseen",
  );
}

/** The entries of the bibliography that this sheet cites. */
export function sourcesPart({ answers, defaults, prediction }: SheetContent): Markup {
  const texts = [
    ...answers.flatMap(({ checks }) => checks.map(({ source }) => source)),
    ...defaults.flatMap(({ references }) => references),
    ...inputsOf(prediction.dossier, prediction.caseId).flatMap(({ reference }) => reference ?? []),
  ];
  return bibliography(citedKeys(texts));
}

/** The files behind the sheet, so that it can be told whether they have changed since. */
export function filesPart(files: readonly HashedFile[]): Markup {
  if (files.length === 0)
    return html`<p>No file was named to this sheet.</p>
`;
  return dataTable(
    {
      caption: "Files and their hashes",
      columns: ["file", "SHA-256"],
      rows: files.map(({ name, sha256 }) => [name, hashText(sha256)]),
    },
    "unseen",
  );
}
