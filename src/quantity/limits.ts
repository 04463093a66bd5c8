/** A nominal value with a lower and an upper limit, under one of three laws. */
import { refuse } from "../fault/index.js";
import { formatInUnit } from "./printing.js";
import type { Spoken } from "./spoken.js";
import { formatSpread, type Unit } from "./unit.js";

/** Laws that a nominal value with limits can have; the first is taken where none is named. */
export const lawNames = ["triangular", "uniform", "normal"] as const;
export type LawName = (typeof lawNames)[number];

/** Half the width of a 95 % interval of a normal law, in standard deviations [gum-2008, table G.1]. */
const coverage95 = 1.96;

/** How far from midway the nominal of a normal law may lie, as a share of the half width: rounding. */
const offCentre = 0.01;

/**
 * What a nominal value with limits amounts to. All numbers SI.
 *
 * @param low   smallest value, or lower end of the 95 % interval for a normal law
 * @param high  largest value, or upper end of the 95 % interval for a normal law
 * Refuses      low above high, a nominal outside them, a normal law that is not symmetric
 */
export function limitsOf(nominal: number, low: number, high: number, law: LawName, unit: Unit): Spoken {
  const text = (si: number) => formatInUnit(si, unit, { digits: 12 });
  refuseContradiction(nominal, low, high, text);
  const note = unit.note === undefined ? "" : ` (${unit.note})`;
  const head = `${text(nominal)}${note}`;
  if (low === high) return { value: nominal, law: { kind: "exact" }, unit, readAs: `${head}, no spread` };
  if (law === "triangular") {
    return {
      value: nominal,
      law: { kind: "triangular", low, mode: nominal, high },
      unit,
      readAs: `${head}, triangular law from ${text(low)} to ${text(high)}`,
    };
  }
  if (law === "uniform") {
    return {
      value: nominal,
      law: { kind: "uniform", low, high },
      unit,
      readAs: `${text(low)} to ${text(high)}${note}, each value equally likely, nominal ${text(nominal)}`,
    };
  }
  refuseLopsided(nominal, low, high, text);
  const deviation = (high - low) / 2 / coverage95;
  const u = formatSpread(deviation, unit, nominal);
  return {
    value: nominal,
    law: {
      kind: "normal",
      mean: nominal,
      deviation,
      low: Number.NEGATIVE_INFINITY,
      high: Number.POSITIVE_INFINITY,
    },
    unit,
    readAs: `${head}, normal law with standard uncertainty ${u} (${text(low)} to ${text(high)} read as its 95 % interval)`,
  };
}

function refuseContradiction(nominal: number, low: number, high: number, text: (si: number) => string): void {
  if (low > high) {
    refuse(
      "range-reversed",
      `low, ${text(low)}, is above high, ${text(high)}`,
      "Low is the smaller of the two limits.",
      `Write low: ${text(high)} and high: ${text(low)}.`,
    );
  }
  if (nominal < low || nominal > high) {
    refuse(
      "nominal-outside-range",
      `nominal, ${text(nominal)}, is not between low, ${text(low)}, and high, ${text(high)}`,
      "The limits enclose the nominal value.",
      `Write a nominal value between ${text(low)} and ${text(high)}, or widen the limits.`,
    );
  }
}

function refuseLopsided(nominal: number, low: number, high: number, text: (si: number) => string): void {
  const half = (high - low) / 2;
  const centre = (low + high) / 2;
  if (Math.abs(nominal - centre) <= offCentre * half) return;
  refuse(
    "law-not-symmetric",
    `nominal, ${text(nominal)}, is not midway between low, ${text(low)}, and high, ${text(high)}`,
    "A normal law is symmetric, and its low and high are the ends of the 95 % interval.",
    `Write nominal: ${text(centre)}, or law: triangular.`,
  );
}
