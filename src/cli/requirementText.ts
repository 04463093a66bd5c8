/** The requirements on a page: what is asked, then each check that serves it with its evidence and what is open. */
import type { Answer, Requirement, ServingCheck } from "../question/index.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { verdictText } from "./verdictText.js";

/** Of all answers those requirements that there are: question 12 has them. */
export function requirementLines(page: Page, answers: readonly Answer[]): readonly string[] {
  const requirements = answers.flatMap((answer) => answer.requirements ?? []);
  return section(
    page,
    "Requirements",
    requirements.flatMap((one) => linesOf(page, one)),
  );
}

function linesOf(page: Page, { name, field, asked, checks }: Requirement): readonly string[] {
  const what = [field === undefined ? name : `${name}, ${field}`, asked].filter((text) => text !== "");
  return [
    ...paragraph(page, strong(page, what.join(": ")), "  "),
    ...checks.flatMap((check) => checkLines(page, check)),
  ];
}

function checkLines(page: Page, check: ServingCheck): readonly string[] {
  const { name, verdict, value, band, limit, margin, evidence, open, owner, waiver } = check;
  const number = band === "" ? value : `${value} (${band})`;
  const numbers = [number, limit, margin === "" ? "" : `margin ${margin}`].filter((text) => text !== "");
  const said = numbers.length === 0 ? name : `${name}: ${numbers.join(", ")}`;
  const inner = "       ";
  return [
    ...paragraph(page, said, `     ${verdictText(page, verdict)}  `),
    ...(waiver?.state === "stands"
      ? paragraph(page, `waived by ${waiver.who} until ${waiver.expires}: ${waiver.reason}`, inner)
      : []),
    ...evidence.flatMap(({ words }) => paragraph(page, words, inner)),
    ...(open.length === 0 ? [] : paragraph(page, `open: ${open.join("; ")}; owed by: ${owner}`, inner)),
  ];
}
