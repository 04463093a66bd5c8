/** A test bench for reconciliation: logs made from the Petrel dossier with values that it does not declare. */
import { readFileSync } from "node:fs";
import { applyDefaults, type Dossier, readDossier } from "../../../src/dossier/index.js";
import {
  type HeldPrediction,
  heldFromBand,
  type MeasuredStroke,
  thinned,
} from "../../../src/evidence/index.js";
import { normalQuantile, randomStream } from "../../../src/numerics/index.js";
import { StrokePath } from "../../../src/physics/motion/index.js";
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

/** The Petrel dossier, with parts of its text replaced. */
export function petrel(replace: Readonly<Record<string, string>> = {}): Dossier {
  const path = "demo/petrel-oxygen-main/valve.yaml";
  let text = readFileSync(path, "utf8");
  for (const [from, to] of Object.entries(replace)) {
    if (!text.includes(from)) throw new Error(`${from} is not in ${path}`);
    text = text.replace(from, to);
  }
  return readDossier({ valve: { path, text } }).dossier;
}

export function planOf(caseId: string, replace: Readonly<Record<string, string>> = {}): Plan {
  return planFor(applyDefaults(petrel(replace), caseId).dossier, caseId);
}

/** Prediction of a case as it stands in the dossier, to hold a test against. */
export async function heldOf(plan: Plan): Promise<HeldPrediction> {
  const prediction = await predict(
    plan.dossier,
    plan.caseId,
    { seed: 1, samples: 512, effectSamples: 0 },
    async (same, blocks) => blocks.map((block) => runBlock(same, block)),
  );
  if (prediction.band === undefined) throw new Error("no band");
  return heldFromBand(prediction.band, "opening", prediction.nominal.opening?.times_s ?? {});
}

const rate_Hz = 1000;
const noise = { angle: 0.002, current: 0.05, voltage: 0.03 };

/** A measured opening of a valve with the given true values, and time stretched by a factor where nothing declared can explain it. */
export function measured(
  plan: Plan,
  truth: Readonly<Record<string, number>>,
  options: { readonly seed?: number; readonly stretch?: number } = {},
): MeasuredStroke {
  const sample = new ValveSample(plan);
  for (const [path, value] of Object.entries(truth)) {
    const slot = plan.space.paths.indexOf(path);
    if (slot < 0) throw new Error(`${path} is no value of this plan`);
    sample.values[slot] = value;
  }
  sample.updateFlow();
  sample.updateTorque();
  const train = sample.train();
  const path = new StrokePath();
  const { stroke, times } = strokeOf(plan, sample, train, "opening", flowMark(sample, "opening"), {
    path,
    tolerance: 1e-7,
  });
  const stretch = options.stretch ?? 1;
  const end = (times[4] ?? Number.NaN) * stretch;
  const count = Math.round((0.1 + end * 1.1) * rate_Hz);
  const time = Float64Array.from({ length: count }, (_, i) => i / rate_Hz - 0.1);
  const angle = new Float64Array(count);
  const speed = new Float64Array(count);
  const current = new Float64Array(count);
  path.sample(
    time.map((t) => t / stretch),
    angle,
    speed,
    current,
  );
  const stream = randomStream(options.seed ?? 7, 1);
  const draw = () => normalQuantile(stream.uniform());
  const volts = current.map((i, k) => supplyVoltage(train, i, speed[k] ?? 0) + noise.voltage * draw());
  return {
    runId: "bench",
    sense: "opening",
    histories: thinned(
      time,
      [
        { channel: "angle", values: angle.map((a) => a + noise.angle * draw()), noise: noise.angle },
        {
          channel: "current",
          values: current.map((i) => Math.abs(i) + noise.current * draw()),
          noise: noise.current,
        },
        { channel: "supply voltage", values: volts, noise: noise.voltage },
      ],
      0,
      end,
    ),
    times: [{ definition: "command-to-end", value_s: end, standardUncertainty_s: 0.002 }],
    commandUncertainty_s: 0.001,
    arrived: stroke.outcome === "arrived",
  };
}
