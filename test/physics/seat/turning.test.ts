import fc from "fast-check";
import { describe, expect, it } from "vitest";
import curveData from "../../../data/defaults/hydrodynamic.json" with { type: "json" };
import {
  directionSplit,
  ringSeatTorque,
  type TurningInputs,
  type TurningMotion,
  type TurningState,
  torqueCoefficientCurve,
  torqueCoefficientsOverAngles,
  turningTerms,
  turningTorque,
  turningTorqueOverAngles,
} from "../../../src/physics/seat/index.js";
import {
  type Angle,
  type AngularDamping,
  type AngularSpeed,
  type Force,
  type Length,
  type PressureDifference,
  parseQuantity,
  type Torque,
} from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-torque.json" with { type: "json" };

const coefficient = torqueCoefficientCurve(
  curveData.rows.map((row) => ({
    angle: parseQuantity(`${row.opening} deg`, "angle") as Angle,
    coefficient: row.coefficient,
  })),
);

const evenly = (ratio: number) => ({ seat: ratio, packing: ratio, collar: ratio, bearing: ratio });
const base: TurningInputs = {
  ballRadius: 0.024 as Length,
  seatContactRadius: 0.0175 as Length,
  seatFriction: 0.1,
  seatPreload: 500 as Force,
  support: { kind: "floating", preloadKept: 1 },
  packing: {
    kind: "rings",
    friction: 0.1,
    stemDiameter: 0.012 as Length,
    height: 0.015 as Length,
    radialStress: 5e6 as PressureDifference,
  },
  thrustCollar: {
    friction: 0.12,
    stemDiameter: 0.012 as Length,
    outerRadius: 0.009 as Length,
    innerRadius: 0.006 as Length,
    condition: "new",
  },
  bearings: [],
  flowOnBall: { boreDiameter: 0.032 as Length, scale: 1, coefficient },
  iceTorque: 0.5 as Torque,
  viscousDamping: 0.02 as AngularDamping,
  breakawayRatio: { seat: 1.5, packing: 1.3, collar: 1.4, bearing: 1.2 },
  dwellFactor: 1.2,
  stribeck: { speed: 0.05 as AngularSpeed, exponent: 1 },
};
const at = (deg: number, drop: number, body: number): TurningState => ({
  angle: parseQuantity(`${deg} deg`, "angle") as Angle,
  valveDrop: drop as PressureDifference,
  bodyGaugePressure: body as PressureDifference,
});
const motion = (sense: TurningMotion["sense"], phase: TurningMotion["phase"], speed = 0): TurningMotion => ({
  sense,
  phase,
  speed: speed as AngularSpeed,
});
const part = (inputs: TurningInputs, state: TurningState, how: TurningMotion, id: string): number =>
  turningTorque(inputs, state, how).contributions.find(({ term }) => term.id === id)?.torque ?? Number.NaN;

const anyInputs = fc
  .record({
    mu: fc.double({ min: 0, max: 0.4, noNaN: true }),
    preload: fc.double({ min: 0, max: 3000, noNaN: true }),
    kept: fc.double({ min: 0, max: 1, noNaN: true }),
    trunnion: fc.boolean(),
    ratio: fc.double({ min: 1, max: 3, noNaN: true }),
    dwell: fc.double({ min: 1, max: 2, noNaN: true }),
    ice: fc.double({ min: 0, max: 5, noNaN: true }),
    scale: fc.double({ min: -1, max: 3, noNaN: true }),
    stribeck: fc.boolean(),
  })
  .map(
    (drawn): TurningInputs => ({
      ...base,
      seatFriction: drawn.mu,
      seatPreload: drawn.preload as Force,
      support: drawn.trunnion
        ? {
            kind: "trunnion",
            sealRadius: 0.021 as Length,
            pressurisedSeats: 2,
            journalDiameter: 0.015 as Length,
            journalFriction: drawn.mu,
          }
        : { kind: "floating", preloadKept: drawn.kept },
      iceTorque: drawn.ice as Torque,
      breakawayRatio: {
        seat: drawn.ratio,
        packing: 1 + 0.5 * (drawn.ratio - 1),
        collar: 1 + 0.7 * (drawn.ratio - 1),
        bearing: 1 + 0.9 * (drawn.ratio - 1),
      },
      dwellFactor: drawn.dwell,
      flowOnBall: { boreDiameter: 0.032 as Length, scale: drawn.scale, coefficient },
      stribeck: drawn.stribeck ? base.stribeck : "none",
    }),
  );
