/** What the drive can do with the margins of a schedule, against the torque balance that its numbers must meet. */
import { describe, expect, it } from "vitest";
import { availableTorque } from "../../src/predict/margin.js";
import { limitsOf, slowEnd } from "../../src/predict/scheduleLimits.js";
import { ValveSample } from "../../src/predict/valveSample.js";
import { petrel, planOf } from "./valveFile.js";

const sample = new ValveSample(planOf(petrel()));
sample.updateFlow();
sample.updateTorque();
const train = sample.train();
const share = 0.9;
const limits = limitsOf(sample, train, share);

describe("the limits of a drive", () => {
  it("leave no torque at their speed: q T(v) = F + s H + B v, T of the drive alone", () => {
    for (const [name, sense] of [["opening", 1] as const, ["closing", -1] as const])
      for (const [j, speed] of limits[name].speed.entries()) {
        if (speed === 0) continue;
        const resists =
          (sample.breakaway[j] ?? 0) + sense * (sample.fluidTorque[j] ?? 0) + train.damping * speed;
        expect(share * availableTorque(train, speed)).toBeCloseTo(resists, 6);
      }
  });

  it("gain from rest what is left of the standstill torque: I a / c = q T(0) - F - s H", () => {
    for (const [name, sense] of [["opening", 1] as const, ["closing", -1] as const])
      for (const [j, gain] of limits[name].gain.entries()) {
        const resists = (sample.breakaway[j] ?? 0) + sense * (sample.fluidTorque[j] ?? 0);
        const left = share * availableTorque(train, 0) - resists;
        const inertia = Math.max(train.forward.inertia, train.backward.inertia);
        expect((gain * inertia) / train.forward.loadShare).toBeCloseTo(left, 6);
      }
  });

  it("have less on a line from rest to their speed than the drive at any speed between", () => {
    const { speed, gain } = limits.opening;
    const inertia = Math.max(train.forward.inertia, train.backward.inertia);
    for (const [j, v0] of speed.entries())
      for (const part of [0.25, 0.5, 0.75]) {
        if (v0 === 0) continue;
        const resists = (sample.breakaway[j] ?? 0) + (sample.fluidTorque[j] ?? 0) + train.damping * part * v0;
        const has =
          (train.forward.loadShare * (share * availableTorque(train, part * v0) - resists)) / inertia;
        expect((gain[j] ?? 0) * (1 - part)).toBeLessThanOrEqual(has + 1e-9);
      }
  });

  it("are smaller for a smaller share of the torque, and at the slow end of several", () => {
    const less = limitsOf(sample, train, 0.7);
    const slow = slowEnd([limits, less, limits], limits, 0.95);
    for (const of of ["speed", "gain", "loss"] as const)
      for (const [j, value] of limits.opening[of].entries()) {
        expect(less.opening[of][j]).toBeLessThanOrEqual(value);
        expect(slow.opening[of][j]).toBeLessThanOrEqual(value);
        expect(slow.opening[of][j]).toBeGreaterThanOrEqual(Math.min(less.opening[of][j] ?? 0, value) - 1e-9);
      }
  });
});
