/** Makes a check from a figure that has a small band of its own, by the same rules as the others. */
import { type OwnFigures, ownBand, ownProbability } from "../predict/index.js";
import { preferredUnit } from "../quantity/index.js";
import {
  type Check,
  type CheckDefinition,
  type FailedCheck,
  type Limit,
  marginTo,
  type UnknownCheck,
  verdictOf,
} from "./check.js";
import { moverWords } from "./rankDrivers.js";

/** How such a check is judged. */
export interface OwnJudging {
  readonly figures: OwnFigures;
  readonly figure: string;
  readonly limit: Limit;
  readonly wanted: number;
  readonly unit?: string;
  /** Which of several it is: "ball cavity". */
  readonly of?: string;
  readonly assumptions?: readonly string[];
  /** Whether it is worked out at the nominal values alone, though declared uncertainties would move it. */
  readonly isNominal?: boolean;
}

/** A band narrower than this share of its value is none. */
const noSpread = 1e-6;

/** The check of a figure that exists at the nominal values. */
export function judgeOwn(definition: CheckDefinition, judging: OwnJudging): Check {
  const { figures, figure, limit, wanted, of, assumptions = [] } = judging;
  const isNominal = judging.isNominal ?? (figures.count === 0 && figures.paths.length > 0);
  const value = figures.nominal[figure] ?? Number.NaN;
  // What cannot be worked out is not known, whatever its fields are.
  if (Number.isNaN(value)) return waiting(definition, ["a case in which it can be worked out"], of);
  const samples = figures.samples[figure] ?? new Float64Array(0);
  const band = spreadOf(figures, figure);
  const isSpread = band !== undefined || isEndless(figures, figure);
  const probability = isSpread ? ownProbability(samples, limit) : undefined;
  const mover = isSpread ? moverWords(figures, figure) : undefined;
  return {
    ...named(definition, of),
    assumptions: [...definition.assumptions, ...assumptions, ...(mover === undefined ? [] : [mover])],
    unit: judging.unit ?? preferredUnit(value, definition.dimension),
    standing: "judged",
    kind: "known",
    verdict: verdictOf(value, limit, probability, wanted),
    value,
    band,
    ...(isNominal ? { isNominal } : {}),
    limit,
    margin: marginTo(value, limit),
    probability,
    wanted,
  };
}

/** Band of a figure; undefined where it has none, or no spread. */
export function spreadOf({ samples }: OwnFigures, figure: string): ReturnType<typeof ownBand> {
  const band = ownBand(samples[figure] ?? new Float64Array(0));
  return band !== undefined && band.high - band.low > noSpread * Math.abs(band.high) ? band : undefined;
}

/** Whether a band reaches samples in which what is counted never comes: no ends to be told, but no certainty either. */
function isEndless({ samples }: OwnFigures, figure: string): boolean {
  const band = ownBand(samples[figure] ?? new Float64Array(0));
  return band !== undefined && !(Number.isFinite(band.low) && Number.isFinite(band.high));
}

/** The check that waits for fields or evidence. */
export function waiting(definition: CheckDefinition, needs: readonly string[], of?: string): UnknownCheck {
  return {
    ...named(definition, of),
    unit: preferredUnit(0, definition.dimension),
    standing: "judged",
    kind: "unknown",
    verdict: "not known",
    needs: [...new Set(needs)],
  };
}

/** The check that fails by what was found. */
export function failing(
  definition: CheckDefinition,
  finding: string,
  how: {
    readonly wanted: number;
    readonly limit?: Limit;
    readonly of?: string;
    /** What the limit counts, where it is a number. */
    readonly unit?: string;
  },
): FailedCheck {
  return {
    ...named(definition, how.of),
    unit: how.unit ?? preferredUnit(how.limit?.most ?? how.limit?.least ?? 0, definition.dimension),
    standing: "judged",
    kind: "failed",
    verdict: "fails",
    finding,
    limit: how.limit,
    probability: undefined,
    wanted: how.wanted,
  };
}

function named(definition: CheckDefinition, of: string | undefined): CheckDefinition {
  return of === undefined ? definition : { ...definition, name: `${definition.name}, ${of}` };
}
