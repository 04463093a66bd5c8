/**
 * The Petrel duty by hand: each figure from the declared values and the named formula, step by step,
 * without any function of the product. Tolerances are the rounding of double precision unless said.
 */
import { describe, expect, it } from "vitest";
import { nominalOf, planFor, ValveSample } from "../../src/predict/index.js";
import { dossierOf, figure, having, petrel, planOf } from "./valveFile.js";

const plan = planOf(petrel());
const nominal = nominalOf(plan, "command-to-90-flow");
const of = (id: string) => figure(nominal, id);
const line = (id: string) => nominal.torque?.opening.start.find((row) => row.id === id)?.torque_Nm;

// Declared: ball 52 mm, contact circle 38 mm, seat 0.075 with cold ratio 0.7 to 1.5, preload 300 to 700 N with 0.4 to 1.0.
const cold = (293.15 - 92) / (293.15 - 90);
const mu = 0.075 * (1 + (1.1 - 1) * cold);
const preload = 500 * (1 + (0.7 - 1) * cold);
const R = 0.026;
const r = 0.019;
/** (R / cos g)(2/pi) E(sin^2 g) with the mean of sqrt(1 - m sin^2) in place of the elliptic integral. */
const lever = (() => {
  const m = (r / R) ** 2;
  let mean = 0;
  const n = 2000;
  for (let k = 0; k < n; k++) mean += Math.sqrt(1 - m * Math.sin((Math.PI * (k + 0.5)) / (2 * n)) ** 2) / n;
  return (R / Math.sqrt(1 - m)) * mean;
})();
const closedDrop = 28e5 - 18e5;
const breakaway = 1.4;
const dwell = plan.space.nominal[plan.slots.dwellRatio] ?? Number.NaN;
const collarFriction = plan.space.nominal[plan.slots.collarFriction] ?? Number.NaN;
const running = {
  preload: 2 * mu * preload * lever,
  pressure: mu * Math.PI * r * r * closedDrop * lever,
  packing: 1.2 * (1 + (1.1 - 1) * cold),
  // New collar: (2/3)(ro^3 - ri^3)/(ro^2 - ri^2) as lever of the pressure on the stem's circle.
  collar:
    collarFriction *
    (Math.PI / 4) *
    0.014 ** 2 *
    (28e5 - 1.013e5) *
    ((2 / 3) * ((0.011 ** 3 - 0.00725 ** 3) / (0.011 ** 2 - 0.00725 ** 2))),
};
const runningClosed = running.preload + running.pressure + running.packing + running.collar;
const toBreakAway = runningClosed * breakaway * dwell;

// Declared: 2.0 ohm at 20 degC, 0.06 + 0.08 ohm, 25.2 V, 0.045 N m/A, stages 10 at 0.90 and 10 at 0.86.
const total = 2.0 + 0.06 + 0.08;
const gearCold = 1 + (8 - 1) * ((293.15 - 278.15) / (293.15 - 233.15));
const share = 1 / (10 * 0.9 * 10 * 0.86);
const driveFriction = 0.006 + 0.004 * gearCold + (0.012 * gearCold) / (10 * 0.9);
const available = (speed: number) => (0.045 * ((25.2 - 0.045 * 100 * speed) / total) - driveFriction) / share;

