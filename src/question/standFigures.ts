/** The picture of question 12: every judged check by its margin, on one axis. */
import type { CheckRow, Figure, Role } from "../picture/index.js";
import { fromSi, readUnit } from "../quantity/index.js";
import type { Check, KnownCheck, Verdict } from "./check.js";
import { checkWords, unbroken } from "./words.js";

/** Checks that hold once something is stated: what is stated has no margin to draw. */
const statements: ReadonlySet<string> = new Set(["ice-torque"]);

/** One figure of all checks with a margin; none without checks. */
export function standFigures(judged: readonly Check[]): readonly Figure[] {
  const checks = judged.filter(({ kind, id }) => kind !== "known" || !statements.has(id));
  if (checks.length === 0) return [];
  const named = (verdict: Verdict) => {
    const names = checks.filter((check) => check.verdict === verdict).map(({ name }) => name.toLowerCase());
    return names.length === 0 ? "" : ` ${upperFirst(verdict)}: ${names.join(", ")}.`;
  };
  return [
    {
      kind: "interval",
      id: "stand-checks",
      title: "Margins of all checks",
      words: `Margin of each judged check to its limit as a share of the limit, with its band.${named("fails")}${named("thin")}${named("not known")}${named("holds")}`,
      checks: checks.map(rowOf),
    },
  ];
}

const roles: Readonly<Record<KnownCheck["verdict"], Role>> = {
  holds: "better",
  thin: "doubtful",
  fails: "worse",
};

function rowOf(check: Check): CheckRow {
  const { name: label, verdict } = check;
  if (check.kind !== "known") return { kind: "unknown", label, verdict, reason: unbroken(checkWords(check)) };
  const { value, band, limit, dimension, unit } = check;
  const resolved = readUnit(unit, dimension);
  const inUnit = (si: number) => fromSi(resolved, si);
  const { most = Number.POSITIVE_INFINITY, least = Number.NEGATIVE_INFINITY } = limit;
  const isUpper = most - value <= value - least;
  const bound = inUnit(isUpper ? most : least);
  return {
    kind: "known",
    label,
    unit,
    value: inUnit(value),
    ...(band === undefined ? {} : { low: inUnit(band.low), high: inUnit(band.high) }),
    limit: bound,
    allowed: isUpper ? "at most" : "at least",
    verdict,
    role: roles[check.verdict],
    numbers: unbroken(checkWords(check)),
    ...(bound === 0 ? { scale: inUnit(1) } : {}),
  };
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
