/**
 * What a candidate must keep: the limits of the search and those of the duty, each a figure held against a
 * number. A limit is met where the nominal figure keeps it and the samples that keep it are at least the
 * wanted share.
 */
import type { Dossier } from "../dossier/index.js";
import { closingDefinition, openingDefinition, type Plan, usableDefinition } from "../predict/index.js";
import type { Dimension } from "../quantity/index.js";

export const criterionIds = [
  "mounting",
  "frame",
  "diameter",
  "length",
  "mass",
  "drive-mass",
  "cost",
  "valve-drop",
  "gear-margin",
  "stem-margin",
  "torque-margin",
  "opening-time",
  "closing-time",
  "current",
  "voltage",
  "winding",
] as const;
export type CriterionId = (typeof criterionIds)[number];

/** A figure held against a limit. */
export interface Criterion {
  readonly id: CriterionId;
  readonly name: string;
  readonly dimension: Dimension;
  /** SI. */
  readonly most?: number;
  readonly least?: number;
  /** Where the limit stands. */
  readonly field: string;
  /** What a figure that is not a number means: the valve does not open, or an input is missing. */
  readonly absent: "fails" | "not known";
}

/** A figure that the dossier sets no limit to. */
export type Unlimited = Pick<Criterion, "id" | "name" | "field">;

/** Everything that a search judges by. */
export interface Criteria {
  readonly list: readonly Criterion[];
  /** What could be limited and is not. */
  readonly unlimited: readonly Unlimited[];
  readonly wanted: number;
  /** Columns of a row (predict/columns.ts) that some of the figures are. */
  readonly columns: Partial<Record<CriterionId, string>>;
  /** Definition of the opening time. */
  readonly opening: string;
  /** Mounting that is asked for. */
  readonly mounting: string | undefined;
}

/** The criteria of a dossier. @param plan of it, for what flows;  @param triesValves whether the valve may be another one */
export function criteriaOf(
  dossier: Dossier,
  plan: Plan | undefined,
  wanted: number,
  triesValves: boolean,
  hasStem: boolean,
): Criteria {
  const { duty, seek, drive } = dossier.valve;
  const limits = seek?.limits;
  const opening =
    plan === undefined ? openingDefinition(dossier) : usableDefinition(plan, openingDefinition(dossier));
  const list: Criterion[] = [];
  const unlimited: Unlimited[] = [];
  const add = (
    id: CriterionId,
    name: string,
    dimension: Dimension,
    field: string,
    limit: { readonly most?: number | undefined; readonly least?: number | undefined },
    absent: Criterion["absent"] = "not known",
  ) => {
    const { most, least } = limit;
    if (most === undefined && least === undefined) {
      unlimited.push({ id, name, field });
      return;
    }
    list.push({
      id,
      name,
      dimension,
      field,
      absent,
      ...(most === undefined ? {} : { most }),
      ...(least === undefined ? {} : { least }),
    });
  };
  const at = "seek.limits";
  add("mounting", "mounting pad of the valve", "ratio", `${at}.mounting`, {
    least: limits?.mounting === undefined ? undefined : 1,
  });
  add("frame", "largest frame of motor and stages", "length", `${at}.frame`, { most: limits?.frame?.value });
  add("diameter", "largest diameter of motor and stages", "length", `${at}.diameter`, {
    most: limits?.diameter?.value,
  });
  add("length", "length of motor and stages", "length", `${at}.length`, { most: limits?.length?.value });
  add("mass", "mass of all parts", "mass", `${at}.mass`, { most: limits?.mass?.value });
  add("drive-mass", "mass of motor and stages", "mass", `${at}.drive_mass`, {
    most: limits?.drive_mass?.value,
  });
  add("cost", "price of all parts", "number", `${at}.cost`, { most: limits?.cost?.value });
  if (triesValves)
    add("valve-drop", "drop across the open valve", "pressure difference", "duty.largest_valve_drop", {
      most: duty?.largest_valve_drop?.value,
    });
  add("gear-margin", "least margin of the stages", "ratio", `${at}.gear_margin`, {
    least: limits?.gear_margin?.value ?? 0,
  });
  if (hasStem || limits?.stem_margin !== undefined)
    add("stem-margin", "margin of the stem", "ratio", `${at}.stem_margin`, {
      least: limits?.stem_margin?.value ?? 0,
    });
  if (duty?.open_within?.time !== undefined)
    add("torque-margin", "torque margin", "ratio", `${at}.torque_margin`, {
      least: limits?.torque_margin?.value ?? 0,
    });
  add(
    "opening-time",
    "opening time",
    "time",
    "duty.open_within.time",
    { most: duty?.open_within?.time?.value ?? Number.POSITIVE_INFINITY },
    "fails",
  );
  add(
    "closing-time",
    "closing time",
    "time",
    "duty.close_within.time",
    {
      most: duty?.close_within?.time?.value ?? Number.POSITIVE_INFINITY,
      least: duty?.close_within?.no_faster_than?.value,
    },
    "fails",
  );
  add("current", "peak current of the motor", "current", `${at}.current`, { most: limits?.current?.value });
  const trip = drive?.driver?.undervoltage?.value;
  if (trip !== undefined)
    add("voltage", "lowest supply voltage", "voltage", "drive.driver.undervoltage", {
      least: trip + (drive?.driver?.undervoltage_margin?.value ?? 0),
    });
  if (duty?.cycles !== undefined)
    add(
      "winding",
      "room of the winding below its limit",
      "temperature difference",
      "drive.motor.winding_limit",
      { least: 0 },
    );
  const rule = duty?.margin_rule === "ecss-e-st-33-01c" ? "motorisation-margin" : "torque-margin";
  const closing = closingDefinition(dossier);
  return {
    list,
    unlimited,
    wanted,
    opening,
    mounting: limits?.mounting,
    columns: {
      "valve-drop": "valve-drop",
      "torque-margin": rule,
      "opening-time": `opening:${opening}`,
      "closing-time": `closing:${closing}`,
      current: "peak-current",
      voltage: "lowest-voltage",
      winding: "winding-temperature",
    },
  };
}

