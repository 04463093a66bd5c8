/** Torque at the stem from the motor current, with what is declared of motor and gears and how well. */
import type { Contributor, ContributorCorrelation } from "../../numerics/index.js";
import { gearTrain } from "../../physics/drive/index.js";
import { isAnswerable, lawQuantile, type Plan, ValveSample } from "../../predict/index.js";
import { type Inertia, lawDeviation, type Torque } from "../../quantity/index.js";

/** Motor and gears at one vector of values. */
export interface DriveNow {
  readonly torqueConstant: number;
  readonly motorDamping: number;
  readonly ratio: number;
  readonly loadShare: number;
  readonly friction: number;
  readonly inertia: number;
}

/** The drive as contributors to a measured torque. */
export interface DriveModel {
  readonly contributors: readonly Contributor[];
  readonly correlations: readonly ContributorCorrelation[];
  /** @param x values of the contributors, in their order; more may follow behind */
  readonly at: (x: Float64Array) => DriveNow;
}

const ofDrive =
  /^drive\.(motor\.(torque_constant|friction_torque|damping|inertia)|stages)|^valve\.inertia$|\.(motor|gearbox)_temperature$/;

/** The drive of a plan; undefined where it is not known. */
export function driveModel(plan: Plan): DriveModel | undefined {
  if (!isAnswerable(plan, "drive") || plan.slots.inertia < 0) return undefined;
  const sample = new ValveSample(plan);
  const inputs = plan.space.inputs.filter(({ path, members }) => ofDrive.test(path) && members.length === 1);
  const contributors = inputs.flatMap(({ path, members }): Contributor[] =>
    members.map(({ declared }) => ({
      name: path,
      value: declared.value,
      standardUncertainty: lawDeviation(declared.law),
      quantile: (p) => lawQuantile(declared.law, declared.value, p),
    })),
  );
  const place = (path: string | undefined) => inputs.findIndex((input) => input.path === path);
  const correlations = (plan.dossier.valve.correlations ?? []).flatMap(
    ({ first, second, rank }): ContributorCorrelation[] => {
      const [i, j] = [place(first), place(second)];
      // Product-moment from rank correlation of the normal law, as gaussianCopula has it.
      return i < 0 || j < 0 || rank === undefined
        ? []
        : [{ first: i, second: j, r: 2 * Math.sin((Math.PI * rank.value) / 6) }];
    },
  );
  return {
    contributors,
    correlations,
    at: (x) => {
      inputs.forEach(({ members }, j) => {
        for (const { slot } of members) sample.values[slot] = x[j] ?? Number.NaN;
      });
      const { slots } = plan;
      const gears = gearTrain(
        sample.at(slots.rotorInertia) as Inertia,
        sample.at(slots.motorFriction) as Torque,
        sample.at(slots.inertia) as Inertia,
        sample.stages(),
      );
      return {
        torqueConstant: sample.torqueConstant(),
        motorDamping: sample.at(slots.motorDamping),
        ratio: gears.ratio,
        loadShare: gears.forward.loadShare,
        friction: gears.forward.friction,
        inertia: gears.forward.inertia,
      };
    },
  };
}

/**
 * Torque that valve and fluid take at the stem, in the sense of motion.
 *
 *   T = (k i - b N w - D - I dw/dt) / c
 *
 * @param current       magnitude [A];  @param speed  of the stem, magnitude [rad/s]
 * @param acceleration  of the stem in the sense of motion [rad/s2]
 * @returns             [N m]
 * Valid for            a motor that drives the load, not one that the load drives
 * Source               docs/theory/reduction.md; c, D and I of the gears in docs/theory/drive.md
 */
export function stemTorque(drive: DriveNow, current: number, speed: number, acceleration: number): number {
  const { torqueConstant, motorDamping, ratio, friction, inertia, loadShare } = drive;
  const motor = torqueConstant * current - motorDamping * ratio * speed;
  return (motor - friction - inertia * acceleration) / loadShare;
}