describe("flow of the Petrel duty by hand", () => {
  const density = nominal.flow?.density_kg_m3 ?? Number.NaN;
  // Kv: 1 m3/h of water, 999 kg/m3, at 1 bar.
  const C = 150 * (1 / 3600 / Math.sqrt(1e5 / 999));
  const lines = 9.2e5 / 3.8 ** 2;
  const W = Math.sqrt(10e5 / (lines + 1 / (density * C * C)));

  it("density of oxygen at 91 K and 28 bar: 0.5 % about 1141.2 kg/m3 of the liquid at its normal boiling point (NIST WebBook, as commonly quoted)", () => {
    // 0.8 K warmer takes 0.35 % off, 27 bar of compression puts about as much back on.
    expect(Math.abs(density / 1141.2 - 1)).toBeLessThan(0.005);
  });
  it("mass flow wide open, two resistances in series", () => expect(of("mass-flow")).toBeCloseTo(W, 3));
  it("drop of the open valve", () => expect(of("valve-drop")).toBeCloseTo((W / C) ** 2 / density, 0));
  it("drop of the closed valve", () => expect(nominal.flow?.drop_Pa[0]).toBeCloseTo(closedDrop, 6));
  it("bore velocity", () =>
    expect(of("bore-velocity")).toBeCloseTo(W / density / ((Math.PI / 4) * 0.032 ** 2), 3));
  it("capacity margin", () =>
    expect(of("capacity-margin")).toBeCloseTo(C / (3.8 / Math.sqrt(density * 0.8e5)) - 1, 3));

  it("a line drop grows as the liquid thins out", () => {
    const sample = new ValveSample(plan);
    sample.updateFlow();
    const { system: cool, liquid } = sample;
    sample.values[plan.slots.fluidTemperature] = 92.5;
    sample.updateFlow();
    const ratio = (sample.system?.upstream ?? 0) / (cool?.upstream ?? 1);
    expect(ratio).toBeCloseTo((liquid?.density ?? 0) / (sample.liquid?.density ?? 1), 9);
    expect(ratio).toBeGreaterThan(1.005);
  });

  it("25 L/s of liquid oxygen through a three-inch full-bore valve: about 5.5 m/s and 1 kPa (common practice, no source)", () => {
    const base = petrel();
    const data = having(base, {
      "valve.bore": "76.2 mm",
      "valve.ball_diameter": "118 mm",
      "valve.seat_contact_diameter": "90 mm",
      "valve.flow_coefficient": undefined,
      "duty.mass_flow": "28.5 kg/s",
      "duty.supply_pressure": "5 bar(a)",
      "duty.back_pressure": "3 bar(a)",
      engine: undefined,
      "line.upstream": { drop: "0.3 bar", at: "28.5 kg/s" },
      "line.downstream": { drop: "1.7 bar", at: "28.5 kg/s" },
    });
    const large = nominalOf(planFor(dossierOf(data), "duty"), "command-to-end");
    const flow = figure(large, "mass-flow") / (large.flow?.density_kg_m3 ?? 1);
    expect(flow * 1000).toBeGreaterThan(24.5);
    expect(flow * 1000).toBeLessThan(25.5);
    expect(figure(large, "bore-velocity")).toBeCloseTo(flow / ((Math.PI / 4) * 0.0762 ** 2), 6);
    expect(Math.abs(figure(large, "bore-velocity") - 5.5)).toBeLessThan(0.2);
    // "About a kilopascal": the factor of the shipped loss coefficient's spread, 2.
    expect(figure(large, "valve-drop")).toBeGreaterThan(500);
    expect(figure(large, "valve-drop")).toBeLessThan(2000);
  });
});

describe("turning torque of the Petrel duty by hand", () => {
  it("seats, preload", () =>
    expect(line("seat-preload")).toBeCloseTo(running.preload * breakaway * dwell, 6));
  it("seats, pressure", () =>
    expect(line("seat-pressure")).toBeCloseTo(running.pressure * breakaway * dwell, 6));
  it("packing", () => expect(line("packing")).toBeCloseTo(running.packing * breakaway * dwell, 9));
  it("thrust collar", () => expect(line("stem-thrust")).toBeCloseTo(running.collar * breakaway * dwell, 9));
  it("breakaway, dwell included", () => {
    expect(dwell).toBeGreaterThan(1);
    expect(of("breakaway-torque")).toBeCloseTo(toBreakAway, 6);
    expect(nominal.torque?.opening.startTotal_Nm).toBeCloseTo(toBreakAway, 6);
  });
  it("running torque while closed", () =>
    expect(nominal.torque?.opening.running_Nm[0]).toBeCloseTo(runningClosed, 6));
  it("a cold ratio is half used half way between ambient and 90 K", () => {
    const half = planOf(having(petrel(), { "duty.valve_temperature": `${(293.15 + 90) / 2} K` }));
    const answer = nominalOf(half, "command-to-end");
    const packing = answer.torque?.opening.lines.find(({ id }) => id === "packing")?.torque_Nm[0];
    expect(packing).toBeCloseTo(1.2 * 1.05, 9);
  });
});

