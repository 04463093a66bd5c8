/**
 * The generator of the Petrel demo's logs: four openings of a valve whose truth (truth.json) differs
 * from what its dossier assumes, recorded by four loggers with four sets of habits.
 *
 * A stroke is simulated with the true values and a friction ripple that no dossier describes; its
 * angle, current, supply voltage and pressure go through a sensor lag, noise and quantisation; clocks
 * start where they like, one runs fast, samples are missing, a stamp is repeated. Same seed: same files.
 */
import { applyDefaults, type Dossier, valueAt } from "../../src/dossier/index.js";
import { normalQuantile, type RandomStream, randomStream } from "../../src/numerics/index.js";
import {
  angleLoad,
  type LoadCurve,
  nodeValue,
  type RigidTrain,
  StrokePath,
} from "../../src/physics/motion/index.js";
import { flowMark, planFor, strokeOf, supplyVoltage, ValveSample } from "../../src/predict/index.js";
import { parseQuantity } from "../../src/quantity/index.js";
import { type LoggerHabit, loggers, type Sample } from "./loggers.js";
import truth from "./truth.json" with { type: "json" };

export interface GeneratedLog {
  readonly caseId: string;
  readonly fileName: string;
  readonly bytes: Uint8Array;
}

const seed = 20310418;
/** Recorded before the command and after the end of travel [s]. */
const lead = 1.2;
const tail = 0.8;

/** The four logs of the demo, in the order in which the tests are made. */
export function generateLogs(dossier: Dossier): readonly GeneratedLog[] {
  return loggers.map((logger, index) => ({
    caseId: logger.caseId,
    fileName: logger.fileName,
    bytes: logger.write(record(dossier, logger, randomStream(seed, index))),
  }));
}

function record(dossier: Dossier, logger: LoggerHabit, stream: RandomStream): readonly Sample[] {
  const plan = planFor(applyDefaults(dossier, logger.caseId).dossier, logger.caseId);
  const sample = new ValveSample(plan);
  for (const [path, text] of Object.entries(truth.values)) {
    const declared = valueAt(plan.dossier, path);
    const slot = plan.space.paths.indexOf(path);
    if (declared === undefined || slot < 0) continue;
    sample.values[slot] = parseQuantity(text, declared.dimension);
  }
  sample.updateFlow();
  sample.updateTorque();
  const train = rippled(sample.train());
  const path = new StrokePath();
  const { stroke } = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"), {
    path,
    tolerance: 1e-7,
  });
  if (stroke.arrival === undefined) throw new Error(`the true valve does not open in ${logger.caseId}`);
  const count = Math.round((lead + stroke.arrival + tail) * logger.rate_Hz);
  const since = Float64Array.from({ length: count }, (_, i) => i / logger.rate_Hz - lead);
  const angle = new Float64Array(count);
  const speed = new Float64Array(count);
  const current = new Float64Array(count);
  path.sample(since, angle, speed, current);
  const share = 1 - Math.exp(-1 / (logger.rate_Hz * parseQuantity(truth.sensor.angle_lag, "time")));
  let shown = 0;
  const noise = (deviation: number) => deviation * normalQuantile(stream.uniform());
  const supply = sample.at(plan.slots.supplyPressure);
  return Array.from(since, (t, i): Sample => {
    shown += share * ((angle[i] ?? 0) - shown);
    const isRunning = t >= train.deadTime && t <= stroke.end;
    const amperes = isRunning ? Math.abs(current[i] ?? 0) : 0;
    const volts = supplyVoltage(train, amperes, isRunning ? (speed[i] ?? 0) : 0);
    return {
      since_s: t,
      command: t >= 0,
      angle_rad: quantised(
        shown + noise(logger.angleNoise_rad),
        parseQuantity(truth.sensor.angle_step, "angle"),
      ),
      current_A: quantised(amperes + noise(0.04), parseQuantity(truth.sensor.current_step, "current")),
      voltage_V: quantised(volts + noise(0.02), parseQuantity(truth.sensor.voltage_step, "voltage")),
      pressure_Pa: Number.isNaN(supply) ? Number.NaN : supply + noise(4e3),
    };
  });
}

/** A real seat is not the same all the way round. */
function rippled(train: RigidTrain): RigidTrain {
  const { load, travel } = train;
  const { share, waves_per_travel } = truth.friction_ripple;
  const curve = (which: LoadCurve, isFriction: boolean) =>
    Float64Array.from({ length: load.count }, (_, j) => {
      const wave = 1 + share * Math.sin((2 * Math.PI * waves_per_travel * j) / (load.count - 1));
      return nodeValue(load, which, j) * (isFriction ? wave : 1);
    });
  return {
    ...train,
    load: angleLoad(travel, curve("friction", true), curve("excess", true), curve("fluid", false)),
  };
}

function quantised(value: number, step: number): number {
  return Math.round(value / step) * step;
}

/** The hidden truth in words, for the reader of the demo who has reached its end. */
export function truthInWords(): readonly string[] {
  return Object.entries(truth.values).map(([path, text]) => `${path}: ${text}`);
}
