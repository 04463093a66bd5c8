/** A sheet held against the dossier as it is now, and against another sheet. */
import { readDossierFiles, readSheetFile, sheetFiles } from "../host/index.js";
import {
  changedSince,
  compareSheets,
  type Difference,
  isSame,
  type SheetComparison,
} from "../sheet/index.js";
import type { Outcome } from "./command.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";

/** What has changed since a sheet was printed. @param place  folder of the dossier */
export async function verifiedSheet(path: string, place: string): Promise<Outcome> {
  const record = await readSheetFile(path);
  const { folder } = await readDossierFiles(place);
  const since = changedSince(record, await sheetFiles(folder));
  const { changed, missing, added } = since;
  const isCurrent = changed.length + missing.length + added.length === 0;
  const { valve, case: caseId, model, seed, samples, day, files } = record;
  return {
    status: isCurrent ? 0 : 1,
    result: { path, folder, valve, case: caseId, model, seed, samples, day, isCurrent, ...since },
    text: (page) =>
      [
        ...paragraph(
          page,
          `${path}: ${valve}, ${caseId}, model version ${model}, ${samples} samples with seed ${seed}, judged for ${day}.`,
        ),
        ...paragraph(
          page,
          isCurrent
            ? `All ${files.length} files that it rests on are as they were. What has expired since ${day} is not looked at.`
            : "Out of date: what it rests on is not as it was. Print it anew before anybody decides by it.",
        ),
        ...namesOf(page, "Changed", changed),
        ...namesOf(page, "Missing", missing),
        ...namesOf(page, "New", added),
      ].join("\n"),
  };
}

function namesOf(page: Page, title: string, names: readonly string[]): readonly string[] {
  return names.length === 0
    ? []
    : section(
        page,
        title,
        names.flatMap((name) => paragraph(page, name, "  ")),
      );
}

/** What differs between two sheets. */
export async function comparedSheets(first: string, second: string): Promise<Outcome> {
  const records = [await readSheetFile(first), await readSheetFile(second)] as const;
  const comparison = compareSheets(...records);
  return {
    status: isSame(comparison) ? 0 : 1,
    result: { first, second, ...comparison },
    text: (page) => comparedLines(page, first, second, comparison).join("\n"),
  };
}

const titles: readonly (readonly [keyof SheetComparison, string])[] = [
  ["about", "What they are of"],
  ["questions", "Verdicts of the questions"],
  ["verdicts", "Verdicts of the checks"],
  ["values", "Values of the checks, their verdicts the same"],
  ["waivers", "Waivers"],
  ["inputs", "Inputs"],
  ["files", "Files"],
];

function comparedLines(
  page: Page,
  first: string,
  second: string,
  comparison: SheetComparison,
): readonly string[] {
  if (isSame(comparison)) return paragraph(page, `${first} and ${second} say the same of the same files.`);
  return titles.flatMap(([key, title]) => {
    const rows = comparison[key].map((one) => rowOf(one, key === "files"));
    return rows.length === 0 ? [] : section(page, title, tableLines(page, ["", first, second], rows));
  });
}

/** Letters of a hash that tell two apart to the eye. */
const shownHash = 12;

function rowOf({ name, first, second }: Difference, isHash: boolean): readonly string[] {
  return [
    name,
    ...[first, second].map((text) => (text === "" ? "not there" : isHash ? text.slice(0, shownHash) : text)),
  ];
}
