/** The line of a dossier: what is drawn, what is judged and what the strokes give must agree. */
import { beforeAll, describe, expect, it } from "vitest";
import { OwnAnswers, type Prediction, type SurgeAnswer, surgeFigure } from "../../src/predict/index.js";
import { textOf } from "../project/files.js";
import { predictionOf } from "../question/answering.js";

let prediction: Prediction;
let surge: SurgeAnswer;

beforeAll(async () => {
  const text = textOf("demo/petrel-oxygen-main/valve.yaml");
  prediction = await predictionOf({ text, samples: 0 });
  const { dossier, caseId } = prediction;
  surge = new OwnAnswers(dossier, caseId, { seed: 1, samples: 4000 }).surge;
});

const bar = 1e5;

describe("a line that climbs", () => {
  it("passes, before the valve closes, what question 1 says of the valve in it", async () => {
    const text = textOf("demo/petrel-oxygen-main/valve.yaml")
      .replace("side: upstream, length: { value: 0.9 m", "side: upstream, rise: 20 m, length: { value: 0.9 m")
      .replace(
        "side: downstream, length: { value: 0.35 m",
        "side: downstream, rise: 15 m, length: { value: 0.35 m",
      )
      .replace("  free_gas: 0 %", "  liquid_level: 2 m\n  free_gas: 0 %");
    const climbing = await predictionOf({ text, samples: 0 });
    const { dossier, caseId } = climbing;
    const own = new OwnAnswers(dossier, caseId, { seed: 1, samples: 0 }).surge;
    const open = climbing.nominal.flow?.massFlow_kg_s.at(-1) ?? Number.NaN;
    expect(open).toBeLessThan(0.95 * (prediction.nominal.flow?.massFlow_kg_s.at(-1) ?? Number.NaN));
    expect((own.closing?.flow_kg_s[0] ?? Number.NaN) / open).toBeCloseTo(1, 4);
  });
});

describe("both ways", () => {
  const ofScale = async (scale: string) => {
    const text = textOf("demo/petrel-oxygen-main/valve.yaml").replace(
      /^ {2}support: floating$/m,
      `  support: floating\n  hydrodynamic: { scale: ${scale} }`,
    );
    const { dossier, caseId } = await predictionOf({ text, samples: 0 });
    return new OwnAnswers(dossier, caseId, { seed: 1, samples: 0 }).surge.closing;
  };

  it("the flow's torque on the ball, which closes it, takes back what the waves' drop costs in friction; the ball's motion makes the waves", async () => {
    const [free, moved] = [await ofScale("0.01"), await ofScale("4")];
    // The waves raise the drop: friction alone slows the ball, the stream on it pushes it shut.
    expect(free?.coupling).toBeGreaterThan(0);
    expect(moved?.coupling).toBeLessThan(free?.coupling ?? Number.NaN);
    // And a ball that is pushed shut faster stops the flow faster.
    const lasts = (run: typeof free) => (run?.end_s ?? Number.NaN) - (run?.start_s ?? Number.NaN);
    expect(lasts(moved)).toBeLessThan(lasts(free));
    expect(Math.max(...(moved?.ahead_Pa ?? []))).toBeGreaterThan(Math.max(...(free?.ahead_Pa ?? [])));
  });
});

describe("an empty line towards an engine that does not burn yet", () => {
  const withEdit = async (edit: (text: string) => string) => {
    const text = edit(textOf("demo/petrel-oxygen-main/valve.yaml"));
    const { dossier, caseId } = await predictionOf({ text, samples: 0 });
    return new OwnAnswers(dossier, caseId, { seed: 1, samples: 0 }).surge;
  };
  const back = "  back_pressure: 18 bar(a) +/- 0.5 bar";

  it("fills against ambient pressure, whatever the chamber has once it runs, and as the same start stated as a case", async () => {
    expect(surge.priming?.gasAheadOf).toBe("ambient");
    expect(surge.priming?.gasAhead_Pa).toBeCloseTo(1.013 * bar, 0);
    const declared = await withEdit((text) =>
      text.replace(back, `${back}\n  back_pressure_at_start: 1.013 bar(a)`),
    );
    expect(declared.priming?.gasAheadOf).toBe("start");
    const { dossier } = prediction;
    const start = new OwnAnswers(dossier, "start-oxygen", { seed: 1, samples: 0 }).surge;
    for (const other of [declared, start])
      for (const figure of ["prime", "openShare", "fillTime"])
        expect(
          (other.figures.nominal[figure] ?? Number.NaN) / (surge.figures.nominal[figure] ?? Number.NaN),
        ).toBeCloseTo(1, 2);
  });

  it("without an engine the back pressure of the case stands ahead of the liquid", async () => {
    const plain = await withEdit((text) => text.replace(/^engine:\n(?: .*\n|\n)*/m, ""));
    expect(plain.priming?.gasAheadOf).toBe("back");
    expect(plain.priming?.gasAhead_Pa).toBeCloseTo(18 * bar, 0);
    expect(plain.figures.nominal.fillTime).toBeGreaterThan(surge.figures.nominal.fillTime ?? Number.NaN);
    // The closing is that of the running engine either way.
    const valve = plain.places.find(({ kind }) => kind === "valve");
    const id = valve === undefined ? "" : surgeFigure(valve);
    expect(plain.figures.nominal[id]).toBeCloseTo(surge.figures.nominal[id] ?? Number.NaN, -1);
  });
});