const anyState = fc
  .record({
    deg: fc.double({ min: 0, max: 90, noNaN: true }),
    drop: fc.double({ min: -4e6, max: 4e6, noNaN: true }),
    body: fc.double({ min: -1e5, max: 6e6, noNaN: true }),
  })
  .map(({ deg, drop, body }) => at(deg, drop, body));

describe("the ledger", () => {
  it("sums to the total, has every contribution once, with finite values", () => {
    fc.assert(
      fc.property(anyInputs, anyState, fc.boolean(), fc.boolean(), (inputs, state, opening, rest) => {
        const how = motion(opening ? "opening" : "closing", rest ? "breakaway" : "running", 0.5);
        const { total, contributions } = turningTorque(inputs, state, how);
        expect(contributions.map(({ term }) => term.id)).toEqual(turningTerms.map(({ id }) => id));
        const sum = contributions.reduce((all, { torque }) => all + torque, 0);
        expect(sum).toBeCloseTo(total, 9);
        expect(Number.isFinite(total)).toBe(true);
      }),
    );
  });
  it("friction resists in both senses; the flow changes side with the sense", () => {
    fc.assert(
      fc.property(anyInputs, anyState, (inputs, state) => {
        const opening = turningTorque(inputs, state, motion("opening", "running", 0.5)).contributions;
        const closing = turningTorque(inputs, state, motion("closing", "running", 0.5)).contributions;
        opening.forEach(({ term, torque }, i) => {
          const back = closing[i]?.torque ?? Number.NaN;
          if (term.character === "flow") expect(back).toBeCloseTo(-torque, 12);
          else {
            expect(torque).toBeGreaterThanOrEqual(0);
            expect(back).toBe(torque);
          }
        });
      }),
    );
  });
  it("torque demand is that much larger at rest as ratio and dwell say, where they apply", () => {
    fc.assert(
      fc.property(anyInputs, anyState, (inputs, state) => {
        const slow = turningTorque({ ...inputs, stribeck: "none" }, state, motion("opening", "running", 0));
        const rest = turningTorque(inputs, state, motion("opening", "breakaway"));
        slow.contributions.forEach(({ term, torque }, i) => {
          const factor =
            (term.breakaway.ratio === "none" ? 1 : inputs.breakawayRatio[term.breakaway.ratio]) *
            (term.breakaway.dwell ? inputs.dwellFactor : 1);
          expect(rest.contributions[i]?.torque).toBeCloseTo(torque * factor, 9);
        });
      }),
    );
  });
  it("nothing that rubs, nothing that flows: zero torque", () => {
    const inert: TurningInputs = {
      ...base,
      seatFriction: 0,
      packing: "none",
      thrustCollar: "none",
      flowOnBall: "none",
      iceTorque: 0 as Torque,
      viscousDamping: 0 as AngularDamping,
    };
    expect(turningTorque(inert, at(40, 2e6, 3e6), motion("opening", "breakaway")).total).toBe(0);
    expect(turningTorque(inert, at(40, 2e6, 3e6), motion("closing", "running", 2)).total).toBe(0);
  });
  it("demand rises with drop, body pressure, preload and friction while opening", () => {
    fc.assert(
      fc.property(anyInputs, anyState, fc.double({ min: 1, max: 2, noNaN: true }), (drawn, state, more) => {
        const inputs: TurningInputs = { ...drawn, flowOnBall: base.flowOnBall };
        const demand = (changed: Partial<TurningInputs>, there: TurningState) =>
          turningTorque({ ...inputs, ...changed }, there, motion("opening", "breakaway")).total;
        const here = demand({}, state) - 1e-9;
        expect(demand({ seatFriction: inputs.seatFriction * more }, state)).toBeGreaterThanOrEqual(here);
        expect(demand({ seatPreload: (inputs.seatPreload * more) as Force }, state)).toBeGreaterThanOrEqual(
          here,
        );
        const higher = { ...state, valveDrop: (state.valveDrop * more) as PressureDifference };
        expect(demand({}, higher)).toBeGreaterThanOrEqual(here);
        const fuller = { ...state, bodyGaugePressure: (state.bodyGaugePressure + 1e5) as PressureDifference };
        expect(demand({}, fuller)).toBeGreaterThanOrEqual(here);
      }),
    );
  });
});

