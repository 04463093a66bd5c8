/** The start of an engine against closed forms, symmetry and conserved mass. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  burntAtOnce,
  type Chamber,
  type Engine,
  fillingTime,
  followEngine,
  type OpeningTrace,
  type StartSide,
  throatFunction,
} from "../../../src/physics/start/index.js";
import type { Area, Density, Pressure, Speed, Time, Volume } from "../../../src/quantity/index.js";

const at = (C: number, start = 0, end = 1e-6): OpeningTrace => ({
  start,
  end,
  coefficient: Float64Array.of(start > 0 ? 0 : C, C),
  recovery: Float64Array.of(1, 1),
});
const ramp = (C: number, start: number, end: number): OpeningTrace => ({
  start,
  end,
  coefficient: Float64Array.of(0, 0.1 * C, 0.4 * C, C),
  recovery: Float64Array.of(0.9, 0.9, 0.8, 0.7),
});
const side: StartSide = {
  tank: 28e5 as Pressure,
  pressurant: { kind: "regulated", droop: 0 },
  density: 1000 as Density,
  chokingPressure: 1000 as Pressure,
  upstream: 1e4,
  passage: 2e4,
  injector: 8e4,
  volume: 0.5e-3 as Volume,
  valve: at(2e-3),
  offset: 0 as Time,
};
const chamber: Chamber = {
  volume: 5e-3 as Volume,
  throat: 5e-3 as Area,
  heatRatio: 1.2,
  velocity: { ratio: [0.5, 1, 4, 8], velocity: [1500, 1700, 1700, 1500] },
  efficiency: 1,
  ambient: 1e5 as Pressure,
};
const engine: Engine = {
  oxidiser: side,
  fuel: side,
  chamber,
  ignition: { condition: "both at the injector", delay: 0.02 as Time },
};
const start = (given: Partial<Engine> = {}, until = 0.6, step = 1e-3) =>
  followEngine(
    { ...engine, ...given },
    { step: step as Time, until: until as Time, from: "empty", records: true },
  );

describe("closed forms", () => {
  it("a volume fills in rho V 2/(3R) ((a+R)^1.5 - a^1.5) / sqrt(dp), derived from dp = (a + x R) W^2", () => {
    const a = side.upstream + 1 / (side.density * 2e-3 ** 2);
    const R = side.passage;
    const exact =
      (side.density * side.volume * (2 / (3 * R)) * ((a + R) ** 1.5 - a ** 1.5)) / Math.sqrt(27e5);
    expect((start().oxidiser.arrives ?? 0) / exact).toBeCloseTo(1, 3);
  });

  it("a choked valve passes W^2 = g FL^2 (p - FF pv)/(1 + g FL^2 Ru) whatever fills behind it [iec60534-2-1, clause 5.1]", () => {
    const g = 1000 * 2e-4 ** 2;
    const choked = {
      ...side,
      chokingPressure: 20e5 as Pressure,
      valve: { ...at(2e-4), recovery: Float64Array.of(0.6, 0.6) },
    };
    const W = Math.sqrt((g * 0.36 * 8e5) / (1 + g * 0.36 * side.upstream));
    expect(((start({ oxidiser: choked }, 2).oxidiser.arrives ?? 0) * W) / 0.5).toBeCloseTo(1, 6);
  });

  it("the burning chamber stands at p = W c*/A_t with W of the whole resistance", () => {
    const run = start({}, 1);
    const W = run.oxidiser.flow + run.fuel.flow;
    expect((W * 1700) / chamber.throat / run.pressure).toBeCloseTo(1, 6);
    const whole = side.upstream + side.passage + side.injector + 1 / (1000 * 4e-6);
    expect(Math.sqrt((28e5 - run.pressure) / whole) / run.oxidiser.flow).toBeCloseTo(1, 6);
  });

  it("with a flow that the chamber does not touch its pressure rises as 1 - exp(-t/tau), first order in the step", () => {
    const held = {
      ...side,
      chokingPressure: 20e5 as Pressure,
      valve: { ...at(1e-4), recovery: Float64Array.of(0.5, 0.5) },
    };
    const tau = fillingTime(chamber, 1700 as Speed);
    const error = (step: number) => {
      const run = start({ oxidiser: held, fuel: held }, 3, step);
      const lit = run.ignites ?? 0;
      const end = run.pressure;
      const trace = run.trace;
      const k = trace?.time.findIndex((t) => t >= lit + tau) ?? 0;
      const t = (trace?.time[k] ?? 0) - lit;
      const exact = end + (1e5 - end) * Math.exp(-t / tau);
      return Math.abs((trace?.pressure[k] ?? 0) / exact - 1);
    };
    expect(error(1e-4)).toBeLessThan(0.02);
    expect(error(1e-4)).toBeLessThan(0.65 * error(2e-4));
  });

  it("Gamma of k = 1.2 is 0.6485, from memory of tables of isentropic flow", () => {
    expect(throatFunction(1.2)).toBeCloseTo(0.6485, 4);
  });

  it("a mass burnt at once gives k m R T/V with R T = (c* Gamma)^2, whatever share of it burns as it flows", () => {
    const RT = 1.2 * (1700 * throatFunction(1.2)) ** 2;
    expect(burntAtOnce(chamber, 0.005, 0.005)).toBeCloseTo(1e5 + (0.01 * RT) / 5e-3, 3);
    const poor = { ...chamber, efficiency: 0.9, velocity: { ratio: [1], velocity: [0.9 * 1700] } };
    expect(burntAtOnce(poor, 0.005, 0.005)).toBeCloseTo(1e5 + (0.01 * RT) / 5e-3, 3);
    // Oxidiser for a fifth of it at the ratio 4 burns no more than that: 4 g with 1 g of fuel.
    expect(burntAtOnce(chamber, 0.004, 1)).toBeLessThan(1e5 + (0.012 * RT) / 5e-3);
    expect(burntAtOnce(chamber, 0, 1)).toBe(1e5);
  });

  it("a tank that blows down ends at p0 (V0/(V0 + m/rho))^n: its flow tells it", () => {
    const blowing: StartSide = {
      ...side,
      pressurant: { kind: "blowdown", ullage: 3e-3 as Volume, exponent: 1.3 },
    };
    const run = start({ oxidiser: blowing, fuel: blowing }, 1);
    const tank = 28e5 * (3e-3 / (3e-3 + run.oxidiser.drawn / 1000)) ** 1.3;
    const whole = side.upstream + side.passage + side.injector + 1 / (1000 * 4e-6);
    expect(Math.sqrt((tank - run.pressure) / whole) / run.oxidiser.flow).toBeCloseTo(1, 2);
  });
});