describe("the line of the demo", () => {
  it("passes, before the valve closes, what the installed valve passes wide open", () => {
    const open = prediction.nominal.flow?.massFlow_kg_s.at(-1) ?? Number.NaN;
    expect((surge.closing?.flow_kg_s[0] ?? Number.NaN) / open).toBeCloseTo(1, 4);
    expect(surge.closing?.flow_kg_s.at(-1)).toBeCloseTo(0, 6);
    // The opening ends unlit: 28 bar(a) over 1.013 instead of 18, and the flow goes with the root of it.
    const unlit = Math.sqrt((28 - 1.013) / (28 - 18));
    expect((surge.opening?.flow_kg_s.at(-1) ?? Number.NaN) / open / unlit).toBeCloseTo(1, 1);
  });

  it("is judged at each place by what is drawn", () => {
    const valve = surge.places.find(({ kind }) => kind === "valve");
    const drawn = Math.max(...(surge.closing?.ahead_Pa ?? []), ...(surge.closing?.behind_Pa ?? []));
    const judged =
      valve === undefined ? Number.NaN : (surge.figures.nominal[surgeFigure(valve)] ?? Number.NaN);
    expect(Math.abs(judged - drawn)).toBeLessThan(0.02 * bar);
  });

  it("closes as the strokes have it, but for what the waves add to the drop: they slow a closing, and an opening into an empty line, whose gas holds less against it", () => {
    const stroke = prediction.nominal.closing;
    const own = (surge.closing?.end_s ?? Number.NaN) - (stroke?.times_s["command-to-end"] ?? Number.NaN);
    expect(own).toBeGreaterThan(0);
    expect(own).toBeLessThan(5e-3);
    expect(surge.closing?.coupling).toBeGreaterThan(0);
    expect(surge.opening?.coupling).toBeGreaterThan(0);
    for (const run of [surge.closing, surge.opening]) expect(run?.change).toBeLessThan(2e-4);
  });

  it("opens into what stands behind: gas at its pressure until the line is full, and then the stop of the front, also ahead of the valve", () => {
    const { opening, priming } = surge;
    if (opening === undefined || priming === undefined) throw new Error("no opening");
    const full = opening.start_s + (priming.filled.time ?? Number.NaN);
    const before = opening.time_s.flatMap((t, n) => (t < 0.95 * full ? [n] : []));
    for (const n of before) expect(opening.behind_Pa[n]).toBeLessThan(20 * bar);
    // The wave that stops the front in the last pipe is that of priming; narrower pipes on its way raise it.
    expect(Math.max(...opening.behind_Pa)).toBeGreaterThan(0.9 * priming.filled.stopPressure);
    expect(Math.max(...opening.ahead_Pa)).toBeGreaterThan(0.9 * priming.filled.stopPressure);
    const passed = opening.flow_kg_s.at(before.at(-1) ?? 0) ?? Number.NaN;
    // Without the injector's loss more flows than through the full line.
    expect(passed).toBeGreaterThan(1.15 * (opening.flow_kg_s.at(-1) ?? Number.NaN));
  });

  it("has grids that agree, and a shortest time that every place bears", () => {
    expect(surge.bounds?.gridUncertainty).toBeLessThan(0.05);
    const times = surge.bounds?.shortest.map(({ time_s }) => time_s) ?? [];
    const motion = (surge.closing?.end_s ?? Number.NaN) - (surge.closing?.start_s ?? Number.NaN);
    expect(motion / (surge.figures.nominal.ratio ?? Number.NaN)).toBeGreaterThan(0.99 * Math.max(...times));
    expect(Math.max(...times)).toBeGreaterThan(surge.bounds?.aheadCritical_s ?? Number.NaN);
  });

  it("has a band around the nominal values, with no sample beyond an instant closing", () => {
    expect(surge.figures.count).toBeGreaterThanOrEqual(72);
    for (const place of surge.places) {
      const samples = surge.figures.samples[surgeFigure(place)] ?? new Float64Array(0);
      const nominal = surge.figures.nominal[surgeFigure(place)] ?? Number.NaN;
      expect(Math.min(...samples)).toBeLessThan(nominal);
      expect(Math.max(...samples)).toBeGreaterThan(nominal);
      expect(Math.max(...samples)).toBeLessThan(30 * bar + (surge.bounds?.joukowsky_Pa ?? Number.NaN));
    }
  });
});