describe("each contribution in its place", () => {
  const state = at(0, 2.7e6, 2.7e6);
  const slow = motion("opening", "running", 10);
  it("seats of a floating ball: preload on both, pressure on one", () => {
    const lever = (F: number) =>
      ringSeatTorque(base.seatFriction, F as Force, base.ballRadius, base.seatContactRadius);
    const area = Math.PI * base.seatContactRadius ** 2;
    expect(part(base, state, slow, "seat-preload")).toBeCloseTo(lever(1000), 9);
    expect(part(base, state, slow, "seat-pressure")).toBeCloseTo(lever(area * 2.7e6), 9);
    const shifted: TurningInputs = { ...base, support: { kind: "floating", preloadKept: 0 } };
    expect(part(shifted, state, slow, "seat-preload")).toBeCloseTo(lever(500), 9);
  });
  it("a trunnion ball leaves the drop to its bearings, and only the annulus to its seats", () => {
    const trunnion: TurningInputs = {
      ...base,
      support: {
        kind: "trunnion",
        sealRadius: 0.019 as Length,
        pressurisedSeats: 1,
        journalDiameter: 0.014 as Length,
        journalFriction: 0.15,
      },
    };
    const annulus = Math.PI * (0.019 ** 2 - base.seatContactRadius ** 2);
    const seat = ringSeatTorque(0.1, (annulus * 2.7e6) as Force, base.ballRadius, base.seatContactRadius);
    expect(part(trunnion, state, slow, "seat-pressure")).toBeCloseTo(seat, 9);
    expect(part(trunnion, state, slow, "trunnion")).toBeCloseTo(
      0.15 * Math.PI * 0.019 ** 2 * 2.7e6 * 0.007,
      9,
    );
    expect(part(trunnion, state, slow, "seat-pressure")).toBeLessThan(
      part(base, state, slow, "seat-pressure"),
    );
  });
  it("ice counts in full, without ratio; viscous torque grows with speed and is none at rest", () => {
    expect(part(base, state, motion("opening", "breakaway"), "ice")).toBe(0.5);
    expect(part(base, state, slow, "viscous")).toBeCloseTo(0.2, 12);
    expect(part(base, state, motion("opening", "breakaway", 5), "viscous")).toBe(0);
  });
  it("a measured packing torque is taken as it is, a bearing with a constant load as mu F d/2", () => {
    const measured: TurningInputs = {
      ...base,
      packing: { kind: "measured", torque: 2.5 as Torque },
      bearings: [{ name: "stem", friction: 0.1, diameter: 0.012 as Length, load: 300 as Force }],
    };
    expect(part(measured, state, slow, "packing")).toBe(2.5);
    expect(part(measured, state, slow, "bearings")).toBeCloseTo(0.18, 12);
  });
  it("a pressure in the body below that outside does not push the stem", () => {
    expect(part(base, at(0, 0, -1e5), slow, "stem-thrust")).toBe(0);
  });
});

describe("both senses", () => {
  const row = reference["direction split"];
  it("21.4 N m opening and 15.8 N m closing are 18.6 N m friction and 2.8 N m of flow: by hand", () => {
    const split = directionSplit(row.opening as Torque, row.closing as Torque);
    expect(split.friction).toBeCloseTo(row.friction, 12);
    expect(split.hydrodynamic).toBeCloseTo(row.hydrodynamic, 12);
  });
  it("undoes the sum at any opening and drop", () => {
    fc.assert(
      fc.property(anyInputs, anyState, (inputs, state) => {
        const opening = turningTorque(inputs, state, motion("opening", "running", 0.3));
        const closing = turningTorque(inputs, state, motion("closing", "running", 0.3));
        const flow =
          opening.contributions.find(({ term }) => term.id === "hydrodynamic")?.torque ?? Number.NaN;
        const split = directionSplit(opening.total, closing.total);
        expect(split.hydrodynamic).toBeCloseTo(flow, 9);
        expect(split.friction).toBeCloseTo(opening.total - flow, 9);
      }),
    );
  });
  it("running torque at low drop lies at 0.4 to 0.6 of the shut-off breakaway: common practice, no source", () => {
    const clean: TurningInputs = {
      ...base,
      dwellFactor: 1,
      iceTorque: 0 as Torque,
      breakawayRatio: evenly(1.6),
    };
    const shut = turningTorque(clean, at(0, 1e6, 1e6), motion("opening", "breakaway")).total;
    const run = turningTorque(clean, at(45, 1e5, 1e6), motion("opening", "running", 1)).total;
    const [low = 0, high = 0] = reference.shape.run_opening;
    expect(run / shut).toBeGreaterThan(low);
    expect(run / shut).toBeLessThan(high);
  });
});

