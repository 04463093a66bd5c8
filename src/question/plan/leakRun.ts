/** What a leak test must see: the fall of pressure that the allowed leak makes, and what can still tell it. */
import { type Conditions, type Dossier, gasLeakLimit } from "../../dossier/index.js";
import { leakReference } from "../../evidence/index.js";
import { formatQuantity } from "../../quantity/index.js";
import type { ExpectedValue } from "./expected.js";
import type { Instrument } from "./instrumentNeeds.js";
import { fullScale } from "./sampling.js";

/** A leak test planned: what it shows at the limit, how long it is held, with which instruments. */
export interface LeakPlan {
  readonly values: readonly ExpectedValue[];
  readonly instruments: readonly Instrument[];
  /** Shortest time to hold; undefined where limit or volume is not known [s]. */
  readonly hold_s: number | undefined;
  /** Fields and figures of the stand that are not known. */
  readonly needs: readonly string[];
}

/** A leak is told from none where it is at least so many of its own standard uncertainties; common practice, no source. */
const uncertaintiesToTell = 10;
/** Shorter holds see the gas settle; common practice, no source [s]. */
const shortestHold_s = 600;
/** What a good contact thermometer of the gas leaves over a hold; estimate [K]. */
const thermometer_K = 0.1;
/** Mass and temperature of a gas change in minutes; common practice, no source [1/s]. */
const rate_Hz = 1;

/**
 * Plans a leak test.
 *
 *   dp/dt = p_ref q T / (T_ref V);   u_q / q = sqrt(2) u_p / dp, and likewise sqrt(2) u_T p / (T dp)
 *
 * @param where   the class that it is held against
 * @param stopAt  pressure at which the run is stopped [Pa]; the scale reaches beyond it
 * Source        [astm-e2930], pressure change, ideal gas; the two ends of the hold count each
 */
export function leakPlan(
  dossier: Dossier,
  conditions: Conditions,
  caseId: string,
  where: "ambient" | "cold",
  stopAt?: number,
): LeakPlan {
  const { valve, duty } = dossier.valve;
  const volume = dossier.valve.cases?.find(({ id }) => id === caseId)?.leak_test?.volume?.value;
  const declared = valve?.seat?.leakage?.[where];
  const size = valve?.nominal_size?.value;
  const ofClass =
    declared === undefined || size === undefined ? undefined : gasLeakLimit(declared, size)?.most_m3_s;
  const limits = [duty?.largest_leak?.value, ofClass].flatMap((one) =>
    one !== undefined && one > 0 ? [one] : [],
  );
  const limit = limits.length === 0 ? undefined : Math.min(...limits);
  const p = conditions.supply_pressure?.value;
  const T = conditions.fluid_temperature?.value ?? conditions.valve_temperature?.value;
  const needs = [
    ...(volume === undefined
      ? [`leak_test.volume of case ${caseId}: the closed gas volume of the stand`]
      : []),
    ...(limit === undefined
      ? [`duty.largest_leak or valve.seat.leakage.${where} with valve.nominal_size`]
      : []),
    ...(p === undefined ? [`supply_pressure of case ${caseId}`] : []),
    ...(T === undefined ? [`fluid_temperature of case ${caseId}`] : []),
  ];
  const isKnown = volume !== undefined && limit !== undefined && p !== undefined && T !== undefined;
  const fall = isKnown
    ? (leakReference.pressure_Pa * limit * T) / (leakReference.temperature_K * volume)
    : undefined;
  const root2 = Math.SQRT2;
  const hold_s =
    fall === undefined || p === undefined || T === undefined
      ? undefined
      : Math.max(shortestHold_s, (uncertaintiesToTell * root2 * thermometer_K * p) / (T * fall));
  const drop = fall === undefined || hold_s === undefined ? undefined : fall * hold_s;
  const told = drop === undefined ? undefined : drop / (uncertaintiesToTell * root2);
  return {
    values:
      drop === undefined || hold_s === undefined
        ? []
        : [
            {
              id: "leak-fall",
              name: `change of pressure at the allowed leak, over ${formatQuantity(hold_s, "time", { unit: "min", digits: 2 })}`,
              dimension: "pressure difference",
              unit: "mbar",
              value: drop,
              band: undefined,
              from: "the allowed leak; no model predicts a leak",
            },
          ],
    instruments: [
      {
        channel: "pressure of the closed volume",
        range: p === undefined ? undefined : { low: 0, high: fullScale(p, stopAt) },
        dimension: "pressure",
        unit: "bar(a)",
        rate_Hz,
        filter_Hz: undefined,
        uncertainty: told,
        why:
          told === undefined
            ? "what must be told is not known"
            : `the allowed leak is ${uncertaintiesToTell} of its standard uncertainties; drift over the hold, not the whole scale, counts`,
      },
      {
        channel: "temperature of the gas in it",
        range: T === undefined ? undefined : { low: T - reach_K, high: T + reach_K },
        dimension: "temperature",
        unit: "K",
        rate_Hz,
        filter_Hz: undefined,
        uncertainty: told === undefined || p === undefined || T === undefined ? undefined : (told * T) / p,
        why: "a gas that cools looks like a leak; as the pressure",
      },
    ],
    hold_s,
    needs,
  };
}

/** How far the gas may be off its declared temperature; common practice, no source [K]. */
const reach_K = 30;
