import { describe, expect, it } from "vitest";
import {
  holeConcentration,
  holedShare,
  keywayConcentration,
  shoulderConcentration,
} from "../../../src/physics/strength/index.js";
import type { Length } from "../../../src/quantity/index.js";

const shoulder = (ratio: number, radius: number) =>
  shoulderConcentration(1 as Length, ratio as Length, radius as Length);

describe("shoulder fillet in torsion", () => {
  it("D/d 1.2, r/d 0.1: 1.35 [budynas-nisbett-2011, example 7-1, read from the chart; from memory]", () => {
    // A reading of a chart.
    expect(Math.abs(shoulder(1.2, 0.1) / 1.35 - 1)).toBeLessThan(0.03);
  });

  it.each([
    [2, 0.1, 0.863 * 0.1 ** -0.239],
    [1.33, 0.05, 0.849 * 0.05 ** -0.232],
    [1.2, 0.02, 0.834 * 0.02 ** -0.216],
  ])("D/d %s, r/d %s by the curve of [pilkey-2008] or the other fit within 3 %%", (ratio, radius, curve) => {
    expect(shoulder(ratio, radius)).toBeGreaterThanOrEqual(curve - 1e-12);
    expect(shoulder(ratio, radius) / curve).toBeLessThan(1.03);
  });

  it("a step of 22 to 25.4 mm with r/d 0.077: 1.4 to 1.5, read as 1.5 in [budynas-nisbett-2011, problem 7-2, solution looked up]", () => {
    const value = shoulder(25.4 / 22, 0.077);
    expect(value).toBeGreaterThan(1.36);
    expect(value).toBeLessThan(1.5);
  });

  it("no shoulder concentrates nothing; a sharper fillet and a deeper shoulder never less", () => {
    expect(shoulder(1, 0.1)).toBe(1);
    const radii = [0.3, 0.2, 0.1, 0.05, 0.02];
    for (const ratio of [1.05, 1.1, 1.3, 1.6, 2])
      for (let k = 1; k < radii.length; k++)
        expect(shoulder(ratio, radii[k] ?? 0)).toBeGreaterThan(shoulder(ratio, radii[k - 1] ?? 0));
    for (const radius of [0.03, 0.1])
      expect(shoulder(2, radius)).toBeGreaterThanOrEqual(shoulder(1.09, radius));
  });
});

it("an end-milled keyseat: 3.0 at r/d 0.02 [budynas-nisbett-2011, table 7-1, looked up in a solution]", () => {
  expect(keywayConcentration).toBe(3);
});

describe("hole across a shaft", () => {
  it("tension of four times the shear at its edge, as an equivalent shear [timoshenko-goodier-1970, art. 35]", () => {
    expect(holeConcentration * Math.sqrt(3)).toBeCloseTo(4, 12);
  });

  it("takes the strip's polar moment: by a sum over the section", () => {
    const [d, a, cells] = [1, 0.12, 1200];
    let whole = 0;
    let left = 0;
    for (let i = 0; i < cells; i++)
      for (let j = 0; j < cells; j++) {
        const [x, y] = [(i + 0.5) / cells - 0.5, (j + 0.5) / cells - 0.5];
        const r2 = x * x + y * y;
        if (r2 > 0.25 * d * d) continue;
        whole += r2;
        if (Math.abs(x) > a / 2) left += r2;
      }
    // The round ends of the strip, of the order (a/d)^2 of it, are reckoned as square.
    expect(holedShare(d as Length, a as Length)).toBeCloseTo(left / whole, 2);
    expect(holedShare(d as Length, a as Length)).toBeLessThan(left / whole);
  });
});
