/** The picture of question 12: every judged check by its margin, on one axis. */
import type { CheckRow, Figure, Role } from "../picture/index.js";
import { fromSi } from "../quantity/index.js";
import type { Check, KnownCheck, Verdict } from "./check.js";
import { checkWords, unbroken, unitOf } from "./words.js";

/** Checks that hold once something is stated, or that count what must be none: no margin to draw. */
const statements: ReadonlySet<string> = new Set(["ice-torque", "min-temp-material"]);

/** A check that can stand on the axis of margins. */
function hasMargin(check: Check): boolean {
  if (check.kind !== "known") return true;
  return !statements.has(check.id) && (nearestBound(check) !== 0 || scaleOfZero(check) !== undefined);
}

/** The side of its limit that a check is nearer to [SI]. */
function nearestBound({ value, limit }: KnownCheck): number {
  const { most = Number.POSITIVE_INFINITY, least = Number.NEGATIVE_INFINITY } = limit;
  return most - value <= value - least ? most : least;
}

/** What a margin to a limit of 0 is a share of: the width of a range, or 1 for a ratio [shown unit]. */
function scaleOfZero(check: KnownCheck): number | undefined {
  const { most, least } = check.limit;
  const inUnit = shown(check);
  if (most !== undefined && least !== undefined) return inUnit(most) - inUnit(least);
  return check.dimension === "ratio" ? inUnit(1) : undefined;
}

/** From SI into the unit that a check is printed in. */
function shown({ unit, dimension }: KnownCheck): (si: number) => number {
  const resolved = unitOf(unit, dimension);
  return (si) => fromSi(resolved, si);
}

/** One figure of all checks with a margin; none without checks. */
export function standFigures(judged: readonly Check[]): readonly Figure[] {
  const checks = judged.filter(hasMargin);
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
  const { value, band, limit, unit } = check;
  const inUnit = shown(check);
  const nearest = nearestBound(check);
  const bound = inUnit(nearest);
  // A limit that reads 0 in its unit alone, as 0 degC, has no share either: its margin is in that unit.
  const scale = bound === 0 ? (scaleOfZero(check) ?? 1) : undefined;
  return {
    kind: "known",
    label,
    unit,
    value: inUnit(value),
    ...(band === undefined ? {} : { low: inUnit(band.low), high: inUnit(band.high) }),
    limit: bound,
    allowed: nearest === limit.most ? "at most" : "at least",
    verdict,
    role: roles[check.verdict],
    numbers: unbroken(checkWords(check)),
    ...(scale === undefined ? {} : { scale }),
  };
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