describe("the Petrel drive by hand", () => {
  it("standstill torque after gears", () => expect(of("standstill-torque")).toBeCloseTo(available(0), 9));
  it("breakaway margin", () => expect(of("breakaway-margin")).toBeCloseTo(available(0) / toBreakAway - 1, 6));

  it("torque at the speed wanted: the angle of 90 % flow in 0.8 s less the dead time", () => {
    const flow = nominal.flow?.massFlow_kg_s ?? [];
    const angles = nominal.flow?.angle_rad ?? [];
    const full = flow.at(-1) ?? 0;
    const j = flow.findIndex((value) => value >= 0.9 * full);
    const [low = 0, high = 0] = [flow[j - 1], flow[j]];
    const [a = 0, b = 0] = [angles[j - 1], angles[j]];
    const wanted = (a + ((b - a) * (0.9 * full - low)) / (high - low)) / (0.8 - 0.015);
    expect(nominal.drive?.wantedSpeed_rad_s).toBeCloseTo(wanted, 9);
    expect(nominal.drive?.atWantedSpeed_Nm).toBeCloseTo(available(wanted), 9);
    expect(of("running-margin")).toBeCloseTo(available(wanted) / of("running-torque") - 1, 9);
  });

  // Closing within 0.5 s: 90 deg in 0.485 s against the running torque of the closed valve.
  const closing = Math.PI / 2 / (0.5 - 0.015);
  it("margin with factor 3 on variable torque [nasa-std-5017a]: worst on closing, at the seat", () => {
    expect(of("torque-margin")).toBeCloseTo(available(closing) / (3 * runningClosed) - 1, 6);
    expect(available(0) / (3 * toBreakAway) - 1).toBeGreaterThan(of("torque-margin"));
  });
  it("motorisation margin, 2 (3 F_R + 1.5 H_M) [ecss-e-st-33-01c, table 4-2]", () => {
    const motor = 0.006 / share;
    const least = 2 * (3 * runningClosed + 1.5 * motor);
    expect(of("motorisation-margin")).toBeCloseTo((available(closing) + motor) / least - 1, 6);
  });
  it("every contribution is of the variable class but none of the known, in the curve as in the margin", () => {
    const closingCurve = nominal.torque?.closing.running_Nm ?? [];
    expect(Math.max(...closingCurve)).toBeCloseTo(runningClosed, 6);
  });

  it("supply voltage: the hold against the stop, V/R, takes more than any moment of the strokes", () => {
    const held = 25.2 / total;
    expect(held).toBeLessThan(16);
    expect(of("peak-current")).toBeLessThan(held);
    expect(of("lowest-voltage")).toBeCloseTo(25.2 - 0.14 * held, 9);
  });

  it("winding temperature: two nodes by small steps", () => {
    const strokes = [nominal.opening, nominal.closing].map((stroke) => stroke?.ledger.entries.copper ?? 0);
    const energy = Math.max(...strokes);
    const stroke = strokes[0] === energy ? nominal.opening : nominal.closing;
    const duration = stroke?.time_s.at(-1) ?? Number.NaN;
    const stall = 2.0 * (25.2 / total) ** 2;
    const dt = 1e-3;
    let winding = 0;
    let body = 0;
    let peak = 0;
    for (let t = 0; t < 200; t += dt) {
      const since = t % 20;
      // The load sets the current of a stroke, the voltage that of the hold: only the first loss grows.
      const grown = 1 + 0.00393 * winding;
      const loss = since < duration ? (grown * energy) / duration : since < duration + 0.3 ? stall : 0;
      const passed = (winding - body) / 1.6;
      winding += (dt * (loss - passed)) / 22;
      body += (dt * (passed - body / 5.5)) / 180;
      peak = Math.max(peak, winding);
    }
    // Steps of 1 ms in a hold of 300 ms: a few hundredths of a rise of 10 K.
    expect(Math.abs(of("winding-temperature") - 293.15 - peak)).toBeLessThan(0.05);
  });
});

