import { describe, expect, it } from "vitest";
import { rodas } from "../../src/numerics/index.js";

const stages = 6;
type Matrix = number[][];
const zeros = (): Matrix => Array.from({ length: stages }, () => new Array<number>(stages).fill(0));
const at = (m: Matrix, i: number, j: number) => m[i]?.[j] ?? Number.NaN;
const named = (name: string) => (rodas as Readonly<Record<string, number>>)[name] ?? Number.NaN;

/** Lower triangle a_ij or c_ij as the program has them; row 6 of a repeats row 5 and ends with 1. */
function triangle(letter: "a" | "c"): Matrix {
  const m = zeros();
  for (let i = 1; i < stages; i++)
    for (let j = 0; j < i; j++) {
      const row = m[i];
      if (row === undefined) continue;
      if (letter === "a" && i === 5) row[j] = j < 4 ? named(`a5${j + 1}`) : 1;
      else row[j] = named(`${letter}${i + 1}${j + 1}`);
    }
  return m;
}

/** Inverse of a lower triangular matrix. */
function inverse(m: Matrix): Matrix {
  const out = zeros();
  for (let j = 0; j < stages; j++)
    for (let i = j; i < stages; i++) {
      let sum = i === j ? 1 : 0;
      for (let k = j; k < i; k++) sum -= at(m, i, k) * at(out, k, j);
      const row = out[i];
      if (row !== undefined) row[j] = sum / at(m, i, i);
    }
  return out;
}

function times(a: Matrix, b: Matrix): Matrix {
  return a.map((row) => row.map((_, j) => row.reduce((sum, x, k) => sum + x * at(b, k, j), 0)));
}

// Back from the transformed coefficients to those of the order conditions: A = alpha Gamma^-1,
// C = I/gamma - Gamma^-1, m = b Gamma^-1 [hairer-wanner-1996, IV.7, eq. 7.25].
const C = triangle("c");
const Gamma = inverse(C.map((row, i) => row.map((c, j) => (i === j ? 1 / rodas.gamma : -c))));
const alpha = times(triangle("a"), Gamma);
const beta = alpha.map((row, i) => row.map((x, j) => x + at(Gamma, i, j)));
const m = [...[1, 2, 3, 4].map((j) => named(`a5${j}`)), 1, 1];
const weights = (row: readonly number[]) =>
  Array.from({ length: stages }, (_, j) => row.reduce((sum, x, k) => sum + x * at(Gamma, k, j), 0));
const b = weights(m);
/** The embedded solution is the last stage's argument: without k_6. */
const bEmbedded = weights([...m.slice(0, 5), 0]);
const nodes = alpha.map((row) => row.reduce((sum, x) => sum + x, 0));
const slopes = beta.map((row) => row.reduce((sum, x) => sum + x, 0));

const sum = (weight: readonly number[], of: (i: number) => number) =>
  weight.reduce((total, w, i) => total + w * of(i), 0);
const through = (matrix: Matrix, values: readonly number[]) =>
  matrix.map((row) => row.reduce((total, x, j) => total + x * (values[j] ?? 0), 0));
const squared = nodes.map((x) => x * x);

/** Conditions of order 1 to 4 in terms of alpha and beta, diagonal included [hairer-wanner-1996, IV.7, table 7.1]. */
function conditions(weight: readonly number[]) {
  const bb = through(beta, slopes);
  return [
    { order: 1, tree: "b", value: sum(weight, () => 1), expected: 1 },
    { order: 2, tree: "b beta", value: sum(weight, (i) => slopes[i] ?? 0), expected: 1 / 2 },
    { order: 3, tree: "b alpha^2", value: sum(weight, (i) => squared[i] ?? 0), expected: 1 / 3 },
    { order: 3, tree: "b beta beta", value: sum(weight, (i) => bb[i] ?? 0), expected: 1 / 6 },
    { order: 4, tree: "b alpha^3", value: sum(weight, (i) => (nodes[i] ?? 0) ** 3), expected: 1 / 4 },
    {
      order: 4,
      tree: "b alpha alpha beta",
      value: sum(weight, (i) => (nodes[i] ?? 0) * (through(alpha, slopes)[i] ?? 0)),
      expected: 1 / 8,
    },
    {
      order: 4,
      tree: "b beta alpha^2",
      value: sum(weight, (i) => through(beta, squared)[i] ?? 0),
      expected: 1 / 12,
    },
    {
      order: 4,
      tree: "b beta beta beta",
      value: sum(weight, (i) => through(beta, bb)[i] ?? 0),
      expected: 1 / 24,
    },
  ];
}

// The coefficients carry some 14 digits; sums of products of up to 34 keep 11 of them.
const digits = 1e-11;

describe("coefficients of RODAS", () => {
  it("have the nodes that Hairer & Wanner's program RODAS prints: 0, 0.386, 0.21, 0.63, 1, 1 (from memory)", () => {
    [0, 0.386, 0.21, 0.63, 1, 1].forEach((expected, i) => {
      expect(Math.abs((nodes[i] ?? Number.NaN) - expected)).toBeLessThan(digits);
    });
  });
  it.each(conditions(b))("fulfil the condition of order $order, $tree", ({ value, expected }) => {
    expect(Math.abs(value - expected)).toBeLessThan(digits);
  });
  it.each(conditions(bEmbedded).filter(({ order }) => order <= 3))(
    "fulfil it for the embedded solution, order $order, $tree",
    ({ value, expected }) => expect(Math.abs(value - expected)).toBeLessThan(digits),
  );
  it("give the embedded solution no more than order 3, so that the difference is an error", () => {
    const fourth = conditions(bEmbedded).filter(({ order }) => order === 4);
    expect(Math.max(...fourth.map(({ value, expected }) => Math.abs(value - expected)))).toBeGreaterThan(
      1e-4,
    );
  });
});

