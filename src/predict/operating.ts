/**
 * The worst of choking and cavitation over the operating openings: those that pass at least the lowest
 * throttled share of the wanted flow, or of what the open valve passes if that is less. Where no lowest
 * flow is declared, wide open is the only operating opening.
 *
 * Both ratios are looked at in every opening of the grid, at the very opening of the lowest flow, which
 * lies between two of them, and, where the worst is one of the grid, between its neighbours.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { findRoot } from "../numerics/index.js";
import { criticalPressureRatioFactor, installedFlowOverAngles } from "../physics/flow/index.js";
import { openings, type ValveSample } from "./valveSample.js";

/** A ratio and the opening at which it is that. */
interface AtOpening {
  readonly ratio: number;
  /** From closed [rad]. */
  readonly angle_rad: number;
}

interface WorstOperating {
  /** Drop over choking drop. */
  readonly choke: AtOpening;
  /** x_F, the drop over what there is before the liquid boils. */
  readonly cavitation: AtOpening;
}

/** The wide-open point itself must count as operating whatever rounding does. */
const operatingShare = 1 - 1e-9;
/** A ratio of pressures beyond this means the same as this: the liquid boils where it enters [-]. */
const largestRatio = 1e6;
/** Width to which the opening of the lowest flow is found, share of a grid step [-]. */
const rootShare = 1e-4;
const goldenSteps = 12;
const golden = (Math.sqrt(5) - 1) / 2;

/** Flow from which an opening counts as operating, by magnitude; NaN where it has a fault [kg/s]. */
export function lowestFlow(sample: ValveSample): number {
  const { dossier, slots } = sample.plan;
  const open = Math.abs(sample.massFlow[openings - 1] ?? 0) * operatingShare;
  const share = dossier.valve.duty?.throttle?.lowest?.value;
  if (operatingFaults(dossier).length > 0) return Number.NaN;
  if (share === undefined) return open;
  const wanted = sample.at(slots.massFlow);
  return share * (wanted > 0 ? Math.min(wanted * operatingShare, open) : open);
}

/** Fields left out, or entered with a fault, without which nobody knows which openings operate. */
export function operatingFaults(dossier: Dossier): readonly string[] {
  const { throttle, mass_flow } = dossier.valve.duty ?? {};
  const lacks = (path: string, value: unknown) =>
    value === undefined && isFaulty(dossier, path) ? [path] : [];
  const lowest = lacks("duty.throttle.lowest", throttle?.lowest);
  if (throttle?.lowest === undefined) return lowest;
  return mass_flow === undefined ? ["duty.mass_flow"] : [];
}

/**
 * @param sample after `updateFlow`;  @param lowest flow from which an opening counts [kg/s]
 * @returns      both at 0 where nothing flows, NaN where nobody knows which openings operate
 */
export function worstOperating(
  sample: ValveSample,
  liquid: NonNullable<ValveSample["liquid"]>,
  lowest: number,
): WorstOperating {
  if (Number.isNaN(lowest)) {
    const unknown = { ratio: Number.NaN, angle_rad: Number.NaN };
    return { choke: unknown, cavitation: unknown };
  }
  const point = new OpeningPoint(sample, liquid);
  const first = firstOperating(sample, lowest);
  if (first === undefined) {
    const nothing = { ratio: 0, angle_rad: 0 };
    return { choke: nothing, cavitation: nothing };
  }
  const isWideOpen = first === openings - 1 && sample.plan.dossier.valve.duty?.throttle?.lowest === undefined;
  const from = isWideOpen ? (sample.angles[first] ?? 0) : openingOf(sample, point, first, lowest);
  return {
    choke: worstOf(sample, point, "choke", first, from),
    cavitation: worstOf(sample, point, "cavitation", first, from),
  };
}

