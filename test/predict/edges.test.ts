/** Valves on which a random search once found the model wrong, kept as they were found. */
import { describe, expect, it } from "vitest";
import { nominalOf } from "../../src/predict/index.js";
import { planOf } from "./valveFile.js";

/** Without friction its motor runs through the speed at which the voltage can no longer hold the current limit. */
const throughTheFreeSpeed = {
  coldturn: 1,
  name: "Petrel",
  duty: {
    fluid: "nitrogen",
    fluid_temperature: "67.86137 K",
    supply_pressure: "600017.9604325346 Pa(a)",
    back_pressure: "108043.2540758171 Pa(a)",
    outlet: "flowing",
    valve_temperature: "67.86137 K",
    motor_temperature: "250.00088 K",
    gearbox_temperature: "277.20436 K",
    dwell: "99987.33658386684 s",
    mass_flow: "0.4513863946082725 kg/s",
    largest_valve_drop: "0.8 bar",
    throttle: {
      lowest: "45 %",
      step: "2 %",
    },
    open_within: {
      time: "1.7085778 s",
      definition: "command-to-end",
    },
    close_within: {
      time: "1.635666 s",
      definition: "command-to-end",
    },
    cycles: {
      period: "20 s",
      count: "10",
      stall_hold: "0.3 s",
    },
  },
  line: {
    upstream: {
      drop: "24000.718417301385 Pa",
      at: "0.4513863946082725 kg/s",
    },
    downstream: {
      drop: "180005.38812976037 Pa",
      at: "0.4513863946082725 kg/s",
    },
  },
  valve: {
    support: "trunnion",
    bore: "0.06846789673655726 m",
    ball_diameter: "0.11780021452343965 m",
    seat_contact_diameter: "0.09313609058810716 m",
    travel: "1.63778235 rad",
    flow_coefficient: "249.97282320519767 Kv",
    seat: {
      friction: "0.010000760000000001",
      friction_cold_ratio: "0.5000015",
      preload: "311.897 N",
      preload_cold_ratio: "0.3189645",
      breakaway_ratio: "1.000024",
      seal_diameter: "0.10766736971384482 m",
    },
    packing: {
      friction: "0.1",
      height: "0.02355418547612212 m",
      radial_stress: "4 MPa",
      cold_ratio: "1.2",
    },
    stem: {
      diameter: "0.02355418547612212 m",
      collar_outer_diameter: "0.037686696761795396 m",
      collar_inner_diameter: "0.02402526918564456 m",
      collar_friction: "0.0863058",
    },
    bearing: {
      diameter: "0.02355418547612212 m",
      friction: "0.1",
    },
    hydrodynamic: {
      scale: "0.21116400000000013",
    },
    ice_torque: "0.07144 N m",
    damping: "0.1776505 N m s/rad",
    inertia: "0.0000010001289530789408 kg m2",
  },
  drive: {
    motor: {
      resistance: "0.3408747584061207 ohm",
      inductance: "0.0017042604474583679 H",
      torque_constant: "0.10238138390132268 N m/A",
      inertia: "0.0000010000046051807905 kg m2",
      friction_torque: "0.00011598176736401532 N m",
      damping: "0.000007463078332483934 N m s/rad",
      winding_heat_capacity: "20 J/K",
      case_heat_capacity: "180 J/K",
      winding_to_case: "1.5 K/W",
      case_to_ambient: "5 K/W",
    },
    stages: [
      {
        ratio: "14.999776",
        efficiency: "0.7212358000000001",
        no_load_torque: "0.00892526651426746 N m",
        no_load_cold_ratio: "5.903388",
        inertia: "0.00000999965461820063 kg m2",
        backlash: "2.2e-7 rad",
      },
      {
        ratio: "7.08657",
        efficiency: "0.7177618",
        no_load_torque: "0.000487004439166205 N m",
        no_load_cold_ratio: "11.999772",
        inertia: "1.0000898048508412e-8 kg m2",
        backlash: "0.00783984 rad",
      },
    ],
    supply: {
      open_circuit_voltage: "10.65654 V",
      resistance: "0.010000875020616157 ohm",
      cable_resistance: "0.010000586820668067 ohm",
    },
    driver: {
      current_limit: "4.946463291954288 A",
      dead_time: "0.04910810000000001 s",
    },
    position_sensor: {
      resolution: "0.1 deg",
    },
    command: {
      kind: "full",
    },
    stop_restitution: "0.5999987999999999",
  },
};

describe("the ceilings of an opening time", () => {
  it("without friction the valve opens too, and no later, where the current leaves its limit at speed", () => {
    const nominal = nominalOf(planOf(throughTheFreeSpeed), "command-to-end");
    const time = nominal.opening?.times_s["command-to-end"] ?? Number.NaN;
    expect(nominal.opening?.outcome).toBe("arrived");
    expect(nominal.ceilings?.fastest).toBeLessThan(time);
    expect(nominal.ceilings?.slowest).toBeGreaterThan(time);
  });
});