/** One step as the head of rodas.ts writes it, for a scalar or a system with its Jacobian. */
function step(f: (y: number[]) => number[], J: (y: number[]) => Matrix, y0: readonly number[], h: number) {
  const n = y0.length;
  const a = triangle("a");
  const jacobian = J([...y0]);
  const system = jacobian.map((row, i) => row.map((x, j) => (i === j ? 1 / (h * rodas.gamma) : 0) - x));
  const k: number[][] = [];
  for (let i = 0; i < stages; i++) {
    const argument = y0.map((y, s) => y + k.reduce((total, kj, j) => total + at(a, i, j) * (kj[s] ?? 0), 0));
    const right = f(argument).map(
      (x, s) => x + k.reduce((total, kj, j) => total + at(C, i, j) * (kj[s] ?? 0), 0) / h,
    );
    k.push(solveLinear(system, right));
  }
  const y1 = y0.map((y, s) => y + k.reduce((total, kj, j) => total + (m[j] ?? 0) * (kj[s] ?? 0), 0));
  const extra = ([2, 3] as const).map((row) =>
    Array.from({ length: n }, (_, s) =>
      k.slice(0, 5).reduce((t, kj, j) => t + named(`h${row}${j + 1}`) * (kj[s] ?? 0), 0),
    ),
  );
  return { y1, extra, error: k[5] ?? [] };
}

function solveLinear(matrix: Matrix, right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i] ?? 0]);
  const n = rows.length;
  for (let p = 0; p < n; p++)
    for (let i = p + 1; i < n; i++) {
      const factor = at(rows, i, p) / at(rows, p, p);
      for (let j = p; j <= n; j++) (rows[i] ?? [])[j] = at(rows, i, j) - factor * at(rows, p, j);
    }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--)
    x[i] = (at(rows, i, n) - x.reduce((t, v, j) => (j > i ? t + v * at(rows, i, j) : t), 0)) / at(rows, i, i);
  return x;
}

// Rigid body without torque in Euler's equations: nonlinear, and two integrals are known.
const euler = (y: number[]) => [
  -2 * (y[1] ?? 0) * (y[2] ?? 0),
  1.25 * (y[0] ?? 0) * (y[2] ?? 0),
  -0.5 * (y[0] ?? 0) * (y[1] ?? 0),
];
const eulerJacobian = (y: number[]): Matrix => [
  [0, -2 * (y[2] ?? 0), -2 * (y[1] ?? 0)],
  [1.25 * (y[2] ?? 0), 0, 1.25 * (y[0] ?? 0)],
  [-0.5 * (y[1] ?? 0), -0.5 * (y[0] ?? 0), 0],
];

function integrate(steps: number, read: readonly number[]) {
  let y: number[] = [1, 0, 0.9];
  const h = 2 / steps;
  const inside: number[] = [];
  for (let n = 0; n < steps; n++) {
    const { y1, extra } = step(euler, eulerJacobian, y, h);
    for (const t of read) {
      const s = t / h - n;
      if (s <= 0 || s > 1) continue;
      const [e2 = [], e3 = []] = extra;
      inside.push((1 - s) * (y[0] ?? 0) + s * ((y1[0] ?? 0) + (1 - s) * ((e2[0] ?? 0) + s * (e3[0] ?? 0))));
    }
    y = y1;
  }
  return { y, inside };
}

describe("a step of RODAS", () => {
  const read = Array.from({ length: 17 }, (_, j) => 0.05 + 0.113 * j);
  const exact = integrate(4096, read);
  const counts = [8, 16, 32, 64];
  const slopesOf = (errors: readonly number[]) =>
    errors.slice(1).map((error, j) => Math.log2((errors[j] ?? Number.NaN) / error));
  it("converges with order 4", () => {
    const errors = counts.map((n) => {
      const { y } = integrate(n, read);
      return Math.hypot(...y.map((x, s) => x - (exact.y[s] ?? 0)));
    });
    for (const slope of slopesOf(errors).slice(1)) {
      expect(slope).toBeGreaterThan(3.7);
      expect(slope).toBeLessThan(4.5);
    }
  });
  it("converges with order 3 or better inside the step", () => {
    const errors = counts.map((n) => {
      const { inside } = integrate(n, read);
      return Math.max(...inside.map((x, j) => Math.abs(x - (exact.inside[j] ?? 0))));
    });
    for (const slope of slopesOf(errors)) expect(slope).toBeGreaterThan(3);
  });
  it("damps a fast decay at once: L-stable, the factor of y' = -z y vanishes as z grows", () => {
    for (const z of [1e4, 1e6, 1e8]) {
      const { y1 } = step(
        ([y = 0]) => [-z * y],
        () => [[-z]],
        [1],
        1,
      );
      expect(Math.abs(y1[0] ?? Number.NaN)).toBeLessThan(10 / z);
    }
  });
});
