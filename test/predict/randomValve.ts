/**
 * Random valves that a person could have: every combination of support, medium, command and number
 * of stages, from easy to hopeless. As plain data of a valve file, all values SI with their unit.
 */
import fc from "fast-check";

/** A valve file as plain nested data. */
export type Section = { [name: string]: unknown };

/** Liquids with a temperature at which they are liquid at the pressures below [K]. */
const liquids = [
  { fluid: "oxygen", low: 70, high: 95 },
  { fluid: "nitrogen", low: 66, high: 80 },
  { fluid: "methane", low: 95, high: 115 },
  { fluid: "water", low: 280, high: 340 },
] as const;

/** Evenly between two values, in a million steps: no denormal crumbs, which no file holds. */
const number = (min: number, max: number) =>
  fc.nat({ max: 1_000_000 }).map((step) => min + ((max - min) * step) / 1_000_000);
/** Evenly over decades. */
const decades = (min: number, max: number) =>
  number(Math.log10(min), Math.log10(max)).map((exponent) => 10 ** exponent);
/** Mostly a number, now and then nothing at all. */
const orZero = (arbitrary: fc.Arbitrary<number>) =>
  fc.oneof({ weight: 1, arbitrary: fc.constant(0) }, { weight: 6, arbitrary });

const stage = fc
  .record({
    ratio: number(1, 15),
    efficiency: number(0.4, 1),
    noLoad: orZero(decades(1e-4, 0.05)),
    cold: number(0, 12),
    inertia: orZero(decades(1e-8, 1e-5)),
    backlash: number(0, 0.02),
  })
  .map((s) => ({
    ratio: `${s.ratio}`,
    efficiency: `${s.efficiency}`,
    no_load_torque: `${s.noLoad} N m`,
    no_load_cold_ratio: `${s.cold}`,
    inertia: `${s.inertia} kg m2`,
    backlash: `${s.backlash} rad`,
  }));

const geometry = fc
  .record({
    bore: decades(0.008, 0.08),
    ball: fc.oneof({ weight: 1, arbitrary: number(1.25, 1.45) }, { weight: 12, arbitrary: number(1.45, 2) }),
    contact: number(0.05, 0.8),
    stem: number(0.15, 0.5),
  })
  .map(({ bore, ball, contact, stem }) => ({
    bore,
    ballDiameter: bore * ball,
    contactDiameter: bore + contact * (bore * ball - bore),
    stemDiameter: bore * stem,
  }));

const valveSection = fc
  .record({
    size: geometry,
    support: fc.constantFrom("floating", "trunnion"),
    seal: number(1, 1.2),
    travel: number(1.5, 1.65),
    hasKv: fc.integer({ min: 0, max: 5 }).map((n) => n > 0),
    loss: number(0.05, 1),
    friction: orZero(number(0.01, 0.2)),
    coldRatio: number(0.5, 2),
    preload: orZero(number(0, 1000)),
    preloadCold: number(0, 1.5),
    breakaway: number(1, 3),
    packing: orZero(number(0, 4)),
    packingByRings: fc.boolean(),
    collarFriction: orZero(number(0, 0.3)),
    ice: orZero(number(0, 8)),
    damping: orZero(number(0, 0.5)),
    inertia: orZero(decades(1e-6, 1e-2)),
    hydrodynamicScale: number(-2, 2),
  })
  .map((v): Section => {
    const { bore, ballDiameter, contactDiameter, stemDiameter } = v.size;
    const m = (length: number) => `${length} m`;
    const area = (Math.PI / 4) * bore * bore;
    return {
      support: v.support,
      bore: m(bore),
      ball_diameter: m(ballDiameter),
      seat_contact_diameter: m(contactDiameter),
      travel: `${v.travel} rad`,
      // K = loss: C = A sqrt(2/K); 1 Kv is 2.7778e-5 m2 (1 m3/h over the root of 1 bar and 1000 kg/m3).
      ...(v.hasKv ? { flow_coefficient: `${(area * Math.sqrt(2 / v.loss)) / 2.7778e-5} Kv` } : {}),
      seat: {
        friction: `${v.friction}`,
        friction_cold_ratio: `${v.coldRatio}`,
        preload: `${v.preload} N`,
        preload_cold_ratio: `${v.preloadCold}`,
        breakaway_ratio: `${v.breakaway}`,
        ...(v.support === "trunnion" ? { seal_diameter: m(contactDiameter * v.seal) } : {}),
      },
      packing: v.packingByRings
        ? { friction: "0.1", height: m(stemDiameter), radial_stress: "4 MPa", cold_ratio: "1.2" }
        : { torque: `${v.packing} N m`, cold_ratio: "1.2" },
      stem: {
        diameter: m(stemDiameter),
        collar_outer_diameter: m(stemDiameter * 1.6),
        collar_inner_diameter: m(stemDiameter * 1.02),
        collar_friction: `${v.collarFriction}`,
      },
      ...(v.support === "trunnion" ? { bearing: { diameter: m(stemDiameter), friction: "0.1" } } : {}),
      hydrodynamic: { scale: `${v.hydrodynamicScale}` },
      ice_torque: `${v.ice} N m`,
      damping: `${v.damping} N m s/rad`,
      inertia: `${v.inertia} kg m2`,
    };
  });

