/**
 * What a valve file takes for granted: things it states without a spread, or does not state at all, and
 * that a test may contradict. The command reaches the driver when the log says so, the angle sensor
 * follows, the driver's limit is set as written, no rotor was forgotten, the pressure is there, the
 * stream pushes the ball the declared way.
 *
 * Each is one number with a law that keeps close to "as stated" and has a long tail, so that a small
 * misfit goes to the declared uncertainties and a large one can be named for what it is. The laws are
 * our choice, no source:
 *
 *   one-sided (a delay, a lag, an inertia):  g = s exp(k z)                 log-normal, median s
 *   either way (a limit, a pressure):        g = exp(-s sinh(k z) / k)      factor on what is stated
 *
 * with z standard normal. More of it in docs/theory/reconciliation.md, "Parameters".
 */
import type { Plan } from "../../predict/index.js";
import type { Dimension } from "../../quantity/index.js";
import type { MeasuredStroke } from "./measured.js";

export interface Granted {
  /** Stands where an input has its path in the valve file. */
  readonly path: string;
  /** In a sentence: "the command came later than logged". */
  readonly words: string;
  /** Whether every test has its own. */
  readonly isOfRun: boolean;
  readonly dimension: Dimension;
  /** As the file takes it. */
  readonly stated: number;
  /** Value at a normal score. */
  readonly valueAt: (z: number) => number;
  readonly concerns: (plan: Plan, stroke: MeasuredStroke) => boolean;
  /** Enters it into the values of all slots, SI; absent where it is about the measurement alone. */
  readonly enter?: (values: Float64Array, plan: Plan, value: number) => void;
}

const later = (median: number, growth: number) => (z: number) => median * Math.exp(growth * z);
const factor = (near: number, growth: number) => (z: number) =>
  Math.exp((-near * Math.sinh(growth * z)) / growth);

/** Half the commands reach the driver within half a millisecond, 95 % within 6 ms. */
const delayLaw = later(5e-4, 1.5);
/** Half the sensors lag by less than half a millisecond, 95 % by less than 6 ms. */
const lagLaw = later(5e-4, 1.5);
/** Half the trains have less than 1 % of the rotor's inertia besides what was entered, 95 % less than 12 %. */
const inertiaLaw = later(0.01, 1.5);
/** The stream's torque is within 2 % of the declared curve; the far tail turns its sense. */
const streamLaw = later(0.02, 1.5);
/** A setting is right within 2 %; the far tail reaches a third of it and less. */
const settingLaw = factor(0.02, 1.5);

const scale =
  (slot: (plan: Plan) => number): NonNullable<Granted["enter"]> =>
  (values, plan, value) => {
    const at = slot(plan);
    if (at >= 0) values[at] = (values[at] ?? Number.NaN) * value;
  };

const isExact = ({ space }: Plan, slot: number): boolean =>
  slot >= 0 && space.declared[slot]?.law.kind === "exact";

/** Everything taken for granted, in the order in which it is listed. */
export const granted: readonly Granted[] = [
  {
    path: "granted.command_delay",
    words: "command later than logged",
    isOfRun: true,
    dimension: "time",
    stated: 0,
    valueAt: delayLaw,
    concerns: () => true,
  },
  {
    path: "granted.angle_lag",
    words: "lag of the angle sensor",
    isOfRun: true,
    dimension: "time",
    stated: 0,
    valueAt: lagLaw,
    concerns: (_, { histories }) => histories.some(({ channel }) => channel === "angle"),
  },
  {
    path: "granted.pressure_share",
    words: "share of the stated pressure that was there",
    isOfRun: true,
    dimension: "ratio",
    stated: 1,
    valueAt: settingLaw,
    concerns: ({ medium }) => medium.kind === "dead-ended" || medium.kind === "liquid",
    enter: (values, { slots }, value) => {
      const back = values[slots.backPressure] ?? Number.NaN;
      const supply = values[slots.supplyPressure] ?? Number.NaN;
      values[slots.supplyPressure] = back + value * (supply - back);
    },
  },
  {
    path: "granted.current_limit_share",
    words: "current limit over the stated one",
    isOfRun: false,
    dimension: "ratio",
    stated: 1,
    valueAt: settingLaw,
    concerns: (plan) => isExact(plan, plan.slots.currentLimit),
    enter: scale(({ slots }) => slots.currentLimit),
  },
  {
    path: "granted.further_inertia",
    words: "inertia not in the file, over the rotor's",
    isOfRun: false,
    dimension: "ratio",
    stated: 0,
    valueAt: inertiaLaw,
    concerns: ({ slots }) => slots.rotorInertia >= 0,
    enter: (values, { slots }, value) => {
      values[slots.rotorInertia] = (values[slots.rotorInertia] ?? Number.NaN) * (1 + value);
    },
  },
  {
    path: "granted.stream_torque",
    words: "torque of the stream over the declared one",
    isOfRun: false,
    dimension: "ratio",
    stated: 1,
    valueAt: (z) => 1 - streamLaw(z),
    concerns: ({ medium, slots }) => medium.kind === "liquid" && slots.hydrodynamicScale >= 0,
    enter: scale(({ slots }) => slots.hydrodynamicScale),
  },
];

/** Path of the delay of the command; it moves every channel alike. */
export const commandDelayPath = "granted.command_delay";
/** Path of the lag of the angle sensor. */
export const angleLagPath = "granted.angle_lag";
/** Path of the log's clock against its command, which moves every channel too. */
export const clockPath = "granted.clock";

const clockWords = "instant of the command on the log's clock";
/** No clock is better than this against the command [s]. */
const leastClock_s = 1e-4;

/** The instant of the command, as uncertain as the log leaves it. */
export function clockOf({ commandUncertainty_s }: MeasuredStroke): Granted {
  const deviation = Math.max(commandUncertainty_s, leastClock_s);
  return {
    path: clockPath,
    words: clockWords,
    isOfRun: true,
    dimension: "time",
    stated: 0,
    valueAt: (z) => deviation * z,
    concerns: () => true,
  };
}

/** What a path of `granted` stands for, in words; undefined for a path of the valve file. */
export function grantedWords(path: string): string | undefined {
  return path === clockPath ? clockWords : granted.find((one) => one.path === path)?.words;
}
