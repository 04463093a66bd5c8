/** Faults and notices on a page, lines broken to its width; the user's own line with its caret stays whole. */
import { type Fault, faultsText, type Notice } from "../fault/index.js";
import { type Page, paragraph, widthOf } from "./page.js";

/** @returns lines joined by line feeds, without a final one */
export function faultsPage(page: Page, faults: readonly Fault[]): string {
  return faultsText(faults)
    .split("\n")
    .flatMap((line) => {
      const isSource = /^ *\d* \| ?/.test(line);
      return isSource || widthOf(line) <= page.columns ? [line] : brokenLine(page, line);
    })
    .join("\n");
}

/** A head that is too long: the place stays whole, so that it can be clicked; what was found goes below. */
function brokenLine(page: Page, line: string): readonly string[] {
  const parts = line.split("  ");
  const found = parts.pop() ?? "";
  return parts.length === 0 ? paragraph(page, found) : [parts.join("  "), ...paragraph(page, found, "  ")];
}

/** Says beside an answer that the input has faults; they themselves go to the standard error, or into the record. */
export function faultCount(page: Page, faults: readonly Fault[]): readonly string[] {
  if (faults.length === 0) return [];
  const words = faults.length === 1 ? "One fault in the file is" : `${faults.length} faults in the files are`;
  return paragraph(
    page,
    `${words} shown at the end, on the standard error. A field with a fault counts as not known.`,
  );
}

/** Says what verdicts without a band rest on. */
export function nominalAlone(page: Page, samples: number): readonly string[] {
  if (samples > 0) return [];
  return paragraph(
    page,
    "No band was computed: the verdicts rest on the nominal values alone, and the declared uncertainties do not count.",
  );
}

/** Notices, one paragraph each. */
export function noticeLines(page: Page, notices: readonly Notice[]): readonly string[] {
  return notices.flatMap(({ field, text }) =>
    paragraph(page, field === undefined ? text : `${field}: ${text}`, "  - "),
  );
}
