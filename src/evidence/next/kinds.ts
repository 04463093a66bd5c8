/**
 * The kinds of test that can be made next, as observations that the model can simulate. Each
 * observation is divided by its own error: the discrepancy that the reconciliation allows a lumped model.
 *
 * To add a kind: its word in src/dossier/testFields.ts and its record here.
 */
import type { TestKind } from "../../dossier/index.js";
import { gearTrain } from "../../physics/drive/index.js";
import { angleLoad, type RigidTrain, runStroke, StrokePath } from "../../physics/motion/index.js";
import { flowMark, type Plan, strokeOf, supplyVoltage, type ValveSample } from "../../predict/index.js";
import type { Angle, AngularDamping, AngularSpeed, Inertia, Time, Torque } from "../../quantity/index.js";

/** Observations of one test at one vector of values, SI, channel by channel. */
export type Observed = readonly {
  readonly channel: string;
  readonly values: Float64Array;
  /** Error of one value as a share of the channel's nominal range. */
  readonly share: number;
}[];

export interface KindOfTest {
  readonly kind: TestKind;
  readonly words: string;
  /** Whether a case of the dossier holds the conditions of this test. */
  readonly fits: (plan: {
    readonly fluid: string | undefined;
    readonly outlet: string | undefined;
  }) => boolean;
  /** @param horizon_s  time over which the test is observed, of the nominal one */
  readonly observe: (plan: Plan, sample: ValveSample, horizon_s: number) => Observed;
  /** Time over which the nominal test is observed [s]. */
  readonly horizon: (plan: Plan, sample: ValveSample) => number;
}

/** As the reconciliation has them (src/evidence/reconcile): estimates of what a lumped model is good for. */
const share = { angle: 0.008, current: 0.04, voltage: 0.02, speed: 0.01, torque: 0.02 } as const;
/** Independent stretches of a test, and readings that each is the mean of. */
const stretches = 12;
const perStretch = 16;
/** A stroke that stalls is observed this long [s]; a run-up for this many of its time constants. */
const stalledTime = 0.6;
const runUpConstants = 5;
/** A motor that runs free turns by this much at most [rad]. */
const freeTravel = 1e5;

function strokeKind(kind: TestKind, words: string, fits: KindOfTest["fits"]): KindOfTest {
  return {
    kind,
    words,
    fits,
    horizon: (plan, sample) => {
      const { stroke } = strokeOf(plan, sample, sample.train(), "opening", flowMark(sample, "opening"));
      return stroke.outcome === "arrived" ? (stroke.arrival ?? stalledTime) : stalledTime;
    },
    observe: (plan, sample, horizon_s) => {
      const train = sample.train();
      const path = new StrokePath();
      strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"), {
        path,
        tolerance: tight,
        horizon: 3 * horizon_s,
      });
      return histories(train, path, horizon_s, "angle");
    },
  };
}

const tight = 1e-7;

/** Means over twelve stretches of the time observed. */
function histories(
  train: RigidTrain,
  path: StrokePath,
  horizon_s: number,
  motion: "angle" | "speed",
): Observed {
  const count = stretches * perStretch;
  const times = Float64Array.from({ length: count }, (_, i) => ((i + 0.5) * horizon_s) / count);
  const [angle, speed, current] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  path.sample(times, angle, speed, current);
  const volts = current.map((i, k) => supplyVoltage(train, i, speed[k] ?? 0));
  return [
    { channel: motion, values: means(motion === "angle" ? angle : speed), share: share[motion] },
    { channel: "current", values: means(current), share: share.current },
    { channel: "supply voltage", values: means(volts), share: share.voltage },
  ];
}

function means(values: Float64Array): Float64Array {
  return Float64Array.from(
    { length: stretches },
    (_, k) => values.subarray(k * perStretch, (k + 1) * perStretch).reduce((a, b) => a + b, 0) / perStretch,
  );
}

/** The motor, with its gears or without, with nothing behind it. */
function freeTrain(plan: Plan, sample: ValveSample, withGears: boolean): RigidTrain {
  const train = sample.train();
  const rotor = sample.at(plan.slots.rotorInertia) as Inertia;
  const gears = gearTrain(rotor, train.motorFriction, 0 as Inertia, withGears ? sample.stages() : []);
  // Nothing loads it, so every torque of the motor goes into the inertia and its own friction.
  const none = new Float64Array(2);
  return {
    ...train,
    ratio: gears.ratio,
    forward: gears.forward,
    backward: gears.backward,
    lossless: gears.lossless,
    damping: 0 as AngularDamping,
    dwellTorque: 0 as Torque,
    stribeckSpeed: 1 as AngularSpeed,
    travel: freeTravel as Angle,
    load: angleLoad(freeTravel as Angle, none, none, none),
  };
}

/** Electromechanical time constant of a free run-up [s]. */
function runUpTime({ forward, ratio, torqueConstant, resistance, supplyResistance }: RigidTrain): number {
  return ((resistance + supplyResistance) * forward.inertia) / (torqueConstant ** 2 * ratio);
}

function freeKind(kind: TestKind, words: string, withGears: boolean): KindOfTest {
  return {
    kind,
    words,
    fits: isDry,
    horizon: (plan, sample) => {
      const train = freeTrain(plan, sample, withGears);
      return train.deadTime + runUpConstants * runUpTime(train);
    },
    observe: (plan, sample, horizon_s) => {
      const train = freeTrain(plan, sample, withGears);
      const path = new StrokePath();
      runStroke(train, {
        sense: 1,
        start: 0 as Angle,
        horizon: (1.2 * horizon_s) as Time,
        marks: new Float64Array(),
        path,
        tolerance: tight,
      });
      return histories(train, path, horizon_s, "speed");
    },
  };
}

const isDry: KindOfTest["fits"] = ({ fluid }) => fluid === "none";

/** Shares of the voltage at which a locked stem is measured. */
const voltageSteps = [0.25, 0.5, 0.75, 1] as const;

/** Steady current and stem torque against voltage, the stem held. */
const stemLocked: KindOfTest = {
  kind: "stem locked",
  words: "stem held, current and stem torque at rising voltage",
  fits: isDry,
  horizon: () => 1,
  observe: (_, sample) => {
    const train = sample.train();
    const current = Float64Array.from(voltageSteps, (step) =>
      Math.min(
        (step * train.openCircuitVoltage) / (train.resistance + train.supplyResistance),
        train.currentLimit,
      ),
    );
    const torque = current.map((i) =>
      Math.max((train.torqueConstant * i - train.forward.friction) / train.forward.loadShare, 0),
    );
    return [
      { channel: "current", values: current, share: share.current },
      { channel: "torque", values: torque, share: share.torque },
    ];
  },
};

/** Every kind, in the order of the dossier's words. */
export const kindsOfTest: readonly KindOfTest[] = [
  strokeKind("dry", "stroke of the dry valve", isDry),
  strokeKind("pressurised", "stroke under pressure, outlet blocked", ({ outlet }) => outlet === "dead-ended"),
  strokeKind("nitrogen", "stroke in liquid nitrogen", ({ fluid }) => fluid === "nitrogen"),
  strokeKind("oxygen", "stroke in liquid oxygen", ({ fluid }) => fluid === "oxygen"),
  freeKind("motor alone", "free run-up of the motor", false),
  freeKind("gearbox alone", "free run-up of motor and gears without the valve", true),
  stemLocked,
];