describe("over a grid", () => {
  const count = 46;
  const angles = Float64Array.from({ length: count }, (_, i) => (i / (count - 1)) * (Math.PI / 2));
  const CT = new Float64Array(count);
  torqueCoefficientsOverAngles(coefficient, angles, CT);
  it("is the ledger's sum, opening by opening", () => {
    fc.assert(
      fc.property(anyInputs, fc.double({ min: -4e6, max: 4e6, noNaN: true }), (inputs, dp) => {
        const drop = Float64Array.from(angles, (angle) => dp * Math.cos(angle));
        const body = Float64Array.from(angles, (angle) => 2e6 * (1 - angle));
        const out = {
          running: new Float64Array(count),
          breakaway: new Float64Array(count),
          hydrodynamic: new Float64Array(count),
        };
        turningTorqueOverAngles(inputs, drop, body, CT, out);
        const noDwell = {
          ...inputs,
          dwellFactor: 1,
          stribeck: "none" as const,
          viscousDamping: 0 as AngularDamping,
        };
        for (let i = 0; i < count; i++) {
          const state: TurningState = {
            angle: (angles[i] ?? 0) as Angle,
            valveDrop: (drop[i] ?? 0) as PressureDifference,
            bodyGaugePressure: (body[i] ?? 0) as PressureDifference,
          };
          const [running = 0, breakaway = 0, hydrodynamic = 0] = [
            out.running[i],
            out.breakaway[i],
            out.hydrodynamic[i],
          ];
          const run = turningTorque(noDwell, state, motion("opening", "running", 1)).total;
          const rest = turningTorque(noDwell, state, motion("closing", "breakaway")).total;
          expect(running + hydrodynamic).toBeCloseTo(run, 9);
          expect(breakaway - hydrodynamic).toBeCloseTo(rest, 9);
          expect(breakaway).toBeGreaterThanOrEqual(running - 1e-12);
        }
      }),
      { numRuns: 50 },
    );
  });
});

describe("refusals say the value and the bound", () => {
  const act = (changed: Partial<TurningInputs>) => () =>
    turningTorque({ ...base, ...changed }, at(0, 1e6, 1e6), motion("opening", "breakaway"));
  it.each([
    ["negative friction", act({ seatFriction: -0.1 }), /seat friction coefficient is -0.1/],
    ["no number", act({ seatPreload: Number.NaN as Force }), /seat preload is NaN/],
    ["breakaway below running", act({ breakawayRatio: evenly(0.8) }), /breakaway ratio is 0.8/],
    [
      "breakaway of the packing below running",
      act({ breakawayRatio: { ...evenly(1.5), packing: 0.8 } }),
      /breakaway ratio of the packing is 0.8/,
    ],
    ["a dwell that eases", act({ dwellFactor: 0.9 }), /dwell factor is 0.9/],
    ["a contact circle off the ball", act({ seatContactRadius: 0.03 as Length }), /30 mm is not below/],
    ["negative ice torque", act({ iceTorque: -1 as Torque }), /ice torque is -1/],
    ["more preload than there is", act({ support: { kind: "floating", preloadKept: 1.5 } }), /1.5/],
    [
      "a trunnion seat that pressure lifts",
      act({
        support: {
          kind: "trunnion",
          sealRadius: 0.016 as Length,
          pressurisedSeats: 1,
          journalDiameter: 0.014 as Length,
          journalFriction: 0.1,
        },
      }),
      /16 mm lies inside the contact circle of 17.5 mm/,
    ],
  ])("%s", (_, attempt, words) => expect(attempt).toThrow(words));
});
