import fc from "fast-check";
import { describe, expect, it } from "vitest";
import contraction from "../../../data/defaults/contraction.json" with { type: "json" };
import recovery from "../../../data/defaults/liquid-recovery.json" with { type: "json" };
import {
  type CharacteristicPoint,
  characteristicNotices,
  circleArea,
  coefficientsOverAngles,
  firstOpeningAngle,
  flowCoefficientOfLoss,
  geometricCharacteristic,
  geometricCoefficientsOverAngles,
  lossOfFlowCoefficient,
  recoveryCurve,
  tableCharacteristic,
  throatRatiosOverAngles,
} from "../../../src/physics/flow/index.js";
import { type Angle, type FlowCoefficient, type Length, parseQuantity } from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-flow.json" with { type: "json" };

const off = (x: number, expected: number) => Math.abs(x / expected - 1);
const degrees = (value: number) => parseQuantity(`${value} deg`, "angle") as Angle;
const boreRadius = 0.02 as Length;
const area = circleArea(boreRadius);

describe("Weisbach's plug cock (1855)", () => {
  const { closing_deg, areaRatio, K, tolerance } = reference.weisbach;
  it.each(closing_deg.map((deg, i) => [deg, areaRatio[i], K[i]] as const))(
    "resistance at %d deg closed, area ratio %d: K %d",
    (_deg, ratio, loss) => {
      const out = new Float64Array(1);
      const nearlyLossless = flowCoefficientOfLoss(1e-9, area);
      geometricCoefficientsOverAngles(
        Float64Array.of(ratio ?? 0),
        area,
        nearlyLossless,
        contraction.value,
        out,
      );
      const modelled = lossOfFlowCoefficient((out[0] ?? 0) as FlowCoefficient, area);
      // The smallest loss is printed with one digit: half a unit of it is 10 %.
      expect(off(modelled, loss ?? Number.NaN)).toBeLessThan(tolerance.relative);
    },
  );
});

describe("characteristic from geometry", () => {
  const anyValve = fc
    .record({
      r: fc.double({ min: 0.004, max: 0.1, noNaN: true }),
      ratio: fc.double({ min: 1.42, max: 2.5, noNaN: true }),
      c: fc.double({ min: 0.5, max: 1, noNaN: true }),
      K: fc.double({ min: 0.03, max: 1, noNaN: true }),
    })
    .map(({ r, ratio, c, K }) => {
      const bore = r as Length;
      const wideOpen = flowCoefficientOfLoss(K, circleArea(bore));
      return { boreRadius: bore, ballRadius: (r * ratio) as Length, contraction: c, wideOpen };
    });
  it("is zero up to the first opening, then rises to the declared wide-open value", () => {
    fc.assert(
      fc.property(anyValve, (valve) => {
        const C = geometricCharacteristic(valve);
        const first = firstOpeningAngle(valve);
        expect(C(0 as Angle)).toBe(0);
        expect(C((first - 1e-6) as Angle)).toBe(0);
        expect(off(C((Math.PI / 2) as Angle), valve.wideOpen)).toBeLessThan(1e-12);
        let before = 0;
        for (let i = 1; i <= 40; i++) {
          const here = C((first + (i / 40) * (Math.PI / 2 - first)) as Angle);
          expect(here).toBeGreaterThan(before);
          before = here;
        }
      }),
    );
  });
  it("on a grid is the same as one opening at a time", () => {
    const valve = {
      ballRadius: 0.03 as Length,
      boreRadius,
      wideOpen: 6e-3 as FlowCoefficient,
      contraction: 0.63,
    };
    const angles = Float64Array.from({ length: 50 }, (_, i) => (i / 49) * (Math.PI / 2));
    const [ratios, onGrid, single] = [new Float64Array(50), new Float64Array(50), new Float64Array(50)];
    throatRatiosOverAngles(valve, angles, ratios);
    geometricCoefficientsOverAngles(ratios, area, valve.wideOpen, valve.contraction, onGrid);
    coefficientsOverAngles(geometricCharacteristic(valve), angles, single);
    expect(onGrid).toEqual(single);
  });
  describe("against the chart band of control valves (common practice, no source)", () => {
    const { opening_pct, low_pct, high_pct } = reference["inherent band"];
    const fullBore = parseQuantity("163.1 Kv", "flow coefficient");
    /** Openings whose share of the wide-open coefficient lies outside the band, and on which side. */
    const outside = (wideOpen: number) => {
      const valve = {
        ballRadius: 0.024 as Length,
        boreRadius: 0.016 as Length,
        contraction: contraction.value,
      };
      const C = geometricCharacteristic({ ...valve, wideOpen: wideOpen as FlowCoefficient });
      return opening_pct.flatMap((opening, i) => {
        const share = (100 * C(degrees(0.9 * opening))) / wideOpen;
        if (share < (low_pct[i] ?? 0) - 1e-9) return [`${opening} below`];
        return share > (high_pct[i] ?? 0) + 1e-9 ? [`${opening} above`] : [];
      });
    };
    it("lies inside it for a DN 32 ball that passes 0.4 of the full-bore coefficient wide open", () => {
      expect(outside(0.4 * fullBore)).toEqual([]);
    });
    it("lies below it at mid travel for the full bore, whose wide-open coefficient is not the ball's", () => {
      expect(outside(fullBore)).toEqual(
        [20, 30, 40, 50, 60, 70, 80, 90].map((opening) => `${opening} below`),
      );
    });
  });
});