/** How a figure stands against its limit, over the nominal value and the samples. */
export interface Standing {
  readonly verdict: "meets" | "fails" | "not known";
  /** Share of the samples that meet the limit [-]. */
  readonly probability: number;
  readonly nominal: number;
  /** Central band of 95 %, of the samples that have the figure; not numbers without any. */
  readonly low: number;
  readonly high: number;
  /** The limit that it would meet with the wanted probability; not a number where none is. */
  readonly needed: number;
}

export function isMet({ most, least }: Criterion, value: number): boolean {
  return value <= (most ?? Number.POSITIVE_INFINITY) && value >= (least ?? Number.NEGATIVE_INFINITY);
}

/** Judges a figure. @param values nominal first, then the samples */
export function standingOf(criterion: Criterion, values: Float64Array, wanted: number): Standing {
  const nominal = values[0] ?? Number.NaN;
  const samples = values.length - 1;
  const sorted = values
    .subarray(1)
    .filter((value) => !Number.isNaN(value))
    .sort();
  const known = sorted.length;
  const met = sorted.reduce((sum, value) => sum + Number(isMet(criterion, value)), 0);
  const probability = samples === 0 ? Number(isMet(criterion, nominal)) : met / samples;
  const isKnown = !Number.isNaN(nominal) && (criterion.absent === "fails" || known === samples);
  const verdict =
    !isKnown && criterion.absent === "not known"
      ? "not known"
      : isMet(criterion, nominal) && probability >= wanted
        ? "meets"
        : "fails";
  const quantile = (p: number) =>
    sorted[Math.min(known - 1, Math.max(0, Math.ceil(p * known) - 1))] ?? nominal;
  return {
    verdict,
    probability,
    nominal,
    low: quantile(0.025),
    high: quantile(0.975),
    needed: neededOf(criterion, nominal, sorted, samples, wanted),
  };
}

function neededOf(
  { most, least }: Criterion,
  nominal: number,
  sorted: Float64Array,
  samples: number,
  wanted: number,
): number {
  const rank = Math.ceil(wanted * samples);
  if (Number.isNaN(nominal) || sorted.length < rank) return Number.NaN;
  if (most !== undefined && (least === undefined || nominal > least))
    return Math.max(nominal, sorted[rank - 1] ?? nominal);
  return Math.min(nominal, sorted[sorted.length - rank] ?? nominal);
}
