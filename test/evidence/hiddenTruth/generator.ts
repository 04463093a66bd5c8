/**
 * Logs of the Petrel propane valve as a stand would record them, made from a truth that its file does
 * not know. Sensors have noise, steps and offsets; every real seat has a ripple that no file describes.
 * Nothing under src/ sees a truth.
 */
import { readFileSync } from "node:fs";
import { applyDefaults, type Dossier, readDossier } from "../../../src/dossier/index.js";
import {
  type HeldPrediction,
  heldFromBand,
  type MeasuredStroke,
  measureStroke,
} from "../../../src/evidence/index.js";
import { randomStream } from "../../../src/numerics/index.js";
import {
  angleLoad,
  type LoadCurve,
  nodeValue,
  type RigidTrain,
  StrokePath,
} from "../../../src/physics/motion/index.js";
import {
  flowMark,
  type Plan,
  planFor,
  predict,
  runBlock,
  strokeOf,
  supplyVoltage,
  ValveSample,
} from "../../../src/predict/index.js";
import type { Angle } from "../../../src/quantity/index.js";

/** What is true and not in the file. */
export interface HiddenTruth {
  readonly caseId: string;
  /** Values by path, SI; for a row of a table or a stage its own path. */
  readonly values?: Readonly<Record<string, number>>;
  /** The driver hears of the command so much later than the logger [s]. */
  readonly commandDelay_s?: number;
  /** Time constant of the angle sensor [s]. */
  readonly angleLag_s?: number;
  /** Factor on the friction against the opening as a share of the travel: what no parameter describes. */
  readonly obstruction?: (share: number) => number;
}

/** The dossier as its engineer believes it. */
const believed: Dossier = (() => {
  const path = "test/evidence/hiddenTruth/petrel-propane.yaml";
  const { dossier, faults } = readDossier({ valve: { path, text: readFileSync(path, "utf8") } });
  if (faults.length > 0) throw new Error(faults.map(({ found }) => found).join("; "));
  return dossier;
})();

/** The model as its engineer would reconcile with it. */
export function believedPlan(caseId: string): Plan {
  return planFor(applyDefaults(believed, caseId).dossier, caseId);
}

/** What the file predicts of a case. */
export async function believedPrediction(plan: Plan): Promise<HeldPrediction> {
  const { band, nominal } = await predict(
    plan.dossier,
    plan.caseId,
    { seed: 3, samples: 256, effectSamples: 0 },
    async (same, blocks) => blocks.map((block) => runBlock(same, block)),
  );
  if (band === undefined) throw new Error("no band");
  return heldFromBand(band, "opening", nominal.opening?.times_s ?? {});
}

const rate_Hz = 1000;
const before_s = 0.6;
const after_s = 0.5;
const noise = { angle_rad: 0.0012, current_A: 0.05, voltage_V: 0.02 };
const step = { angle_rad: (0.1 * Math.PI) / 180, current_A: 0.02, voltage_V: 0.01 };
const offset = { angle_rad: 0.008, current_A: 0.015 };
const ripple = { share: 0.02, waves: 4.5 };
/** Every position sensor lags a little [s]. */
const usualLag_s = 1e-3;

/** A test of the true valve, as it comes out of a log. */
export function hiddenTest(truth: HiddenTruth, seed: number): MeasuredStroke {
  const plan = believedPlan(truth.caseId);
  const sample = new ValveSample(plan);
  for (const [path, value] of Object.entries(truth.values ?? {})) {
    const slot = plan.space.paths.indexOf(path);
    if (slot < 0) throw new Error(`${path} is no value of this plan`);
    sample.values[slot] = value;
  }
  sample.updateFlow();
  sample.updateTorque();
  const train = obstructed(sample.train(), truth.obstruction ?? (() => 1));
  const path = new StrokePath();
  const { stroke } = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"), {
    path,
    tolerance: 1e-7,
  });
  if (stroke.arrival === undefined) throw new Error(`the true valve does not open in ${truth.caseId}`);
  const delay = truth.commandDelay_s ?? 0;
  const count = Math.round((before_s + delay + stroke.arrival + after_s) * rate_Hz);
  const time = Float64Array.from({ length: count }, (_, i) => 3.1 + i / rate_Hz);
  const since = time.map((t) => t - 3.1 - before_s - delay);
  const angle = new Float64Array(count);
  const speed = new Float64Array(count);
  const current = new Float64Array(count);
  path.sample(since, angle, speed, current);
  const stream = randomStream(seed, 7);
  const runs = (i: number) => (since[i] ?? 0) >= train.deadTime && (since[i] ?? 0) <= stroke.end;
  const seen = (value: number, deviation: number, size: number) =>
    size * Math.round((value + deviation * stream.normal()) / size);
  const share = 1 - Math.exp(-1 / (rate_Hz * (truth.angleLag_s ?? usualLag_s)));
  let shown = 0;
  const channels = {
    time_s: time,
    angle_rad: angle.map((value) => {
      shown += share * (value - shown);
      return seen(shown + offset.angle_rad, noise.angle_rad, step.angle_rad);
    }),
    command: time.map((t) => (t - 3.1 >= before_s ? 24 : 0)),
    current_A: current.map((value, i) =>
      seen((runs(i) ? Math.abs(value) : 0) + offset.current_A, noise.current_A, step.current_A),
    ),
    supplyVoltage_V: current.map((value, i) =>
      seen(
        supplyVoltage(train, runs(i) ? value : 0, runs(i) ? (speed[i] ?? 0) : 0),
        noise.voltage_V,
        step.voltage_V,
      ),
    ),
    flow: undefined,
  };
  const { stroke: measured, notices } = measureStroke("hidden", channels, train.travel as Angle);
  if (measured === undefined) throw new Error(notices.map(({ text }) => text).join("; "));
  return measured;
}

function obstructed(train: RigidTrain, obstruction: (share: number) => number): RigidTrain {
  const { load, travel } = train;
  const curve = (which: LoadCurve, isFriction: boolean) =>
    Float64Array.from({ length: load.count }, (_, j) => {
      const opening = j / (load.count - 1);
      const wave = 1 + ripple.share * Math.sin(2 * Math.PI * ripple.waves * opening);
      return nodeValue(load, which, j) * (isFriction ? wave * obstruction(opening) : 1);
    });
  return {
    ...train,
    load: angleLoad(travel, curve("friction", true), curve("excess", true), curve("fluid", false)),
  };
}