describe("special cases of the Petrel valve", () => {
  const answer = (changes: Readonly<Record<string, unknown>>) =>
    nominalOf(planOf(having(petrel(), changes)), "command-to-end");

  it("zero voltage: does not open, and lacks the breakaway torque and its own friction", () => {
    const { opening, closing, ceilings } = answer({ "drive.supply.open_circuit_voltage": "0 V" });
    expect(opening?.outcome).toBe("stalled");
    expect(opening?.stall?.angle_rad).toBe(0);
    expect(opening?.stall?.lackingTorque_Nm).toBeCloseTo(toBreakAway + driveFriction / share, 6);
    expect(opening?.times_s).toEqual({});
    expect(closing?.outcome).toBe("stalled");
    expect(ceilings).toMatchObject({ fastest: undefined, slowest: undefined });
  });

  it("a current limit below the breakaway current: lacks what the limit keeps back", () => {
    const { opening, row } = answer({ "drive.driver.current_limit": "1.5 A" });
    const gives = (0.045 * 1.5 - driveFriction) / share;
    expect(gives).toBeLessThan(toBreakAway);
    expect(opening?.stall?.angle_rad).toBe(0);
    expect(opening?.stall?.lackingTorque_Nm).toBeCloseTo(toBreakAway - gives, 6);
    expect(row.length).toBeGreaterThan(0);
  });

  it("the lowest ratio that breaks away is 26.3, from the torque balance at the motor", () => {
    const motor = 0.045 * (25.2 / total) - 0.006 - 0.004 * gearCold;
    const lowest = (100 * (toBreakAway * share + (0.012 * gearCold) / 9)) / motor;
    expect(nominal.ratio?.lowest).toBeCloseTo(lowest, 6);
    expect(answer({ "drive.stages[0].ratio": `${(lowest / 10) * 0.999}` }).opening?.outcome).toBe("stalled");
    expect(
      answer({ "drive.stages[0].ratio": `${(lowest / 10) * 1.001}` }).opening?.stall?.angle_rad ?? 1,
    ).not.toBe(0);
  });

  it("a doubled torque curve opens later, a quadrupled one not at all", () => {
    const times = (factor: number) => ({
      "valve.seat.friction": `${0.075 * factor}`,
      "valve.packing.torque": `${1.2 * factor} N m`,
      "valve.stem.collar_friction": `${collarFriction * factor}`,
    });
    const doubled = answer(times(2));
    expect(figure(doubled, "breakaway-torque")).toBeCloseTo(2 * toBreakAway, 6);
    expect(doubled.opening?.times_s["command-to-end"]).toBeGreaterThan(
      nominal.opening?.times_s["command-to-end"] ?? Number.POSITIVE_INFINITY,
    );
    const fourfold = answer(times(4));
    expect(fourfold.opening?.stall?.angle_rad).toBe(0);
    expect(fourfold.opening?.stall?.lackingTorque_Nm).toBeCloseTo(4 * toBreakAway - available(0), 6);
    expect(4).toBeGreaterThan(nominal.ceilings?.stallFactor ?? 5);
    expect(nominal.ceilings?.stallFactor).toBeCloseTo(available(0) / toBreakAway, 2);
  });

  it("zero friction in the valve: no breakaway torque, nothing that stalls it, margins without limit", () => {
    const free = answer({
      "valve.seat.friction": "0",
      "valve.packing.torque": "0 N m",
      "valve.stem.collar_friction": "0",
      "valve.hydrodynamic": { scale: "0" },
    });
    expect(figure(free, "breakaway-torque")).toBe(0);
    expect(figure(free, "running-torque")).toBe(0);
    expect(figure(free, "breakaway-margin")).toBe(1e6);
    expect(figure(free, "torque-margin")).toBe(1e6);
    expect(free.opening?.outcome).toBe("arrived");
    expect(free.ceilings?.slowest).toBeUndefined();
    expect(free.opening?.ledger.entries.friction).toBe(0);
  });
});
