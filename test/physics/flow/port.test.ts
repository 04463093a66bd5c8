import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  areaSeenAlongPipe,
  firstOpeningAngle,
  flatLensArea,
  type PortGeometry,
  sphericalLensArea,
  throatArea,
} from "../../../src/physics/flow/index.js";
import { type Angle, type Length, parseQuantity } from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-flow.json" with { type: "json" };

const angle = (text: string) => parseQuantity(text, "angle") as Angle;
const degrees = (value: number) => angle(`${value} deg`);
const off = (x: number, expected: number) => Math.abs(x / expected - 1);

const row = reference.overlap.rows[0];
if (row === undefined) throw new Error("the overlap row is missing");
const port: PortGeometry = {
  ballRadius: parseQuantity(row.ballRadius, "length") as Length,
  boreRadius: parseQuantity(row.boreRadius, "length") as Length,
};

describe("overlap of bore and seat opening, R 30 mm, r 20 mm, 45 deg: counted random points", () => {
  const { relative } = reference.overlap.tolerance;
  it("lens on the sphere", () => {
    expect(off(sphericalLensArea(port, angle(row.turn)) * 1e6, row.sphere_mm2)).toBeLessThan(relative);
  });
  it("throat across the bisector", () => {
    expect(off(throatArea(port, angle(row.turn)) * 1e6, row.throat_mm2)).toBeLessThan(relative);
  });
  it("first opening from closed", () => {
    expect(off(firstOpeningAngle(port), angle(row.firstOpening))).toBeLessThan(1e-5);
  });
});

describe("overlap table, R/r = 1.5: quadrature", () => {
  const table = reference["overlap table"];
  const full = Math.PI * port.boreRadius ** 2;
  it.each(table.turn_deg.map((turn, i) => [turn, i] as const))("turned by %d deg", (turn, i) => {
    const { absolute } = table.tolerance;
    const near = (value: number, expected: number | undefined) =>
      expect(Math.abs(value / full - (expected ?? Number.NaN))).toBeLessThan(absolute);
    near(throatArea(port, degrees(turn)), table.throat[i]);
    near(areaSeenAlongPipe(port, degrees(turn)), table.seenAlongPipe[i]);
    near(flatLensArea(port, degrees(turn)), table.flatLens[i]);
  });
});

const anyPort = fc
  .record({
    r: fc.double({ min: 0.002, max: 0.1, noNaN: true }),
    ratio: fc.double({ min: 1.42, max: 3, noNaN: true }),
    share: fc.double({ min: 0, max: 1, noNaN: true }),
  })
  .map(({ r, ratio, share }) => {
    const drawn: PortGeometry = { boreRadius: r as Length, ballRadius: (r * ratio) as Length };
    return { port: drawn, turn: (share * Math.PI * 0.5) as Angle };
  });

/** The bisector integral with the root solved out, by the midpoint rule: the slow road. */
function throatByIntegration({ ballRadius: R, boreRadius: r }: PortGeometry, a: number): number {
  const cosB = Math.sqrt(1 - (r / R) ** 2);
  const s = Math.sin(a / 2);
  const c = Math.cos(a / 2);
  const steps = 200_000;
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const y = ((i + 0.5) / steps) * r;
    // -x s + c sqrt(R^2 - x^2 - y^2) = R cos b, the root on the bisector's side.
    const q = R * R - y * y;
    const disc = c * c * (q - (R * cosB) ** 2);
    const x = -R * cosB * s + Math.sqrt(Math.max(0, disc));
    if (x > 0) sum += x;
  }
  return (4 * sum * r) / steps;
}

describe("geometry", () => {
  it("the closed form of the throat is the bisector integral", () => {
    fc.assert(
      fc.property(anyPort, ({ port: drawn, turn }) => {
        const full = Math.PI * drawn.boreRadius ** 2;
        const difference = throatArea(drawn, turn) - throatByIntegration(drawn, turn);
        expect(Math.abs(difference) / full).toBeLessThan(1e-5);
      }),
      { numRuns: 40 },
    );
  });
  it("the lens on the sphere is the share of points of the sphere in both caps", () => {
    const { ballRadius: R, boreRadius: r } = port;
    const cosB = Math.sqrt(1 - (r / R) ** 2);
    for (const turn of [0.2, 0.8, 1.3]) {
      // Rings of equal height have equal area; points even round each ring.
      const rings = 2000;
      const spokes = 2000;
      let inside = 0;
      for (let i = 0; i < rings; i++) {
        const z = cosB + ((i + 0.5) / rings) * (1 - cosB);
        const rho = Math.sqrt(1 - z * z);
        for (let j = 0; j < spokes; j++) {
          const x = rho * Math.cos((2 * Math.PI * (j + 0.5)) / spokes);
          if (x * Math.sin(turn) + z * Math.cos(turn) >= cosB) inside++;
        }
      }
      const cap = 2 * Math.PI * R * R * (1 - cosB);
      const counted = (inside / (rings * spokes)) * cap;
      expect(off(sphericalLensArea(port, turn as Angle), counted)).toBeLessThan(1e-3);
    }
  });
  it("areas are even, fall from the full bore, and order as throat, seen along the pipe, flat lens", () => {
    fc.assert(
      fc.property(anyPort, fc.double({ min: 0, max: 0.1, noNaN: true }), ({ port: drawn, turn }, more) => {
        const full = Math.PI * drawn.boreRadius ** 2;
        const throat = throatArea(drawn, turn);
        expect(throatArea(drawn, -turn as Angle)).toBe(throat);
        expect(throatArea(drawn, (turn + more) as Angle)).toBeLessThanOrEqual(throat * (1 + 1e-12));
        expect(throat).toBeLessThanOrEqual(full * (1 + 1e-12));
        expect(areaSeenAlongPipe(drawn, turn)).toBeLessThanOrEqual(throat * (1 + 1e-12));
        expect(flatLensArea(drawn, turn)).toBeLessThanOrEqual(throat * (1 + 1e-12) + full * 1e-12);
        expect(throat).toBeLessThanOrEqual(sphericalLensArea(drawn, turn) * (1 + 1e-6) + full * 1e-6);
      }),
    );
  });
  it("nothing is open up to the first opening", () => {
    fc.assert(
      fc.property(anyPort, ({ port: drawn }) => {
        const shut = Math.PI / 2 - firstOpeningAngle(drawn);
        for (const area of [throatArea, areaSeenAlongPipe, flatLensArea, sphericalLensArea]) {
          expect(area(drawn, (shut + 1e-6) as Angle)).toBe(0);
        }
        expect(throatArea(drawn, (shut - 1e-3) as Angle)).toBeGreaterThan(0);
      }),
    );
  });
  it("a bore too wide for its ball is refused", () => {
    const wide: PortGeometry = { ballRadius: 0.03 as Length, boreRadius: 0.022 as Length };
    expect(() => throatArea(wide, 0 as Angle)).toThrow(/44 mm in a ball of 60 mm/);
  });
});