describe("symmetry", () => {
  it("two equal sides keep the mixture ratio 1 and have no lead", () => {
    const run = start();
    expect(run.leastRatio).toBeCloseTo(1, 12);
    expect(run.mostRatio).toBeCloseTo(1, 12);
    expect(run.oxidiser.arrives).toBe(run.fuel.arrives);
  });

  it("exchanging the propellants exchanges the results", () => {
    const slow = { ...side, valve: ramp(1.5e-3, 0.05, 0.5), volume: 0.8e-3 as Volume };
    const quick = { ...side, density: 500 as Density, valve: ramp(2e-3, 0.02, 0.2) };
    // The same c* for a ratio and its inverse, so that the chamber does not tell the two apart.
    const even = { ...chamber, velocity: { ratio: [0.1, 10], velocity: [1650, 1650] } };
    const one = start({ oxidiser: slow, fuel: quick, chamber: even });
    const other = start({ oxidiser: quick, fuel: slow, chamber: even });
    expect(other.fuel).toEqual(one.oxidiser);
    expect(other.oxidiser).toEqual(one.fuel);
    expect(other.unburnt).toBeCloseTo(one.unburnt, 12);
    expect(other.mostRatio * one.leastRatio).toBeCloseTo(1, 10);
    expect(other.pressure).toBeCloseTo(one.pressure, 6);
  });
});

describe("steady flows by hand", () => {
  it("resistances of 18 bar / (4 kg/s)^2 and 18 bar / (2 kg/s)^2 below 28 bar stand at 10 bar and a ratio of 2", () => {
    // A throat of 6 kg/s x 1700 m/s / 10 bar passes what comes at 10 bar.
    const throat = ((6 * 1700) / 10e5) as Area;
    const wide = 1 / (1000 * 2e-3 ** 2);
    const flowing = (W: number): StartSide => ({
      ...side,
      upstream: 0,
      passage: 0,
      injector: 18e5 / W ** 2 - wide,
    });
    const run = start({ oxidiser: flowing(4), fuel: flowing(2), chamber: { ...chamber, throat } }, 1);
    expect(run.pressure / 10e5).toBeCloseTo(1, 5);
    expect(run.oxidiser.flow).toBeCloseTo(4, 4);
    expect(run.fuel.flow).toBeCloseTo(2, 4);
    expect(run.endRatio).toBeCloseTo(2, 5);
    // Unlit the same resistances pass the root of 27/18 times as much.
    const unlit = start(
      {
        oxidiser: flowing(4),
        fuel: flowing(2),
        ignition: { condition: "time", delay: Number.POSITIVE_INFINITY as Time },
      },
      1,
    );
    expect(unlit.oxidiser.flow / 4).toBeCloseTo(Math.sqrt(27 / 18), 6);
    expect(unlit.ignites).toBeUndefined();
  });
});

