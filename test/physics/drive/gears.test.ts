import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  backEfficiency,
  type GearStage,
  gearTrain,
  isSelfLocking,
  lowestRatioFactor,
  optimumRatio,
} from "../../../src/physics/drive/index.js";
import type { Inertia, Torque } from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-drive.json" with { type: "json" };

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const anyStage: fc.Arbitrary<GearStage> = fc.record({
  ratio: number(0.5, 30),
  efficiency: number(0.2, 1),
  startingEfficiency: number(0.1, 0.2),
  backEfficiency: fc.oneof(fc.constant(0), number(0.01, 1)),
  noLoadTorque: number(0, 0.5).map((T) => T as Torque),
  inertia: number(0, 1e-4).map((J) => J as Inertia),
});
const stages = fc.array(anyStage, { maxLength: 4 });
const off = (x: number, expected: number) => Math.abs(x - expected) / Math.max(Math.abs(expected), 1e-12);

describe("back-driving efficiency", () => {
  const { rows, tolerance } = reference["back efficiency"];
  it.each(rows)("Niemann & Winter: $back at eta = $efficiency", ({ efficiency, back }) => {
    expect(Math.abs(backEfficiency(efficiency) - back)).toBeLessThanOrEqual(tolerance.absolute);
    expect(
      isSelfLocking([
        {
          ratio: 10,
          efficiency,
          startingEfficiency: efficiency,
          backEfficiency: backEfficiency(efficiency),
          noLoadTorque: 0 as Torque,
          inertia: 0 as Inertia,
        },
      ]),
    ).toBe(back === 0);
  });
  it("takes the same power out of a mesh both ways", () => {
    fc.assert(
      fc.property(number(0.5, 1), (eta) => {
        // Forward 1 W in gives eta out; backward eta at the output gives eta eta_back at the input.
        const lostForward = 1 - eta;
        const lostBackward = eta - eta * backEfficiency(eta);
        expect(lostBackward).toBeCloseTo(lostForward, 12);
      }),
    );
  });
});

describe("a gear train counted at the motor", () => {
  it("is the textbook's, for one stage: J_m + J_L/(N^2 eta), T_L/(N eta) driving, T_L eta_back/N overhauled", () => {
    const [N, eta, back, Jm, JL] = [60, 0.8, 0.75, 8e-6, 2e-3];
    const train = gearTrain(Jm as Inertia, 0.006 as Torque, JL as Inertia, [
      {
        ratio: N,
        efficiency: eta,
        startingEfficiency: 0.7 * eta,
        backEfficiency: back,
        noLoadTorque: 0.004 as Torque,
        inertia: 1e-6 as Inertia,
      },
    ]);
    expect(train.ratio).toBe(N);
    // Per acceleration of the motor, which is N times that of the stem.
    expect(train.forward.inertia / N).toBeCloseTo(Jm + 1e-6 + JL / (N * N * eta), 15);
    expect(train.forward.loadShare).toBeCloseTo(1 / (N * eta), 15);
    expect(train.starting.loadShare).toBeCloseTo(1 / (N * 0.7 * eta), 15);
    expect(train.backward.loadShare).toBeCloseTo(back / N, 15);
    expect(train.lossless.inertia * N).toBeCloseTo(JL + (Jm + 1e-6) * N * N, 12);
    expect(train.forward.friction).toBeCloseTo(0.01, 15);
  });
  it("is that of the stem for any stages: shares, inertias and friction by products from the stem outwards", () => {
    fc.assert(
      fc.property(stages, number(1e-7, 1e-4), number(0, 0.1), number(0, 0.1), (list, Jm, Tf, JL) => {
        const train = gearTrain(Jm as Inertia, Tf as Torque, JL as Inertia, list);
        const behind = (j: number) => list.slice(j).reduce((p, s) => p * s.ratio * s.efficiency, 1);
        const speed = (j: number) => list.slice(j).reduce((p, s) => p * s.ratio, 1);
        const gain = behind(0);
        const inertia =
          JL + Jm * speed(0) * gain + list.reduce((t, s, j) => t + s.inertia * speed(j) * behind(j), 0);
        const friction = Tf * gain + list.reduce((t, s, j) => t + s.noLoadTorque * behind(j), 0);
        expect(off(train.ratio, speed(0))).toBeLessThan(1e-12);
        expect(off(1 / train.forward.loadShare, gain)).toBeLessThan(1e-12);
        expect(off(train.forward.inertia * gain, inertia)).toBeLessThan(1e-12);
        expect(off(train.forward.friction * gain, friction)).toBeLessThan(1e-12);
      }),
    );
  });
  it("passes nothing back once a stage locks, and more forward than back in any case", () => {
    fc.assert(
      fc.property(stages, (list) => {
        const { forward, backward, lossless } = gearTrain(
          1e-5 as Inertia,
          0 as Torque,
          1e-3 as Inertia,
          list,
        );
        expect(backward.loadShare === 0).toBe(isSelfLocking(list));
        expect(backward.loadShare).toBeLessThanOrEqual(lossless.loadShare * (1 + 1e-12));
        expect(forward.loadShare).toBeGreaterThanOrEqual(lossless.loadShare * (1 - 1e-12));
        for (const regime of [forward, backward, lossless]) expect(regime.inertia).toBeGreaterThan(0);
      }),
    );
  });
  it("is the motor alone without stages", () => {
    const { ratio, forward } = gearTrain(1e-5 as Inertia, 0.01 as Torque, 3e-5 as Inertia, []);
    expect([ratio, forward.loadShare, forward.friction]).toEqual([1, 1, 0.01]);
    expect(forward.inertia).toBeCloseTo(4e-5, 15);
  });
});

