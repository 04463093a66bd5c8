/** The ratio for the shortest time, a closed form of every book on drives. */
import { expect, it } from "vitest";
import { optimumRatio } from "../../src/physics/drive/index.js";
import type { Inertia, Torque } from "../../src/quantity/index.js";
import { seekPlan } from "../../src/seek/index.js";
import { evaluatorOf } from "../../src/seek/plan.js";
import { orderOf } from "./order.js";

const ratios = [4, 6, 8, 9, 10, 11, 12, 14, 17, 22, 30];
const stage = (ratio: number) => `
name: ideal ${ratio}:1
kind: stage
class: ideal
values:
  ratio: ${ratio}
  efficiency: 1
  back_efficiency: 1
  no_load_torque: 0 N m
  no_load_cold_ratio: 1
  inertia: 0 kg m2
  momentary_torque: 1000 N m
`;

/** A dry ball without friction: nothing but inertia, and a current limit that keeps the motor's torque constant. */
const valve = {
  coldturn: 1,
  duty: {
    fluid: "none",
    valve_temperature: "293.15 K",
    motor_temperature: "293.15 K",
    gearbox_temperature: "293.15 K",
    ambient_pressure: "1 bar(a)",
    dwell: "0 s",
    open_within: { time: "2 s", definition: "command-to-end" },
  },
  valve: {
    support: "floating",
    bore: "32 mm",
    ball_diameter: "52 mm",
    seat_contact_diameter: "38 mm",
    travel: "90 deg",
    seat: {
      friction: 0,
      friction_cold_ratio: 1,
      preload: "0 N",
      preload_cold_ratio: 1,
      breakaway_ratio: 1,
      dwell_ratio: 1,
      stribeck_speed: "2 mm/s",
    },
    packing: { torque: "0 N m", cold_ratio: 1 },
    stem: {
      diameter: "14 mm",
      collar_outer_diameter: "22 mm",
      collar_inner_diameter: "14.5 mm",
      collar_friction: 0,
      collar_cold_ratio: 1,
    },
    ice_torque: "0 N m",
    damping: "0 N m s/rad",
    inertia: "1e-3 kg m2",
  },
  drive: {
    motor: {
      resistance: "0.1 ohm",
      inductance: "1 uH",
      torque_constant: "0.02 N m/A",
      torque_constant_drift: "0 1/K",
      inertia: "1e-5 kg m2",
      friction_torque: "0 N m",
      damping: "0 N m s/rad",
    },
    supply: { open_circuit_voltage: "200 V", resistance: "0 ohm", cable_resistance: "0 ohm" },
    driver: { current_limit: "5 A", dead_time: "0 s" },
    command: { kind: "full" },
    stop_restitution: 0,
  },
  seek: {
    try: [{ kind: "stage", class: "ideal" }],
    stages: { least: 1, most: 1 },
    limits: { torque_margin: -1 },
  },
};

it("is found among others: sqrt(J_load/J_motor) for pure inertia [leonhard-2001]", () => {
  const plan = seekPlan(orderOf(valve, { samples: 0, parts: ratios.map(stage) }));
  const slow = evaluatorOf(plan, { exhaustive: true });
  const times = ratios.map(
    (_, index) => slow.evaluate(index).figures?.["opening-time"]?.nominal ?? Number.NaN,
  );
  const best = ratios[times.indexOf(Math.min(...times))];
  const closed = optimumRatio(0 as Torque, 0.1 as Torque, 1, 1e-3 as Inertia, 1e-5 as Inertia);
  expect(closed).toBeCloseTo(10, 12);
  expect(best).toBe(10);
  // From rest at constant torque over a quarter turn: t = sqrt(2 q (J_L + N^2 J_m)/(N T)).
  ratios.forEach((ratio, index) => {
    const time = Math.sqrt((Math.PI * (1e-3 + ratio ** 2 * 1e-5)) / (ratio * 0.1));
    expect(times[index]).toBeGreaterThan(time * (1 - 1e-6));
    // The current takes some microseconds to rise.
    expect(times[index]).toBeLessThan(time * 1.001);
  });
});