describe("steps", () => {
  const slow = { ...side, valve: ramp(1.5e-3, 0.05, 0.35) };
  const quick = { ...side, density: 600 as Density, valve: ramp(2e-3, 0.02, 0.28) };
  const given = { oxidiser: slow, fuel: quick } as const;
  it.each([
    [4e-3, 2e-4],
    [8e-3, 5e-4],
  ])(
    "of %d s move arrivals by less than %d s from those of 20 us, masses and ratios by less than half a percent",
    (step, late) => {
      const fine = start(given, 0.7, 2e-5);
      const run = start(given, 0.7, step);
      for (const which of ["oxidiser", "fuel"] as const) {
        expect(Math.abs((run[which].arrives ?? 0) - (fine[which].arrives ?? 0))).toBeLessThan(late);
        expect(run[which].flows).toBeCloseTo(fine[which].flows ?? 0, 9);
      }
      expect(Math.abs((run.rises ?? 0) - (fine.rises ?? 0))).toBeLessThan(1.5e-3 + late);
      for (const of of ["unburnt", "burntAtOnce", "leastRatio", "mostRatio", "pressure"] as const)
        expect(Math.abs(run[of] / fine[of] - 1)).toBeLessThan(5e-3);
    },
  );

  it("a trapezoid of the flow is second order: half the step leaves a quarter of the error in the unburnt mass", () => {
    // Both are full and unlit from the start on but for the ramp: only the sum over time is left.
    const late = { ...given, ignition: { condition: "time", delay: 0.34 as Time } } as const;
    const unburnt = (step: number) => start(late, 0.34, step).unburnt;
    const fine = unburnt(1e-5);
    expect(Math.abs(unburnt(2e-3) - fine)).toBeLessThan(0.5 * Math.abs(unburnt(8e-3) - fine));
  });
});