describe("lowest ratio that breaks away", () => {
  it("leaves no torque over: the first stage's ratio times the factor balances the load exactly", () => {
    fc.assert(
      fc.property(
        fc.array(anyStage, { minLength: 1, maxLength: 3 }),
        number(0.01, 2),
        number(0, 0.05),
        number(0.1, 50),
        (list, Tm, Tf, load) => {
          const x = lowestRatioFactor(Tm as Torque, Tf as Torque, load as Torque, list);
          const [first] = list;
          if (first === undefined) return;
          if (Tm <= Tf + first.noLoadTorque) {
            expect(x).toBeUndefined();
            return;
          }
          const changed = [{ ...first, ratio: first.ratio * (x ?? Number.NaN) }, ...list.slice(1)];
          const { starting } = gearTrain(0 as Inertia, Tf as Torque, 0 as Inertia, changed);
          expect(off(starting.loadShare * load + starting.friction, Tm)).toBeLessThan(1e-9);
        },
      ),
    );
  });
});

describe("optimum ratio", () => {
  const { rows, tolerance } = reference["optimum ratio"];
  it.each(rows)("textbook: N = $ratio at J_L $loadInertia, J_m $motorInertia, T_L $loadTorque", (row) => {
    const found = optimumRatio(
      row.loadTorque as Torque,
      row.motorTorque as Torque,
      row.efficiency,
      row.loadInertia as Inertia,
      row.motorInertia as Inertia,
    );
    expect(off(found, row.ratio)).toBeLessThan(tolerance.relative);
  });
  it("accelerates the load more than the ratios beside it", () => {
    fc.assert(
      fc.property(
        number(0, 40),
        number(0.05, 2),
        number(0.3, 1),
        number(1e-4, 0.1),
        number(1e-7, 1e-4),
        (TL, Tm, eta, JL, Jm) => {
          const best = optimumRatio(TL as Torque, Tm as Torque, eta, JL as Inertia, Jm as Inertia);
          const acceleration = (N: number) => (eta * N * Tm - TL) / (JL + eta * N * N * Jm);
          for (const beside of [0.99, 1.01])
            expect(acceleration(best)).toBeGreaterThan(acceleration(best * beside));
        },
      ),
    );
  });
});
