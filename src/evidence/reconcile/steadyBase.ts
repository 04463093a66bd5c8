/**
 * What a stroke is made of where the forces balance, as single numbers and curves over the opening.
 *
 * At each opening the train turns at the speed at which the forces balance, all that stores energy left out
 * (symbols as in physics/motion/train.ts; R with the supply's resistance):
 *
 *   w = (k V / R - sum D_j - c (sum C_t + P |drop| + Q gauge + H)) / (k^2 N / R + b N + c B)
 *   i = V / R - (k N / R) w,   t = integral of 1/w from the start of the travel
 *
 * D_j is the friction of the motor and of each gear stage as the motor feels it, C_t what each part of the turning torque
 * has whatever the pressures, P and Q what it grows by with drop and body pressure, H the torque of the stream. Each of
 * them is close to a product of inputs, so that its logarithm is close to straight in theirs: what bends a
 * history lies in this balance.
 */
import { Refusal } from "../../fault/index.js";
import { gearTrain } from "../../physics/drive/index.js";
import { turningTerms } from "../../physics/seat/index.js";
import { ValveSample } from "../../predict/index.js";
import type { Inertia, Torque } from "../../quantity/index.js";
import type { JointSpace } from "./parameters.js";

/** Places of the single numbers, each a logarithm, that come before the D_j and C_t. */
export const places = {
  stallTorque: 0,
  loadShare: 1,
  slope: 2,
  freeCurrent: 3,
  currentPerSpeed: 4,
  /** Current at which the load breaks away; nothing in the balance has it. */
  starting: 5,
  perDrop: 6,
  perGauge: 7,
} as const;
const firstFriction = 8;
/** Drop, gauge pressure in the body, and torque of the stream. */
const curves = 3;
/** Every so many openings of the sample's grid count. */
const stride = 3;
/** Logarithm of what a valve does not have. */
const nothing = -60;
/** Scores apart at which it is seen what an input moves. */
const probe = 0.5;

/** How the numbers and curves lie one after the other. Plain data: it can be sent to another thread. */
export interface SteadyLayout {
  readonly frictions: number;
  readonly constants: number;
  readonly nodes: number;
  /** Angle between two nodes [rad]. */
  readonly step: number;
  /** What each D_j has added before its logarithm is taken, for in the warm it may be nothing [N m]. */
  readonly offsets: readonly number[];
}

/** First place of the C_t, and of the curves. */
export function firstConstant({ frictions }: SteadyLayout): number {
  return firstFriction + frictions;
}
export function firstCurve(layout: SteadyLayout): number {
  return firstConstant(layout) + layout.constants;
}
export { firstFriction };

function log(value: number): number {
  return value > 0 ? Math.log(value) : nothing;
}

export class SteadyBase {
  readonly layout: SteadyLayout;
  private readonly sample: ValveSample;
  private readonly isOpening: boolean;

  constructor(
    private readonly space: JointSpace,
    private readonly run: number,
  ) {
    const one = space.runs[run];
    if (one === undefined) throw new Error("a steady stroke needs a run");
    this.sample = new ValveSample(one.plan);
    this.isOpening = one.stroke.sense === "opening";
    space.fill(run, new Float64Array(space.size), this.sample.values);
    this.sample.updateFlow();
    const { angles } = this.sample;
    const offsets = this.frictions();
    this.layout = {
      frictions: offsets.length,
      constants: turningTerms.length,
      nodes: Math.floor((angles.length - 1) / stride) + 1,
      step: stride * (angles[1] ?? 0),
      offsets,
    };
  }

  /** @returns numbers and curves at independent scores; undefined where no valve can be so */
  at(z: ArrayLike<number>): Float64Array | undefined {
    const { sample, space, run } = this;
    space.fill(run, z, sample.values);
    try {
      sample.updateFlow();
      sample.updateTorque();
      const out = this.read();
      return out.every(Number.isFinite) ? out : undefined;
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      return undefined;
    }
  }

