/**
 * Waivers held against the present checks. A waiver changes no verdict: it stands beside the check that it is
 * of, and says by itself whether it still counts. One that has expired, lacks something, names no check of this
 * case or is overtaken by a worse value counts for nothing and is shown all the same.
 */
import type { StandFile, WaiverEntry } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { parseQuantity } from "../quantity/index.js";
import type { Answer } from "./answer.js";
import type { Check, Limit, Verdict } from "./check.js";
import type { Waiver, WaiverState } from "./standRecord.js";
import { checkWords } from "./words.js";

/** @param day  of today, ISO 8601; "" where it is not known: then nothing that expires is known to count */
export function waiversOf(
  file: StandFile,
  answers: readonly Answer[],
  caseId: string,
  day: string,
): readonly Waiver[] {
  const checks = answers.flatMap((answer) => answer.checks);
  return file.waivers
    .filter((entry) => (entry.case ?? "duty") === caseId)
    .map((entry, index, all) => {
      const found = checks.filter(
        ({ id, name }) => id === entry.check && (entry.name === undefined || name === entry.name),
      );
      const check = found.length === 1 ? found[0] : undefined;
      const isTwice = all.findIndex((one) => one.check === entry.check && one.name === entry.name) < index;
      const [state, why] = isTwice
        ? (["faulty", "the same check is waived above already"] as const)
        : stateOf(entry, found, check, day);
      return {
        check: entry.check ?? "",
        name: check?.name ?? entry.name,
        waived: { verdict: entry.verdict ?? "", value: entry.value ?? "" },
        reason: entry.reason ?? "",
        who: entry.who ?? "",
        date: entry.date ?? "",
        expires: entry.expires ?? "",
        state,
        why,
        line: entry.line,
      };
    });
}

/** The waiver of a check that counts, or one that would and does not; undefined where nobody waived it. */
export function waiverFor(waivers: readonly Waiver[], { id, name }: Check): Waiver | undefined {
  return waivers.find((one) => one.check === id && one.name === name);
}

type Judged = readonly [WaiverState, string];

function stateOf(entry: WaiverEntry, found: readonly Check[], check: Check | undefined, day: string): Judged {
  const fault = faultOf(entry, day);
  if (fault !== undefined) return ["faulty", fault];
  if (found.length > 1)
    return [
      "faulty",
      `${found.length} checks have the id ${entry.check}: name says which, ${found.map(({ name }) => `"${name}"`).join(" or ")}`,
    ];
  if (check === undefined)
    return ["unmatched", `no check ${entry.name ?? entry.check} is asked in these conditions`];
  if (check.standing === "information") return ["not needed", "the check is for information alone"];
  if (check.verdict === "holds") return ["not needed", "the check holds"];
  if (day === "" || (entry.expires ?? "") < day) return ["expired", `it counted until ${entry.expires}`];
  return againstValue(entry, check);
}

const dated = /^\d{4}-\d{2}-\d{2}$/;

function faultOf(entry: WaiverEntry, day: string): string | undefined {
  const missing = (["check", "verdict", "reason", "who", "date", "expires"] as const).filter(
    (key) => (entry[key] ?? "").trim() === "",
  );
  if (missing.length > 0) return `it does not say ${missing.join(", ")}`;
  const { date = "", expires = "" } = entry;
  const wrong = [date, expires].find((text) => !isDay(text));
  if (wrong !== undefined) return `"${wrong}" is no date`;
  if (expires < date) return `it expires on ${expires}, before its date ${date}`;
  return day !== "" && date > day ? `its date ${date} is still to come` : undefined;
}

function isDay(text: string): boolean {
  if (!dated.test(text)) return false;
  const instant = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(instant.getTime()) && instant.toISOString().startsWith(text);
}

/** From good to bad: what is worse than the verdict that was waived is not covered by it. */
const severity: readonly Verdict[] = ["holds", "thin", "fails"];

function againstValue(entry: WaiverEntry, check: Check): Judged {
  const now = `it now reads ${check.verdict}: ${checkWords(check)}`;
  const isKnown = check.kind !== "unknown";
  if ((entry.verdict === "not known") === isKnown) return ["stale", `waived as ${entry.verdict}; ${now}`];
  if (check.kind === "unknown") return ["stands", ""];
  if (severity.indexOf(check.verdict) > severity.indexOf(entry.verdict ?? "holds"))
    return ["stale", `waived as ${entry.verdict}; ${now}`];
  if (check.kind === "failed")
    return entry.value === undefined ? ["stands", ""] : ["stale", `waived up to ${entry.value}; ${now}`];
  if (entry.value === undefined)
    return ["faulty", "it does not say up to which value the check is waived: value"];
  const worst = valueIn(entry.value, check.dimension);
  if (typeof worst === "string") return ["faulty", worst];
  return isBeyond(check.value, worst, check.limit)
    ? ["stale", `waived up to ${entry.value}; ${now}`]
    : ["stands", ""];
}

function valueIn(text: string, dimension: Check["dimension"]): number | string {
  try {
    return parseQuantity(text, dimension);
  } catch (thrown) {
    if (thrown instanceof Refusal) return `value: ${thrown.faults.map(({ found }) => found).join("; ")}`;
    throw thrown;
  }
}

/** Digits of a printed value: one that a person copied from the page must not be beaten by its own rounding. */
const rounding = 5e-3;

/** Whether a value lies farther out than the worst that was waived, on the side of the limit that it breaks. */
function isBeyond(value: number, worst: number, { most, least }: Limit): boolean {
  const room = rounding * Math.max(Math.abs(worst), Math.abs(most ?? 0), Math.abs(least ?? 0));
  const isAbove = least === undefined || (most !== undefined && value > (most + least) / 2);
  return isAbove ? value > worst + room : value < worst - room;
}