describe("properties", () => {
  const anySide = fc
    .record({
      C: fc.double({ min: 3e-4, max: 3e-3, noNaN: true }),
      opens: fc.double({ min: 0.01, max: 0.2, noNaN: true }),
      takes: fc.double({ min: 0.05, max: 0.4, noNaN: true }),
      volume: fc.double({ min: 1e-4, max: 1e-3, noNaN: true }),
      droop: fc.double({ min: 0, max: 5e4, noNaN: true }),
    })
    .map(
      ({ C, opens, takes, volume, droop }): StartSide => ({
        ...side,
        pressurant: { kind: "regulated", droop },
        volume: volume as Volume,
        valve: ramp(C, opens, opens + takes),
      }),
    );

  it("mass is closed: what is drawn stands between valve and injector, or has passed it", () => {
    fc.assert(
      fc.property(anySide, anySide, (oxidiser, fuel) => {
        const run = start({ oxidiser, fuel }, 0.8);
        for (const one of [run.oxidiser, run.fuel])
          expect(Math.abs(one.drawn - one.standing - one.passed)).toBeLessThan(1e-8);
        expect(run.unburnt).toBeLessThanOrEqual(run.oxidiser.passed + run.fuel.passed);
      }),
      { numRuns: 60 },
    );
  });

  it("exchanging any two propellants exchanges the results, with c* mirrored over the inverse ratio", () => {
    const ratio = [0.25, 0.5, 1.5, 4];
    const velocity = [1400, 1600, 1750, 1500];
    const mirrored = {
      ratio: ratio.map((r) => 1 / r).toReversed(),
      velocity: velocity.toReversed(),
    };
    fc.assert(
      fc.property(anySide, anySide, (oxidiser, fuel) => {
        const one = start({ oxidiser, fuel, chamber: { ...chamber, velocity: { ratio, velocity } } }, 0.8);
        const other = start(
          { oxidiser: fuel, fuel: oxidiser, chamber: { ...chamber, velocity: mirrored } },
          0.8,
        );
        // Before it lights the chamber plays no part.
        expect(other.fuel.arrives).toBe(one.oxidiser.arrives);
        expect(other.oxidiser.unburnt).toBeCloseTo(one.fuel.unburnt, 10);
        expect(other.ignites).toBe(one.ignites);
        // Between its rows c* is straight over the ratio, not over its inverse: a few per cent.
        if (one.ignites !== undefined) expect(Math.abs(other.pressure / one.pressure - 1)).toBeLessThan(0.1);
        expect(other.burntAtOnce / one.burntAtOnce).toBeCloseTo(1, 9);
      }),
      { numRuns: 40 },
    );
  });

  it("a later command of one valve moves its arrival by itself and leaves the other's", () => {
    fc.assert(
      fc.property(
        anySide,
        anySide,
        fc.double({ min: 0, max: 0.2, noNaN: true }),
        (oxidiser, fuel, offset) => {
          const one = start({ oxidiser, fuel }, 1.5, 2e-3);
          const moved = start({ oxidiser, fuel: { ...fuel, offset: offset as Time } }, 1.5, 2e-3);
          if (one.oxidiser.arrives === undefined || one.fuel.arrives === undefined) return;
          expect(Math.abs((moved.oxidiser.arrives ?? 0) - one.oxidiser.arrives)).toBeLessThan(2e-4);
          expect(Math.abs((moved.fuel.arrives ?? 0) - one.fuel.arrives - offset)).toBeLessThan(2e-4);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("a later ignition never leaves less unburnt", () => {
    fc.assert(
      fc.property(anySide, anySide, fc.double({ min: 0, max: 0.1, noNaN: true }), (oxidiser, fuel, more) => {
        const sooner = start({ oxidiser, fuel }, 1.5);
        const later = start(
          { oxidiser, fuel, ignition: { condition: "both at the injector", delay: (0.02 + more) as Time } },
          1.5,
        );
        expect(later.unburnt).toBeGreaterThanOrEqual(sooner.unburnt - 1e-12);
      }),
      { numRuns: 40 },
    );
  });
});

describe("what goes wrong", () => {
  it("a side that does not open: nothing lights, and all that passes the other is unburnt", () => {
    const run = start({ oxidiser: { ...side, valve: at(0) } });
    expect(run.ignites).toBeUndefined();
    expect(run.oxidiser.arrives).toBeUndefined();
    expect(run.unburnt).toBe(run.fuel.passed);
    expect(run.unburnt).toBeGreaterThan(0.1);
    expect(run.pressure).toBe(1e5);
  });

  it("flow into the unlit chamber exceeds the lit flow", () => {
    const run = start();
    expect(run.oxidiser.coldFlow).toBeGreaterThan(run.oxidiser.flow);
  });

  it("a valve that stands where power is lost passes what it passes there", () => {
    const valve = ramp(2e-3, 0.1, 0.4);
    const stopped = start({ oxidiser: { ...side, valve, stopsAt: 0.2 } }, 1.5);
    const third = start({ oxidiser: { ...side, valve: at(0.1 * 2e-3) } }, 1.5);
    // A third of the motion is a point of the trace; recovery there is 0.9, which does not choke.
    expect(stopped.oxidiser.flow / third.oxidiser.flow).toBeCloseTo(1, 3);
  });

  it("in a stop a valve that stays open keeps its flow, unlit, and it never falls", () => {
    const closing: StartSide = {
      ...side,
      valve: {
        start: 0.01,
        end: 0.1,
        coefficient: Float64Array.of(2e-3, 0),
        recovery: Float64Array.of(1, 1),
      },
    };
    const run = followEngine(
      { ...engine, oxidiser: closing },
      { step: 1e-3 as Time, until: 0.3 as Time, from: "burning" },
    );
    expect(run.oxidiser.falls).toBeLessThan(0.1);
    expect(run.fuel.falls).toBeUndefined();
    const whole = side.upstream + side.passage + side.injector + 1 / (1000 * 4e-6);
    expect(run.fuel.flow / Math.sqrt(27e5 / whole)).toBeCloseTo(1, 3);
  });

  it("a stop begins from steady burning; the side that closes first falls first", () => {
    const closing = (end: number): StartSide => ({
      ...side,
      valve: { start: 0.01, end, coefficient: Float64Array.of(2e-3, 0), recovery: Float64Array.of(1, 1) },
    });
    const run = followEngine(
      { ...engine, oxidiser: closing(0.1), fuel: closing(0.2) },
      { step: 1e-3 as Time, until: 0.4 as Time, from: "burning" },
    );
    expect(run.oxidiser.falls).toBeLessThan(run.fuel.falls ?? 0);
    expect(run.pressure).toBeLessThan(1.5e5);
    expect(run.peak / start({}, 1).pressure).toBeCloseTo(1, 6);
  });
});