  /**
   * For each number and curve, the parameters among some that move it.
   * @param about  scores of no special kind: at those as declared, one input may hide another
   */
  reaches(of: readonly number[], about: Float64Array): readonly (readonly number[])[] {
    const { layout } = this;
    const first = firstCurve(layout);
    const found: number[][] = Array.from({ length: first + curves }, () => []);
    for (const j of of) {
      const at = (by: number): Float64Array | undefined => {
        const z = about.slice();
        z[j] = (z[j] as number) + by;
        return this.at(z);
      };
      const [low, high] = [at(-probe), at(probe)];
      const differs = (from: number, count: number): boolean =>
        low === undefined ||
        high === undefined ||
        low.subarray(from, from + count).some((value, i) => value !== high[from + i]);
      for (let q = 0; q < first; q++) if (differs(q, 1)) found[q]?.push(j);
      for (let c = 0; c < curves; c++)
        if (differs(first + c * layout.nodes, layout.nodes)) found[first + c]?.push(j);
    }
    return found;
  }

  /** D_j, of the motor first. */
  private frictions(): readonly number[] {
    const { sample } = this;
    let passed = 1;
    const own = sample.stages().map(({ noLoadTorque, ratio, efficiency }) => {
      const friction = passed * noLoadTorque;
      passed /= ratio * efficiency;
      return friction;
    });
    return [sample.at(sample.plan.slots.motorFriction), ...own];
  }

  private read(): Float64Array {
    const { sample, layout, isOpening } = this;
    const { slots } = sample.plan;
    const at = (slot: number): number => sample.at(slot);
    const orZero = (value: number): number => (Number.isFinite(value) ? value : 0);
    const out = new Float64Array(firstCurve(layout) + curves * layout.nodes);
    const stages = sample.stages();
    const motorFriction = at(slots.motorFriction);
    const { forward, starting, ratio } = gearTrain(
      at(slots.rotorInertia) as Inertia,
      motorFriction as Torque,
      at(slots.inertia) as Inertia,
      stages,
    );
    const R = sample.windingResistance() + sample.supplyResistance();
    const V = at(slots.openCircuitVoltage);
    const k = sample.torqueConstant();
    const [share, sense] = [forward.loadShare, isOpening ? 1 : -1];
    out[places.stallTorque] = log((k * V) / R);
    out[places.loadShare] = log(share);
    out[places.slope] = log(
      (k * k * ratio) / R + orZero(at(slots.motorDamping)) * ratio + share * orZero(at(slots.damping)),
    );
    out[places.freeCurrent] = log(V / R);
    out[places.currentPerSpeed] = log((k * ratio) / R);
    const last = sample.angles.length - 1;
    const shut = isOpening ? 0 : last;
    const toBreak =
      (sample.breakaway[shut] ?? 0) +
      sense * (sample.fluidTorque[shut] ?? 0) +
      (isOpening ? sample.dwellTorqueAt(0) : 0);
    out[places.starting] = log((starting.loadShare * toBreak + starting.friction) / k);
    this.frictions().forEach((friction, j) => {
      out[firstFriction + j] = log(friction + (layout.offsets[j] ?? 0));
    });
    const { turning } = sample;
    let [perDrop, perGauge] = [0, 0];
    turningTerms.forEach((term, t) => {
      const load = turning === undefined ? undefined : term.load(turning);
      out[firstConstant(layout) + t] = log(load?.constant ?? 0);
      perDrop += load?.perDrop ?? 0;
      perGauge += load?.perBodyPressure ?? 0;
    });
    out[places.perDrop] = log(perDrop);
    out[places.perGauge] = log(perGauge);
    const first = firstCurve(layout);
    for (let m = 0; m < layout.nodes; m++) {
      const j = isOpening ? stride * m : last - stride * m;
      out[first + m] = Math.abs(sample.drop[j] ?? 0);
      out[first + layout.nodes + m] = Math.max(sample.bodyGaugeAt(j), 0);
      out[first + 2 * layout.nodes + m] = sense * (sample.fluidTorque[j] ?? 0);
    }
    return out;
  }
}