/** First opening of the grid that operates. */
function firstOperating(sample: ValveSample, lowest: number): number | undefined {
  const isThrottled = sample.plan.dossier.valve.duty?.throttle?.lowest !== undefined;
  for (let j = isThrottled ? 1 : openings - 1; j < openings; j++) {
    const flow = Math.abs(sample.massFlow[j] ?? 0);
    if (flow > 0 && flow >= lowest) return j;
  }
  return undefined;
}

/** Opening of the lowest flow, at or just below the first one of the grid that passes it [rad]. */
function openingOf(sample: ValveSample, point: OpeningPoint, first: number, lowest: number): number {
  const low = sample.angles[first - 1] ?? 0;
  const high = sample.angles[first] ?? 0;
  const lacks = (angle: number) => {
    point.put(angle);
    return point.flow - lowest;
  };
  if (!(lacks(low) < 0 && lacks(high) > 0)) return high;
  return findRoot(lacks, low, high, { tolerance: rootShare * (high - low) });
}

type Which = "choke" | "cavitation";

function worstOf(
  sample: ValveSample,
  point: OpeningPoint,
  which: Which,
  first: number,
  from: number,
): AtOpening {
  point.put(from);
  let worst: AtOpening = { ratio: point[which], angle_rad: from };
  let at = -1;
  for (let j = first; j < openings; j++) {
    point.take(j);
    if (!(point[which] > worst.ratio)) continue;
    worst = { ratio: point[which], angle_rad: sample.angles[j] ?? 0 };
    at = j;
  }
  // Worst at the lowest flow or wide open is worst at an end; else the peak lies beside the grid's.
  if (at < 0 || at >= openings - 1 || worst.ratio >= largestRatio) return worst;
  let low = Math.max(from, sample.angles[at - 1] ?? from);
  let high = sample.angles[at + 1] ?? worst.angle_rad;
  for (let n = 0; n < goldenSteps; n++) {
    const a = high - golden * (high - low);
    const b = low + golden * (high - low);
    point.put(a);
    const left = point[which];
    point.put(b);
    const right = point[which];
    if (left > right) high = b;
    else low = a;
    const better = Math.max(left, right);
    if (better > worst.ratio) worst = { ratio: better, angle_rad: left > right ? a : b };
  }
  return worst;
}

/** Flow and both ratios at one opening, on the grid or off it. */
class OpeningPoint {
  flow = 0;
  choke = 0;
  cavitation = 0;
  private readonly FF: number;
  private readonly massFlow = new Float64Array(1);
  private readonly drop = new Float64Array(1);
  private readonly inlet = new Float64Array(1);
  private readonly choked = new Uint8Array(1);

  constructor(
    private readonly sample: ValveSample,
    private readonly liquid: NonNullable<ValveSample["liquid"]>,
  ) {
    this.FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  }

  /** An opening of the grid. */
  take(j: number): void {
    const { massFlow, drop, inlet, recovery } = this.sample;
    this.set(massFlow[j] ?? 0, drop[j] ?? 0, inlet[j] ?? 0, recovery[j] ?? 1);
  }

  /** Any opening [rad]. */
  put(angle: number): void {
    const { sample, massFlow, drop, inlet, choked } = this;
    const { system } = sample;
    if (system === undefined) return;
    const { coefficient, recovery } = sample.openingAt(angle);
    installedFlowOverAngles(system, coefficient, recovery, massFlow, drop, inlet, choked);
    this.set(massFlow[0] ?? 0, drop[0] ?? 0, inlet[0] ?? 0, recovery[0] ?? 1);
  }

  private set(massFlow: number, drop: number, inlet: number, FL: number): void {
    const { vapourPressure } = this.liquid;
    const across = Math.abs(drop);
    this.flow = Math.abs(massFlow);
    this.choke = ratioOf(across, FL * FL * (inlet - this.FF * vapourPressure));
    this.cavitation = ratioOf(across, inlet - vapourPressure);
  }
}

/** A drop over what there is before the liquid boils; none left is the largest ratio [-]. */
function ratioOf(drop: number, room: number): number {
  return room > 0 ? Math.min(drop / room, largestRatio) : largestRatio;
}
