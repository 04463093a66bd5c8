/**
 * The requirements of a valve, each with the checks that serve it: what is asked, what was found, what stands
 * behind it, what is open and who owes it. Question 12, the sheet and the page print this one record.
 */
import { itemAt, nominalText, type StandFile } from "../dossier/index.js";
import type { Declared } from "../quantity/index.js";
import type { Answer } from "./answer.js";
import { type Check, worstOf } from "./check.js";
import { type Context, labelOf } from "./context.js";
import { evidenceFor, lackOf } from "./requirementEvidence.js";
import { requiredBy } from "./requirementFields.js";
import type { EvidenceItem, Requirement, ServingCheck, Waiver } from "./standRecord.js";
import { waiverFor } from "./waivers.js";
import { limitWords, marginWords, needWords, spreadWords, valueWords } from "./words.js";

/** Stands where no person is named. */
export const nobody = "nobody named";

interface Placed {
  readonly check: Check;
  readonly question: Answer;
  readonly index: number;
}

/**
 * Every judged check under each field that asks for it; those that no field asks for under their question.
 *
 * @param answers  to the questions before the twelfth
 * @param file     who owes what; undefined where nobody said so
 */
export function requirementsOf(
  context: Context,
  answers: readonly Answer[],
  file: StandFile | undefined,
  waivers: readonly Waiver[],
): readonly Requirement[] {
  const placed = answers.flatMap((question) =>
    question.checks.flatMap((check, index): readonly Placed[] =>
      check.standing === "judged" ? [{ check, question, index }] : [],
    ),
  );
  const byField = new Map<string, Placed[]>();
  const byQuestion = new Map<number, Placed[]>();
  for (const one of placed) {
    const fields = fieldsOf(context, one.check);
    for (const field of fields) byField.set(field, [...(byField.get(field) ?? []), one]);
    if (fields.length > 0) continue;
    const { number } = one.question;
    byQuestion.set(number, [...(byQuestion.get(number) ?? []), one]);
  }
  const serving = (one: Placed, field: string | undefined) =>
    servingCheck(context, one, field, file, waivers);
  const stated = [...byField].map(([field, all]) => ({
    field,
    name: labelOf(context, field),
    asked: askedIn(context, field),
    verdict: worstOf(all.map(({ check }) => check.verdict)),
    checks: all.map((one) => serving(one, field)),
  }));
  const rules = [...byQuestion].map(([number, all]) => ({
    field: undefined,
    name: `rules of question ${number}: ${all[0]?.question.question ?? ""}`,
    asked: "",
    verdict: worstOf(all.map(({ check }) => check.verdict)),
    checks: all.map((one) => serving(one, undefined)),
  }));
  return [...stated, ...rules];
}

const pathIn = /\b[a-z_]+(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)+/g;

/** Fields of the valve file that a check is asked for by: those on the list, and those that its limit names. */
function fieldsOf({ prediction }: Context, check: Check): readonly string[] {
  const listed = requiredBy[check.id] ?? [];
  const words = check.kind === "unknown" ? "" : (check.limit?.words ?? "");
  const isField = (path: string) => itemAt(prediction.dossier.valve, path) !== undefined;
  const named = [...words.matchAll(pathIn)]
    .map(([path]) => path)
    .filter((path) => isField(path) && !listed.some((one) => path === one || path.startsWith(`${one}.`)));
  return [...new Set([...listed, ...named])];
}

/** A field as it was typed, a section with each of its fields. */
function askedIn({ prediction }: Context, field: string): string {
  return askedText(itemAt(prediction.dossier.valve, field)) || "not given";
}

function isDeclared(item: object): item is Declared {
  return "readAs" in item && "text" in item && typeof item.text === "string";
}

function askedText(item: unknown): string {
  if (typeof item === "string" || typeof item === "number") return String(item);
  if (typeof item !== "object" || item === null) return "";
  if (isDeclared(item)) return item.text.startsWith("{") ? nominalText(item) : item.text;
  if (Array.isArray(item)) return `${item.length} rows`;
  return Object.entries(item)
    .map(([key, child]) => [key.replaceAll("_", " "), askedText(child)] as const)
    .filter(([, text]) => text !== "")
    .map(([key, text]) => `${key} ${text}`)
    .join(", ");
}

function servingCheck(
  context: Context,
  { check, question, index }: Placed,
  field: string | undefined,
  file: StandFile | undefined,
  waivers: readonly Waiver[],
): ServingCheck {
  const evidence = evidenceFor(context, check, question.id);
  const waiver = waiverFor(waivers, check);
  const open = openOf(check, evidence, waiver);
  return {
    id: check.id,
    name: check.name,
    question: question.number,
    index,
    verdict: check.verdict,
    value: valueText(check),
    band: check.kind === "known" ? spreadWords(check) : "",
    limit:
      check.kind === "unknown" || check.limit === undefined
        ? ""
        : limitWords(check.limit, check.dimension, check.unit),
    margin: check.kind === "known" ? marginWords(check) : "",
    evidence,
    open,
    owner: open.length === 0 ? "" : ownerOf(file, check.id, field),
    waiver,
  };
}

function valueText(check: Check): string {
  if (check.kind === "failed") return check.finding;
  if (check.kind === "unknown") return "";
  return valueWords(check.value, check.band, check.dimension, check.unit);
}

/** What is open of a check: what it lacks, what does not hold, and that no test or inspection is behind it. */
function openOf(
  check: Check,
  evidence: readonly EvidenceItem[],
  waiver: Waiver | undefined,
): readonly string[] {
  const own =
    check.kind === "unknown"
      ? [`needs ${needWords(check).join(", ")}`]
      : check.verdict === "holds"
        ? []
        : [check.verdict === "thin" ? "thin: met with less probability than wanted" : "fails: not met"];
  const lack = check.kind === "known" ? lackOf(evidence) : undefined;
  const waived =
    waiver === undefined || waiver.state === "stands" || waiver.state === "not needed"
      ? []
      : [`its waiver does not count, ${waiver.state}: ${waiver.why}`];
  return [...own, ...(lack === undefined ? [] : [lack]), ...waived];
}

/** Who owes a check: named for the check itself, else for the nearest part of the file that holds its field. */
function ownerOf(file: StandFile | undefined, check: string, field: string | undefined): string {
  const named = (file?.owners ?? []).filter(({ owner = "" }) => owner.trim() !== "");
  const own = named.find(({ of }) => of === check)?.owner;
  if (own !== undefined) return own;
  const around = named
    .filter(({ of = "" }) => of !== "" && field !== undefined && (field === of || field.startsWith(`${of}.`)))
    .sort((a, b) => (b.of ?? "").length - (a.of ?? "").length);
  return around[0]?.owner ?? nobody;
}

/** Entries of `owners` that name neither a check nor a field of these requirements. */
export function ownersOfNothing(
  file: StandFile | undefined,
  requirements: readonly Requirement[],
): readonly string[] {
  const isThere = (of: string) =>
    requirements.some(
      ({ field = "", checks }) =>
        field === of || field.startsWith(`${of}.`) || checks.some(({ id }) => id === of),
    );
  return (file?.owners ?? []).flatMap(({ of = "" }) => (isThere(of) ? [] : [of]));
}
