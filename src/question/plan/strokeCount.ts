/** How many strokes a run is made of. */
import type { Context, Evidence } from "../context.js";
import { strokesForShare } from "./sampling.js";

/** Strokes of each sense. */
export interface StrokeCount {
  /** From so many on a drift can be tested. */
  readonly atLeast: number;
  /** So many for the slowest to bound the wanted share of further ones. */
  readonly forShare: number;
  readonly share: number;
  readonly confidence: number;
  /** Openings made at these conditions and reduced. */
  readonly made: number;
  readonly words: string;
}

/** As src/evidence/series has it: fewer have no trend to test. */
const leastForTrend = 4;
const confidence = 0.95;
const usualShare = 0.95;

/** Strokes of a run at a case. The share is the probability with which the duty wants its limit kept. */
export function strokeCount({ wanted }: Context, evidence: Evidence, caseId: string): StrokeCount {
  const share = wanted > 0 && wanted < 1 ? wanted : usualShare;
  const forShare = strokesForShare(share, confidence);
  const made =
    evidence.series?.series.find((one) => one.caseId === caseId && one.sense === "opening")?.strokes.length ??
    0;
  const percent = (part: number) => `${Number((100 * part).toPrecision(4))} %`;
  return {
    atLeast: leastForTrend,
    forShare,
    share,
    confidence,
    made,
    words: `at least ${leastForTrend} each way, from which a drift can be tested; ${forShare} openings for the slowest to bound ${percent(share)} of further ones with ${percent(confidence)} confidence (${made} made)`,
  };
}
