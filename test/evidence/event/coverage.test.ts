import { describe, expect, it } from "vitest";
import { detectEvents } from "../../../src/evidence/event/index.js";
import { type RandomStream, randomStream } from "../../../src/numerics/index.js";
import { drawShape, type Recorder, record } from "./strokes.js";

interface Tally {
  logs: number;
  covered: number;
  squaredError: number;
  squaredUncertainty: number;
}

/** Detects the events of many recorded strokes and counts how often the stated interval holds the truth. */
function tally(logs: number, seed: number, recorder: (random: RandomStream) => Recorder): Map<string, Tally> {
  const random = randomStream(seed);
  const tallies = new Map<string, Tally>();
  for (let k = 0; k < logs; k++) {
    const { shape } = drawShape(random);
    const { truth, ...channels } = record(random, shape, recorder(random));
    for (const event of detectEvents(channels).events) {
      const true_s = truth[event.id];
      if (true_s === undefined) continue;
      const row = tallies.get(event.id) ?? { logs: 0, covered: 0, squaredError: 0, squaredUncertainty: 0 };
      tallies.set(event.id, row);
      row.logs++;
      if (!event.found) continue;
      const [low, high] = event.interval95_s;
      if (low <= true_s && true_s <= high) row.covered++;
      row.squaredError += (event.time_s - true_s) ** 2;
      row.squaredUncertainty += event.standardUncertainty_s ** 2;
    }
  }
  return tallies;
}

const between = (random: RandomStream, low: number, high: number) => low * (high / low) ** random.uniform();

/** An interval that covers because it is wide is no use: the stated uncertainty is near the actual error. */
function expectSharp(id: string, row: Tally): void {
  const ratio = Math.sqrt(row.squaredUncertainty / row.squaredError);
  expect(ratio, `${id}: stated uncertainty over actual error`).toBeLessThan(2.2);
  expect(ratio, `${id}: stated uncertainty over actual error`).toBeGreaterThan(0.6);
}

describe("the stated 95 % interval", () => {
  it("covers the truth in 92 to 98 % of a thousand logs of random noise, sampling rate and resolution", () => {
    const tallies = tally(1000, 20310418, (random) => ({
      noise: between(random, 0.0003, 0.01),
      rate_Hz: between(random, 100, 5000),
      step: random.uniform() < 0.5 ? 0 : between(random, 0.0005, 0.005),
    }));
    expect([...tallies.keys()]).toEqual([
      "first motion",
      "10 % travel",
      "90 % travel",
      "99 % travel",
      "end of travel",
    ]);
    for (const [id, row] of tallies) {
      expect(row.covered / row.logs, id).toBeGreaterThanOrEqual(0.92);
      expect(row.covered / row.logs, id).toBeLessThanOrEqual(0.98);
      expectSharp(id, row);
    }
  }, 600_000);

  // 250 logs: 90.5 % lies three standard deviations of the binomial law below a true share of 95 %.
  it.each<[string, Recorder]>([
    ["0.1 % noise at 1 kHz", { noise: 0.001, rate_Hz: 1000, step: 0 }],
    ["1 % noise at 1 kHz", { noise: 0.01, rate_Hz: 1000, step: 0 }],
    ["0.3 % noise at 200 Hz", { noise: 0.003, rate_Hz: 200, step: 0 }],
    ["0.1 % noise at 100 Hz", { noise: 0.001, rate_Hz: 100, step: 0 }],
    ["an encoder of 0.2 % without noise at 2 kHz", { noise: 0, rate_Hz: 2000, step: 0.002 }],
    ["a coarse encoder of 0.4 % at 1 kHz", { noise: 0.0002, rate_Hz: 1000, step: 0.004 }],
  ])(
    "holds and stays sharp for %s",
    (_, recorder) => {
      for (const [id, row] of tally(250, 7, () => recorder)) {
        expect(row.covered / row.logs, `${id} covered`).toBeGreaterThanOrEqual(0.905);
        expectSharp(id, row);
      }
    },
    600_000,
  );
});
