/** The weight of the liquid in lines that climb and fall, against hydrostatics and the steady equation on paper. */
import { describe, expect, it } from "vitest";
import {
  areaOf,
  fill,
  type LineNetwork,
  lineGrid,
  runLine,
  steadyLine,
} from "../../../src/physics/line/index.js";
import type { Density, Length, Pressure, Speed, Volume } from "../../../src/quantity/index.js";

const g = 9.80665; // ISO 80000-3, standard acceleration
const rho = 1000;
const area = areaOf(0.1 as Length);

interface Leg {
  readonly length: number;
  readonly rise: number;
  readonly friction?: number;
}

/** Legs from a tank to the valve, and a short one behind it. Heights count from the valve. */
function line(legs: readonly Leg[], supply: number, back: number, pv = -1e12): LineNetwork {
  const n = legs.length;
  const pipe = (from: number, { length, friction }: Leg) => ({
    from,
    to: from + 1,
    length: length as Length,
    bore: 0.1 as Length,
    waveSpeed: 1000 as Speed,
    frictionFactor: friction ?? 0,
    unsteady: 0,
  });
  const whole = legs.reduce((sum, { rise }) => sum + rise, 0);
  const heights = [-whole];
  for (const { rise } of legs) heights.push((heights.at(-1) ?? 0) + rise);
  return {
    pipes: [
      ...legs.map((leg, i) => pipe(i, leg)),
      { ...pipe(n + 1, { length: 10, rise: 0 }), bore: 10 as Length },
    ],
    fittings: [
      { kind: "pressure", pressure: supply as Pressure, resistance: 0 },
      ...legs.map(() => ({ kind: "none" }) as const),
      { kind: "none" },
      { kind: "pressure", pressure: back as Pressure, resistance: 0 },
    ],
    losses: [],
    valve: { from: n, to: n + 1 },
    liquid: {
      density: rho as Density,
      vapourPressure: pv as Pressure,
      chokingPressure: -1e12 as Pressure,
    },
    heights: [...heights, 0, 0],
  };
}

function follow(network: LineNetwork, opening: (t: number) => number, until: number) {
  const grid = lineGrid(network.pipes, 60);
  const steps = Math.round(until / grid.step);
  const coefficient = Float64Array.from({ length: steps + 1 }, (_, n) => opening(n * grid.step));
  const recovery = new Float64Array(steps + 1).fill(1);
  return {
    worst: grid.worst,
    ...runLine(network, grid, {
      valve: { coefficient, recovery },
      cavities: { kind: "vapour" },
      records: true,
    }),
  };
}

describe("at rest", () => {
  const network = line(
    [
      { length: 30, rise: 12 },
      { length: 20, rise: -5 },
    ],
    3e5,
    1e5,
  );

  it("the pressure is p + rho g z everywhere: a column of 12 m up and 5 m down [wylie-streeter-1993, ch. 2, W = 0]", () => {
    const { pressure, valveFlow } = steadyLine(network, 0, 1);
    expect(valveFlow).toBe(0);
    expect(pressure[0]).toBeCloseTo(3e5, 6);
    expect(pressure[1]).toBeCloseTo(3e5 - rho * g * 12, 4);
    expect(pressure[2]).toBeCloseTo(3e5 - rho * g * 7, 4);
  });

  it("and stays so: the envelope is the column, section by section", () => {
    const { high, low, history } = follow(network, () => 0, 0.5);
    for (const envelope of [high, low]) {
      const climb = envelope[0] as Float64Array;
      climb.forEach((p, s) => {
        expect(Math.abs(p - (3e5 - rho * g * 12 * (s / (climb.length - 1))))).toBeLessThan(0.01);
      });
    }
    expect(Math.max(...(history?.pressure[2] ?? []))).toBeCloseTo(3e5 - rho * g * 7, 1);
  });

  it("a gas cushion at the top has the pressure of the liquid there, and rests", () => {
    const lifted = line([{ length: 30, rise: 0 }], 3e5, 1e5);
    const tower: LineNetwork = {
      ...lifted,
      pipes: [
        ...lifted.pipes,
        {
          from: 1,
          to: 4,
          length: 15 as Length,
          bore: 0.1 as Length,
          waveSpeed: 1000 as Speed,
          frictionFactor: 0,
          unsteady: 0,
        },
      ],
      fittings: [
        ...lifted.fittings.slice(0, 1),
        { kind: "none" },
        ...lifted.fittings.slice(2),
        { kind: "accumulator", gasVolume: 0.02 as Volume, exponent: 1.2, resistance: 0 },
      ],
      heights: [0, 0, 0, 0, 10],
    };
    const pressure = follow(tower, () => 0, 0.3).history?.pressure[4] ?? new Float64Array(0);
    expect(pressure[0]).toBeCloseTo(3e5 - rho * g * 10, 3);
    expect(Math.max(...pressure) - Math.min(...pressure)).toBeLessThan(1);
  });

  it("a valve between two levels is refused", () => {
    const crooked = { ...network, heights: [0, 1, 2, 3, 4] };
    expect(() => steadyLine(crooked, 0, 1)).toThrow(/different levels/);
  });
});

