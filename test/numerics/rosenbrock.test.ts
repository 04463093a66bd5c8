import { describe, expect, it } from "vitest";
import { nextStep, RosenbrockStep, type StiffSystem } from "../../src/numerics/index.js";

/** A system with a full matrix, solved by elimination with pivots, errors relative with a floor. */
function denseSystem(
  size: number,
  rates: (y: Float64Array, into: Float64Array) => void,
  jacobian: (y: Float64Array) => number[][],
  tolerance: { readonly relative: number; readonly floor: readonly number[] },
): StiffSystem {
  let matrix: number[][] = [];
  return {
    size,
    rates,
    factorise: (y, g) => {
      matrix = jacobian(y).map((row, i) => row.map((value, j) => (i === j ? g : 0) - value));
    },
    solve: (r) => {
      const a = matrix.map((row) => [...row]);
      for (let k = 0; k < size; k++) {
        let pivot = k;
        for (let i = k + 1; i < size; i++)
          if (Math.abs(a[i]?.[k] ?? 0) > Math.abs(a[pivot]?.[k] ?? 0)) pivot = i;
        [a[k], a[pivot]] = [a[pivot] ?? [], a[k] ?? []];
        [r[k], r[pivot]] = [r[pivot] ?? 0, r[k] ?? 0];
        for (let i = k + 1; i < size; i++) {
          const row = a[i] ?? [];
          const m = (row[k] ?? 0) / (a[k]?.[k] ?? 1);
          for (let j = k; j < size; j++) row[j] = (row[j] ?? 0) - m * (a[k]?.[j] ?? 0);
          r[i] = (r[i] ?? 0) - m * (r[k] ?? 0);
        }
      }
      for (let k = size - 1; k >= 0; k--) {
        let sum = r[k] ?? 0;
        for (let j = k + 1; j < size; j++) sum -= (a[k]?.[j] ?? 0) * (r[j] ?? 0);
        r[k] = sum / (a[k]?.[k] ?? 1);
      }
    },
    errorOf: (error, end) => {
      const terms = Array.from(error, (e, j) => {
        const scale = tolerance.relative * ((tolerance.floor[j] ?? 0) + Math.abs(end[j] ?? 0));
        return (e / scale) ** 2;
      });
      return Math.sqrt(terms.reduce((sum, term) => sum + term, 0) / size);
    },
  };
}

function follow(system: StiffSystem, start: readonly number[], until: number): Float64Array {
  const step = new RosenbrockStep(system);
  step.start.set(start);
  let t = 0;
  let h = 1e-6;
  while (until - t > 1e-14 * until) {
    const size = Math.min(h, until - t);
    const error = step.attempt(size);
    h = nextStep(size, error);
    if (error > 1) continue;
    t += size;
    step.start.set(step.end);
  }
  return step.start;
}

describe("stiff systems with a published solution", () => {
  it("van der Pol with eps 1e-6 at t = 2 [mazzia-magherini-2008, problem VDPOL]", () => {
    const eps = 1e-6;
    const vanDerPol = denseSystem(
      2,
      (y, into) => {
        const [a = 0, b = 0] = y;
        into[0] = b;
        into[1] = ((1 - a * a) * b - a) / eps;
      },
      ([a = 0, b = 0]) => [
        [0, 1],
        [(-2 * a * b - 1) / eps, (1 - a * a) / eps],
      ],
      { relative: 1e-9, floor: [1e-3, 1e-3] },
    );
    const [y1 = 0, y2 = 0] = follow(vanDerPol, [2, 0], 2);
    expect(y1).toBeCloseTo(1.706167732170483, 7);
    expect(y2).toBeCloseTo(-0.8928097010247975, 7);
  });

  it("Robertson's kinetics at t = 40 and 400 [hindmarsh-1983, example of LSODE]", () => {
    const robertson = denseSystem(
      3,
      (y, into) => {
        const [a = 0, b = 0, c = 0] = y;
        into[0] = -0.04 * a + 1e4 * b * c;
        into[2] = 3e7 * b * b;
        into[1] = -(into[0] ?? 0) - (into[2] ?? 0);
      },
      ([, b = 0, c = 0]) => [
        [-0.04, 1e4 * c, 1e4 * b],
        [0.04, -1e4 * c - 6e7 * b, -1e4 * b],
        [0, 6e7 * b, 0],
      ],
      { relative: 1e-7, floor: [1e-3, 1e-7, 1e-3] },
    );
    // Six printed digits; the example was run at a tolerance of 1e-4, so four of them stand.
    const at40 = follow(robertson, [1, 0, 0], 40);
    expect(at40[0]).toBeCloseTo(0.71582, 4);
    expect((at40[1] ?? 0) * 1e6).toBeCloseTo(9.185, 2);
    const at400 = follow(robertson, [1, 0, 0], 400);
    expect(at400[0]).toBeCloseTo(0.4505, 4);
  });
});

describe("order", () => {
  // y' = -y^2 and the turning z' = i z beside it: neither linear nor decaying alone.
  const smooth = denseSystem(
    3,
    (y, into) => {
      const [a = 0, b = 0, c = 0] = y;
      into[0] = -a * a;
      into[1] = c;
      into[2] = -b;
    },
    ([a = 0]) => [
      [-2 * a, 0, 0],
      [0, 0, 1],
      [0, -1, 0],
    ],
    { relative: 1, floor: [1, 1, 1] },
  );
  const errorWith = (count: number, share: number): number => {
    const step = new RosenbrockStep(smooth);
    step.start.set([1, 0, 1]);
    const h = 1 / count;
    const inside = new Float64Array(3);
    for (let n = 0; n < count; n++) {
      step.attempt(h);
      step.along(share, inside);
      if (n + 1 < count) step.start.set(step.end);
    }
    const t = 1 - h + share * h;
    return Math.hypot(
      (inside[0] ?? 0) - 1 / (1 + t),
      (inside[1] ?? 0) - Math.sin(t),
      (inside[2] ?? 0) - Math.cos(t),
    );
  };

  it("errs 16 times less with half the step, and on the path inside at least 8 times [hairer-wanner-1996, IV.7]", () => {
    expect(Math.log2(errorWith(16, 1) / errorWith(32, 1))).toBeGreaterThan(3.8);
    expect(Math.log2(errorWith(16, 0.4) / errorWith(32, 0.4))).toBeGreaterThan(2.9);
  });
});