describe("characteristic from a table", () => {
  const points: readonly CharacteristicPoint[] = [
    [8, 0],
    [20, 3],
    [45, 24],
    [70, 90],
    [90, 160],
  ].map(([deg = 0, Kv = 0]) => ({
    angle: degrees(deg),
    coefficient: parseQuantity(`${Kv} Kv`, "flow coefficient") as FlowCoefficient,
  }));
  const C = tableCharacteristic(points);
  it("passes through its points and is zero below the first", () => {
    for (const point of points) expect(C(point.angle)).toBeCloseTo(point.coefficient, 12);
    expect(C(0 as Angle)).toBe(0);
    expect(C(degrees(7.9))).toBe(0);
  });
  it("is monotone between them", () => {
    let before = 0;
    for (let deg = 0; deg <= 95; deg += 0.25) {
      const here = C(degrees(deg));
      expect(here).toBeGreaterThanOrEqual(before);
      before = here;
    }
  });
  it("holds its last value, with a notice that says by how much", () => {
    expect(C(degrees(95))).toBe(points[4]?.coefficient);
    expect(characteristicNotices(points, degrees(90))).toEqual([]);
    const notices = characteristicNotices(points.slice(0, 4), degrees(90));
    expect(notices[0]?.code).toBe("characteristic-extrapolated");
    expect(notices[0]?.text).toContain("20 deg");
  });
  it.each([
    ["one row", points.slice(0, 1), "table-too-short"],
    ["rows out of order", [...points].reverse(), "table-out-of-order"],
    ["a first row that already flows", points.slice(1), "table-does-not-begin-shut"],
  ])("%s is refused", (_, bad, code) => {
    expect(() => tableCharacteristic(bad)).toThrow(
      expect.objectContaining({ faults: [expect.objectContaining({ code })] }),
    );
  });
});

describe("recovery factor", () => {
  const points = recovery.rows.map((row) => ({ angle: degrees(row.opening), factor: row.factor }));
  const FL = recoveryCurve(points);
  it("is 0.74 at 70 deg: IEC 60534-2-1:2011 table D.2, full-bore ball", () => {
    expect(FL(degrees(70))).toBeCloseTo(0.74, 12);
  });
  it("falls with opening and holds its ends", () => {
    expect(FL(0 as Angle)).toBe(0.93);
    expect(FL(degrees(95))).toBe(0.57);
    for (let deg = 1; deg <= 90; deg++) expect(FL(degrees(deg))).toBeLessThanOrEqual(FL(degrees(deg - 1)));
  });
  it("one point is a constant; an empty table and a factor above 1 are refused", () => {
    expect(recoveryCurve([{ angle: 0 as Angle, factor: 0.8 }])(1 as Angle)).toBe(0.8);
    expect(() => recoveryCurve([])).toThrow(/empty/);
    expect(() => recoveryCurve([{ angle: 0 as Angle, factor: 1.1 }])).toThrow(/1.1/);
  });
});
