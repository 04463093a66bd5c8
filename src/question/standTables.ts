/** The requirements, the waivers, the sheets and the decisions of question 12 as tables. */
import type { Answer, Table } from "./answer.js";
import type { Context, Evidence } from "./context.js";
import { nobody, ownersOfNothing, requirementsOf } from "./requirements.js";
import type { Requirement, ServingCheck, Waiver } from "./standRecord.js";
import { waiversOf } from "./waivers.js";

/** What question 12 says beside verdicts and hazards. */
export interface StandFinding {
  readonly requirements: readonly Requirement[];
  readonly waivers: readonly Waiver[];
  readonly tables: readonly Table[];
  /** Sentences; "" for none. */
  readonly words: string;
}

/** @param answers  to the questions before the twelfth */
export function standFinding(context: Context, answers: readonly Answer[]): StandFinding {
  const { evidence, prediction } = context;
  const { stand: file, day = "" } = evidence;
  const waivers = file === undefined ? [] : waiversOf(file, answers, prediction.caseId, day);
  const requirements = requirementsOf(context, answers, file, waivers);
  return {
    requirements,
    waivers,
    tables: [
      requirementTable(requirements),
      ...(waivers.length === 0 ? [] : [waiverTable(waivers)]),
      ...sheetTables(evidence),
      ...decisionTables(evidence),
    ],
    words: [
      waiverWords(waivers),
      faultWords(file?.faults ?? []),
      ownerWords(ownersOfNothing(file, requirements)),
      sheetWords(evidence.sheets ?? []),
    ]
      .filter((words) => words !== "")
      .join(" "),
  };
}

/** Title of the table that the sheet prints as a part of its own. */
export const requirementTitle = "The requirements";
export const waiverTitle = "Waivers";
export const sheetsTitle = "Sheets in the dossier";
export const decisionsTitle = "Decisions recorded for the team";

function requirementTable(requirements: readonly Requirement[]): Table {
  return {
    title: requirementTitle,
    columns: [
      "requirement",
      "asked",
      "check",
      "verdict",
      "value",
      "limit",
      "margin",
      "evidence",
      "open",
      "who owes it",
    ],
    rows: requirements.flatMap(({ name, asked, checks }) =>
      checks.map((check) => [
        name,
        asked,
        check.name,
        check.waiver?.state === "stands" ? `${check.verdict}, waived` : check.verdict,
        valueText(check),
        check.limit,
        check.margin,
        check.evidence.map(({ words }) => words).join("; "),
        check.open.join("; "),
        check.owner,
      ]),
    ),
  };
}

function valueText({ value, band }: ServingCheck): string {
  return band === "" ? value : `${value} (${band})`;
}

function waiverTable(waivers: readonly Waiver[]): Table {
  return {
    title: waiverTitle,
    columns: ["check", "counts", "waived", "reason", "who", "date", "expires"],
    rows: waivers.map(({ check, name = check, waived, reason, who, date, expires, state, why }) => [
      name,
      state === "stands" ? "yes" : `no, ${state}: ${why}`,
      waived.value === "" ? waived.verdict : `${waived.verdict}, up to ${waived.value}`,
      reason,
      who === "" ? nobody : who,
      date,
      expires,
    ]),
  };
}

function sheetTables({ sheets = [] }: Evidence): readonly Table[] {
  if (sheets.length === 0) return [];
  return [
    {
      title: sheetsTitle,
      columns: ["sheet", "up to date", "changed since"],
      rows: sheets.map(({ name, changed }) => [
        name,
        changed.length === 0 ? "yes" : "no",
        changed.join("; "),
      ]),
    },
  ];
}

function decisionTables({ decisions = [] }: Evidence): readonly Table[] {
  if (decisions.length === 0) return [];
  return [
    {
      title: decisionsTitle,
      columns: ["sheet", "SHA-256", "decision", "who", "login", "when", "reason", "standing"],
      rows: decisions.map(({ sheet, sha256, word, name, login, at, why, standing }) => [
        sheet,
        sha256.slice(0, 16),
        word,
        name,
        login,
        at,
        why,
        standing,
      ]),
    },
  ];
}

function waiverWords(waivers: readonly Waiver[]): string {
  if (waivers.length === 0) return "";
  const stands = waivers.filter(({ state }) => state === "stands").length;
  const lapsed = waivers.length - stands;
  const first =
    stands === 0
      ? "None of the checks that do not hold is waived."
      : `Of the checks that do not hold ${stands} ${stands === 1 ? "is" : "are"} waived; that changes no verdict.`;
  return lapsed === 0
    ? first
    : `${first} ${lapsed} waiver${lapsed === 1 ? " does" : "s do"} not count: expired, stale, faulty, unmatched or not needed.`;
}

function faultWords(
  faults: readonly { readonly found: string; readonly where: { readonly line?: number } }[],
) {
  if (faults.length === 0) return "";
  return `stand.yaml has faults: ${faults.map(({ where, found }) => `line ${where.line ?? "unknown"}: ${found}`).join("; ")}.`;
}

function ownerWords(of: readonly string[]): string {
  return of.length === 0 ? "" : `stand.yaml names owners of what is not asked here: ${of.join(", ")}.`;
}

function sheetWords(sheets: NonNullable<Evidence["sheets"]>): string {
  const old = sheets.filter(({ changed }) => changed.length > 0).map(({ name }) => name);
  if (old.length === 0) return "";
  return `Out of date: ${old.join(", ")}; what they rest on has changed.`;
}
