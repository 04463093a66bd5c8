/** What a run is expected to show, each value with its band, from the prediction at the run's own conditions. */
import { benchTest, type SealedPrediction } from "../../evidence/index.js";
import { columns, type Sense } from "../../predict/index.js";
import { type Dimension, preferredUnit } from "../../quantity/index.js";
import type { KnownCheck } from "../check.js";
import { bandFor, type Context, nominalValue } from "../context.js";
import { definitionLabel } from "../definition.js";
import { closingUsed } from "../opening.js";
import { checksNamed, type RunCase } from "./runCase.js";
import type { RunPlace } from "./stages.js";

/** One expected value; numbers are SI of `dimension`. */
export interface ExpectedValue {
  /** Stable id, as "opening:command-to-end". */
  readonly id: string;
  readonly name: string;
  readonly dimension: Dimension;
  /** Unit in which it is printed. */
  readonly unit: string;
  /** Undefined where the nominal valve has none, as the time of one that does not open. */
  readonly value: number | undefined;
  readonly band: { readonly low: number; readonly high: number; readonly coverage: number } | undefined;
  /** Where it comes from: the sealed prediction, the prediction, a question's check. */
  readonly from: string;
  /** A probability, its band an interval of confidence. */
  readonly isChance?: true;
}

/** Figures of the strokes' band that a run shows, in the order of a card. */
const strokeColumns = [
  "breakaway-torque",
  "running-torque",
  "peak-current",
  "lowest-voltage",
  "winding-temperature",
  "mass-flow",
  "valve-drop",
] as const;

/** Checks whose value a run shows. */
const shownChecks = [
  "gearbox-temperature",
  "motor-temperature",
  "cool-down-time",
  "cool-down-propellant",
] as const;

/** Expected values of strokes. @param seal of this case, if one holds for the files as they are */
export function strokeValues(of: RunCase, seal: SealedPrediction | undefined): readonly ExpectedValue[] {
  if (!of.known) return [];
  const { context } = of;
  return [
    ...timeValues(context, seal),
    ...notOpening(context, seal),
    ...strokeColumns.flatMap((id) => columnValue(context, id)),
    ...checksNamed(of, ...shownChecks).flatMap(({ question, check }) =>
      check.kind === "known" ? [checkValue(question, check)] : [],
    ),
    ...highestPressure(of),
  ];
}

/** Times of both senses: those that are judged, and those that tell where the time goes. */
function timeValues(context: Context, seal: SealedPrediction | undefined): readonly ExpectedValue[] {
  const { prediction } = context;
  const wanted: readonly (readonly [Sense, string])[] = [
    ["opening", "command-to-first-motion"],
    ["opening", prediction.definition],
    ["opening", "command-to-end"],
    ["closing", closingUsed(context)],
  ];
  const once = wanted.filter(
    ([sense, id], i) => wanted.findIndex((one) => one[0] === sense && one[1] === id) === i,
  );
  return once.flatMap(([sense, definition]): readonly ExpectedValue[] => {
    const id = `${sense}:${definition}`;
    const sealed = seal?.[sense];
    const value = sealed === undefined ? nominalValue(context, id) : sealed.times_s[definition];
    const band = sealed === undefined ? bandFor(context, id) : sealedBand(seal, sense, definition);
    if (value === undefined && band === undefined) return [];
    const shown = value ?? band?.high ?? 0;
    return [
      {
        id,
        name: `${sense}, ${definitionLabel(definition)}`,
        dimension: "time",
        unit: preferredUnit(shown, "time"),
        value,
        band,
        from: seal === undefined ? "prediction" : "seal",
      },
    ];
  });
}

function sealedBand(seal: SealedPrediction | undefined, sense: Sense, definition: string) {
  const band = seal?.[sense].band_s[definition];
  return seal === undefined || band === undefined ? undefined : { ...band, coverage: seal.coverage };
}

/** The chance of not opening stands apart from every time. */
function notOpening(context: Context, seal: SealedPrediction | undefined): readonly ExpectedValue[] {
  const { band } = context.prediction;
  const share = seal?.opening.notArriving ?? band?.notOpening;
  if (share === undefined || share === null) return [];
  const { estimate: value, low, high } = share;
  return [
    {
      id: "not-opening",
      name: "chance that it does not open",
      dimension: "ratio",
      unit: "%",
      value,
      band: { low, high, coverage: band?.confidence ?? 0.95 },
      from: seal === undefined ? "prediction" : "seal",
      isChance: true,
    },
  ];
}

function columnValue(context: Context, id: string): readonly ExpectedValue[] {
  const column = columns.find((one) => one.id === id);
  const value = nominalValue(context, id);
  if (column === undefined || value === undefined) return [];
  const { label: name, dimension } = column;
  const unit = dimension === "temperature" ? warmUnit(value) : preferredUnit(value, dimension);
  return [{ id, name, dimension, unit, value, band: bandFor(context, id), from: "prediction" }];
}

/** Temperatures of a drive read in degrees Celsius, those of a cold part in kelvin. */
export function warmUnit(kelvin: number): string {
  return kelvin > 230 ? "degC" : "K";
}

/** The highest pressure that the line's closing wave brings, of all places. */
function highestPressure(of: RunCase): readonly ExpectedValue[] {
  const waves = checksNamed(of, "surge-close").flatMap(({ question, check }) =>
    check.kind === "known" ? [checkValue(question, check)] : [],
  );
  return [...waves].sort((a, b) => (b.value ?? 0) - (a.value ?? 0)).slice(0, 1);
}

function checkValue(question: number, { id, name, dimension, unit, value, band }: KnownCheck): ExpectedValue {
  const shown = dimension === "temperature" ? warmUnit(value) : unit;
  return { id, name: lowerFirst(name), dimension, unit: shown, value, band, from: `question ${question}` };
}

const channels: Readonly<Record<string, { readonly dimension: Dimension; readonly name: string }>> = {
  speed: { dimension: "angular speed", name: "speed" },
  current: { dimension: "current", name: "motor current" },
  "supply voltage": { dimension: "voltage", name: "supply voltage" },
  torque: { dimension: "torque", name: "torque at the stem" },
};

/** Expected values of a part alone on the bench. */
export function benchValues(
  of: RunCase,
  { kind }: RunPlace,
):
  | { readonly values: readonly ExpectedValue[]; readonly horizon_s: number; readonly readings: number }
  | undefined {
  if (!of.known || kind === "stroke" || kind === "leak") return undefined;
  const { prediction } = of.context;
  const found = benchTest(prediction.dossier, kind, of.caseId, prediction.options);
  if (found === undefined) return undefined;
  const values = found.values.flatMap(({ channel, what, value, low, high }): readonly ExpectedValue[] => {
    const known = channels[channel];
    if (known === undefined) return [];
    const { dimension, name } = known;
    return [
      {
        id: `${channel}:${what}`,
        name: `${name}, ${kind === "stem locked" && what === "at the end" ? "at the full voltage" : what}`,
        dimension,
        unit: preferredUnit(value, dimension),
        value,
        band: high > low ? { low, high, coverage: found.coverage } : undefined,
        from: "prediction",
      },
    ];
  });
  return { values, horizon_s: found.horizon_s, readings: found.readings };
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