const command = fc.oneof(
  { weight: 3, arbitrary: fc.constant<Section>({ kind: "full" }) },
  {
    weight: 1,
    arbitrary: fc
      .record({ kind: fc.constantFrom("trapezoid", "jerk-limited"), duration: number(0.2, 2) })
      .map(
        ({ kind, duration }): Section => ({
          kind,
          duration: `${duration} s`,
          sample_time: "2 ms",
          position_gain: "25 1/s",
          speed_bandwidth: "150 1/s",
        }),
      ),
  },
);

const driveSection = fc
  .record({
    resistance: decades(0.1, 2),
    timeConstant: decades(1e-4, 5e-3),
    torqueConstant: decades(0.02, 0.2),
    inertia: decades(1e-6, 1e-4),
    friction: orZero(decades(1e-4, 0.02)),
    damping: orZero(decades(1e-7, 1e-4)),
    stages: fc
      .tuple(fc.nat({ max: 4 }), fc.tuple(stage, stage, stage, stage))
      .map(([n, all]) => all.slice(0, n)),
    voltage: orZero(number(6, 48)),
    battery: orZero(decades(0.01, 1)),
    cable: orZero(decades(0.01, 0.5)),
    limit: decades(0.3, 60),
    deadTime: orZero(number(0, 0.05)),
    restitution: orZero(number(0, 0.6)),
    command,
  })
  .map(
    (d): Section => ({
      motor: {
        resistance: `${d.resistance} ohm`,
        inductance: `${d.resistance * d.timeConstant} H`,
        torque_constant: `${d.torqueConstant} N m/A`,
        inertia: `${d.inertia} kg m2`,
        friction_torque: `${d.friction} N m`,
        damping: `${d.damping} N m s/rad`,
        winding_heat_capacity: "20 J/K",
        case_heat_capacity: "180 J/K",
        winding_to_case: "1.5 K/W",
        case_to_ambient: "5 K/W",
      },
      stages: d.stages,
      supply: {
        open_circuit_voltage: `${d.voltage} V`,
        resistance: `${d.battery} ohm`,
        cable_resistance: `${d.cable} ohm`,
      },
      driver: { current_limit: `${d.limit} A`, dead_time: `${d.deadTime} s` },
      position_sensor: { resolution: "0.1 deg" },
      command: d.command,
      stop_restitution: `${d.restitution}`,
    }),
  );

const dutySection = fc
  .record({
    liquid: fc.option(fc.constantFrom(...liquids), { freq: 4, nil: undefined }),
    place: number(0, 1),
    supply: decades(6e5, 6e6),
    back: number(0, 1.1),
    outlet: fc.constantFrom("flowing", "flowing", "dead-ended"),
    motor: number(250, 330),
    gearbox: number(230, 300),
    dwell: orZero(decades(1, 1e5)),
    flow: decades(0.05, 30),
    open: number(0.1, 3),
    close: number(0.1, 3),
  })
  .map((c): { readonly duty: Section; readonly line: Section } => {
    const T = c.liquid === undefined ? 293 : c.liquid.low + c.place * (c.liquid.high - c.liquid.low);
    return {
      duty: {
        fluid: c.liquid?.fluid ?? "none",
        ...(c.liquid === undefined
          ? {}
          : {
              fluid_temperature: `${T} K`,
              supply_pressure: `${c.supply} Pa(a)`,
              back_pressure: `${Math.max(c.back * c.supply, 1e5)} Pa(a)`,
              outlet: c.outlet,
            }),
        valve_temperature: `${T} K`,
        motor_temperature: `${c.motor} K`,
        gearbox_temperature: `${c.gearbox} K`,
        dwell: `${c.dwell} s`,
        mass_flow: `${c.flow} kg/s`,
        largest_valve_drop: "0.8 bar",
        throttle: { lowest: "45 %", step: "2 %" },
        open_within: { time: `${c.open} s`, definition: "command-to-end" },
        close_within: { time: `${c.close} s`, definition: "command-to-end" },
        cycles: { period: "20 s", count: "10", stall_hold: "0.3 s" },
      },
      line: {
        upstream: { drop: `${0.04 * c.supply} Pa`, at: `${c.flow} kg/s` },
        downstream: { drop: `${0.3 * c.supply} Pa`, at: `${c.flow} kg/s` },
      },
    };
  });

/** A whole valve file; what the shipped defaults fill is left to them now and then. */
export const randomValve: fc.Arbitrary<Section> = fc
  .record({ conditions: dutySection, valve: valveSection, drive: driveSection })
  .map(({ conditions: { duty, line }, valve, drive }) => ({
    coldturn: 1,
    name: "Petrel",
    duty,
    line,
    valve,
    drive,
  }));