describe("steady flow uphill", () => {
  const legs = [{ length: 40, rise: 15, friction: 0.02 }];
  const network = line(legs, 5e5, 1e5);

  it("p_s - p_b - rho g h = (f L/(2 D rho A^2) + 1/(rho C^2)) W^2, as on paper [Bernoulli with Darcy's loss]", () => {
    // C 1.5e-3 m2: R 64.85, valve 444.4, 4e5 - 147100 Pa left: W = sqrt(252900/509.3) = 22.28 kg/s.
    const { valveFlow, pressure } = steadyLine(network, 1.5e-3, 1);
    const R = (0.02 * 40) / (2 * 0.1 * rho * area * area);
    const W = Math.sqrt((4e5 - rho * g * 15) / (R + 1 / (rho * 1.5e-3 ** 2)));
    expect(valveFlow).toBeCloseTo(22.28, 2);
    expect(valveFlow).toBeCloseTo(W, 4);
    expect(pressure[1]).toBeCloseTo(5e5 - rho * g * 15 - R * W * W, 0);
  });

  it("falls along the pipe by weight and friction, and does not move while the valve stands", () => {
    const run = follow(network, () => 1.5e-3, 0.5);
    const high = run.high[0] as Float64Array;
    const low = run.low[0] as Float64Array;
    const R = (0.02 * 40) / (2 * 0.1 * rho * area * area);
    const W = run.steady.valveFlow;
    high.forEach((p, s) => {
      const share = s / (high.length - 1);
      expect(Math.abs(p - (5e5 - share * (rho * g * 15 + R * W * W)))).toBeLessThan(1);
      expect(Math.abs(p - (low[s] ?? 0))).toBeLessThan(1);
    });
  });
});

describe("waves on a slope", () => {
  it("an instant closing raises every section by rho a dv over its own pressure [wylie-streeter-1993, ch. 1]", () => {
    const network = line([{ length: 60, rise: -24 }], 5e5, 5.5e5);
    const { high, steady, worst } = follow(network, (t) => (t > 0 ? 0 : 1e-3), 0.2);
    const rise = (1000 / area) * steady.valveFlow;
    const climb = high[0] as Float64Array;
    climb.forEach((p, s) => {
      const share = s / (climb.length - 1);
      const before = 5e5 + rho * g * 24 * share;
      if (s > 0) expect(Math.abs(p - before - rise)).toBeLessThan(1.02 * worst * rise + 1);
    });
  });

  it("a siphon boils at its summit first: at p_v there and nowhere else, where the same line laid level does not boil", () => {
    const legs = [
      { length: 30, rise: 7 },
      { length: 30, rise: -7 },
    ];
    const pv = 2340; // water at 20 degC, IAPWS
    const open = (t: number) => 4e-4 * Math.min(t / 0.05, 1);
    const humped = follow(line(legs, 101325, 60000, pv), open, 0.2);
    const level = follow(
      line(
        [legs[0], legs[1]].map((leg) => ({ length: leg?.length ?? 0, rise: 0 })),
        101325,
        60000,
        pv,
      ),
      open,
      0.2,
    );
    const summit = humped.low[0]?.at(-1) ?? Number.NaN;
    expect(summit).toBe(Math.min(...humped.low.slice(0, 2).map((low) => Math.min(...low))));
    expect(summit).toBeGreaterThanOrEqual(pv - 1e-6);
    const levelLow = level.low[0]?.at(-1) ?? Number.NaN;
    expect(levelLow - summit).toBeGreaterThan(0.9 * Math.min(rho * g * 7, levelLow - pv));
    const deeper = follow(line(legs, 101325, 20000, pv), (t) => 3e-3 * Math.min(t / 0.02, 1), 0.2);
    expect(deeper.cavity).toBeGreaterThan(0);
    expect(deeper.low[0]?.at(-1)).toBeCloseTo(pv, 6);
  });
});

describe("an empty line that climbs", () => {
  it("is filled only as high as the pressure carries the liquid, p_s - p_g = rho g z", () => {
    const upTo = (rise: number) =>
      fill(
        {
          supplyPressure: 2e5 as Pressure,
          inertance: 1 / area,
          resistance: 1e4,
          density: rho as Density,
          chokingPressure: -1e12 as Pressure,
          opening: () => ({ coefficient: 1e-2, recovery: 1 }),
          pipes: [{ length: rise, area, resistance: 0, rise }],
          gas: {
            pressure: 1e5 as Pressure,
            gasConstant: 297,
            temperature: 290,
            exponent: 1e-9,
            heatRatio: 1.4,
          },
          backPressure: 1e5 as Pressure,
          outletResistance: Number.POSITIVE_INFINITY,
          impedance: 1000 / area,
        },
        90,
      );
    // 1 bar carries 10.2 m of water.
    expect(upTo(20).time).toBeUndefined();
    const reachable = upTo(8);
    expect(reachable.time).toBeDefined();
    // As the front comes to the top only the rest drives it: R W^2 = dp - rho g h, within the step of its last share.
    const R = 1e4 + 1 / (rho * 1e-4) + 1 / (2 * rho * area * area);
    const W = Math.sqrt((1e5 - rho * g * 8) / R);
    expect((reachable.frontSpeed * rho * area) / W).toBeCloseTo(1, 1);
  });
});
