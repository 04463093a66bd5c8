/**
 * The physical dimensions a dossier field can have: how each is spoken of, in which units it is
 * printed, and which products of base units it accepts.
 */

/**
 * Exponents of the base units. The radian counts as one here, so that `N m/rad` and `N m` are told
 * apart and `1/s` cannot pass for an angular speed.
 */
export type Exponents = readonly [m: number, kg: number, s: number, K: number, A: number, rad: number];

const none: Exponents = [0, 0, 0, 0, 0, 0];

/** Record of one dimension. */
export interface DimensionRecord {
  /** With its article, as in "5 mm is not a torque". */
  readonly words: string;
  /** Coherent SI unit, in the notation of the parser; empty for a bare number. */
  readonly si: string;
  /** Accepted exponents; the first is the plain one. */
  readonly exponents: readonly Exponents[];
  /** Exponents whose reciprocal is meant, as rpm/V for N m/A. */
  readonly reciprocal?: readonly Exponents[];
  /** A value to show in "Write ...". */
  readonly example: string;
  /** Units for printing: the first whose `below` [SI] exceeds the magnitude. */
  readonly display: readonly { readonly unit: string; readonly below: number }[];
  /** What physics alone forbids, SI. */
  readonly least?: { readonly value: number; readonly exclusive: boolean; readonly because: string };
}

function always(unit: string): DimensionRecord["display"] {
  return [{ unit, below: Number.POSITIVE_INFINITY }];
}

function steps(
  ...list: readonly (readonly [unit: string, below: number])[]
): readonly { readonly unit: string; readonly below: number }[] {
  return list.map(([unit, below]) => ({ unit, below }));
}

const infinity = Number.POSITIVE_INFINITY;

/** Every dimension, by its name. */
export const dimensions = {
  pressure: {
    words: "an absolute pressure",
    si: "Pa(a)",
    exponents: [[-1, 1, -2, 0, 0, 0]],
    example: "28 bar(a)",
    display: steps(["Pa(a)", 100], ["mbar(a)", 1e4], ["bar(a)", infinity]),
    least: { value: 0, exclusive: false, because: "an absolute pressure counts from vacuum" },
  },
  "pressure difference": {
    words: "a pressure difference",
    si: "Pa",
    exponents: [[-1, 1, -2, 0, 0, 0]],
    example: "0.5 bar",
    display: steps(["Pa", 100], ["mbar", 1e4], ["bar", infinity]),
  },
  stress: {
    words: "a stress or modulus",
    si: "Pa",
    exponents: [[-1, 1, -2, 0, 0, 0]],
    example: "25 MPa",
    display: steps(["kPa", 1e5], ["MPa", 1e10], ["GPa", infinity]),
  },
  "fracture toughness": {
    words: "a fracture toughness",
    si: "Pa√m",
    exponents: [[-0.5, 1, -2, 0, 0, 0]],
    example: "100 MPa√m",
    display: always("MPa√m"),
  },
  temperature: {
    words: "a temperature",
    si: "K",
    exponents: [[0, 0, 0, 1, 0, 0]],
    example: "90 K",
    display: always("K"),
    least: {
      value: 0,
      exclusive: true,
      because: "no temperature reaches absolute zero, 0 K or -273.15 degC",
    },
  },
  "temperature difference": {
    words: "a temperature difference",
    si: "K",
    exponents: [[0, 0, 0, 1, 0, 0]],
    example: "5 K",
    display: always("K"),
  },
  angle: {
    words: "an angle",
    si: "rad",
    exponents: [[0, 0, 0, 0, 0, 1]],
    example: "90 deg",
    display: always("deg"),
  },
  "angular speed": {
    words: "an angular speed",
    si: "rad/s",
    exponents: [[0, 0, -1, 0, 0, 1]],
    example: "3000 rpm",
    display: steps(["deg/s", 10], ["rpm", infinity]),
  },
  "angular acceleration": {
    words: "an angular acceleration",
    si: "rad/s2",
    exponents: [[0, 0, -2, 0, 0, 1]],
    example: "400 rad/s2",
    display: always("rad/s2"),
  },
  "angular jerk": {
    words: "an angular jerk",
    si: "rad/s3",
    exponents: [[0, 0, -3, 0, 0, 1]],
    example: "5000 rad/s3",
    display: always("rad/s3"),
  },
  length: {
    words: "a length",
    si: "m",
    exponents: [[1, 0, 0, 0, 0, 0]],
    example: "32 mm",
    display: steps(["µm", 1e-4], ["mm", 1], ["m", infinity]),
  },
  area: {
    words: "an area",
    si: "m2",
    exponents: [[2, 0, 0, 0, 0, 0]],
    example: "804 mm2",
    display: steps(["mm2", 0.01], ["m2", infinity]),
  },
  volume: {
    words: "a volume",
    si: "m3",
    exponents: [[3, 0, 0, 0, 0, 0]],
    example: "12 cm3",
    display: steps(["cm3", 1e-3], ["L", 1], ["m3", infinity]),
  },
  mass: {
    words: "a mass",
    si: "kg",
    exponents: [[0, 1, 0, 0, 0, 0]],
    example: "1.4 kg",
    display: steps(["g", 0.1], ["kg", infinity]),
  },
  time: {
    words: "a time",
    si: "s",
    exponents: [[0, 0, 1, 0, 0, 0]],
    example: "800 ms",
    display: steps(["µs", 1e-4], ["ms", 1], ["s", 600], ["min", 7200], ["h", infinity]),
  },
  frequency: {
    words: "a frequency",
    si: "Hz",
    exponents: [[0, 0, -1, 0, 0, 0]],
    example: "1000 Hz",
    display: steps(["Hz", 1e4], ["kHz", infinity]),
  },
  rate: {
    words: "a rate per second",
    si: "1/s",
    exponents: [[0, 0, -1, 0, 0, 0]],
    example: "50 1/s",
    display: always("1/s"),
  },
  speed: {
    words: "a speed",
    si: "m/s",
    exponents: [[1, 0, -1, 0, 0, 0]],
    example: "5.5 m/s",
    display: always("m/s"),
  },
  force: {
    words: "a force",
    si: "N",
    exponents: [[1, 1, -2, 0, 0, 0]],
    example: "500 N",
    display: steps(["N", 1e4], ["kN", infinity]),
  },
  stiffness: {
    words: "a stiffness, force per length",
    si: "N/m",
    exponents: [[0, 1, -2, 0, 0, 0]],
    example: "80 N/mm",
    display: steps(["N/m", 1000], ["N/mm", infinity]),
  },
  torque: {
    words: "a torque",
    si: "N m",
    exponents: [[2, 1, -2, 0, 0, 0]],
    example: "12 N m",
    display: steps(["mN m", 0.1], ["N m", 1e4], ["kN m", infinity]),
  },
  energy: {
    words: "an energy",
    si: "J",
    exponents: [[2, 1, -2, 0, 0, 0]],
    example: "25 J",
    display: steps(["mJ", 0.1], ["J", 1e4], ["kJ", infinity]),
  },
  power: {
    words: "a power",
    si: "W",
    exponents: [[2, 1, -3, 0, 0, 0]],
    example: "150 W",
    display: steps(["mW", 0.1], ["W", 1e4], ["kW", infinity]),
  },
  inertia: {
    words: "a moment of inertia",
    si: "kg m2",
    exponents: [[2, 1, 0, 0, 0, 0]],
    example: "65 g cm2",
    display: steps(["g cm2", 1e-4], ["kg m2", infinity]),
  },
  "angular stiffness": {
    words: "an angular stiffness",
    si: "N m/rad",
    exponents: [[2, 1, -2, 0, 0, -1]],
    example: "900 N m/rad",
    display: always("N m/rad"),
  },
  "angular damping": {
    words: "an angular damping",
    si: "N m s/rad",
    // Data sheets leave out the radian here; the number is the same.
    exponents: [
      [2, 1, -1, 0, 0, -1],
      [2, 1, -1, 0, 0, 0],
    ],
    example: "0.02 N m s/rad",
    display: steps(["µN m s/rad", 1e-3], ["mN m s/rad", 1], ["N m s/rad", infinity]),
  },
  density: {
    words: "a density",
    si: "kg/m3",
    exponents: [[-3, 1, 0, 0, 0, 0]],
    example: "1141 kg/m3",
    display: always("kg/m3"),
  },
  "mass flow": {
    words: "a mass flow",
    si: "kg/s",
    exponents: [[0, 1, -1, 0, 0, 0]],
    example: "3.8 kg/s",
    display: steps(["mg/s", 1e-4], ["g/s", 0.1], ["kg/s", infinity]),
  },
  "volume flow": {
    words: "a volume flow",
    si: "m3/s",
    exponents: [[3, 0, -1, 0, 0, 0]],
    example: "25 L/s",
    display: steps(["mL/s", 1e-4], ["L/s", 1], ["m3/s", infinity]),
  },
  viscosity: {
    words: "a viscosity",
    si: "Pa s",
    exponents: [[-1, 1, -1, 0, 0, 0]],
    example: "0.19 mPa s",
    display: steps(["µPa s", 1e-4], ["mPa s", 1], ["Pa s", infinity]),
  },
  "kinematic viscosity": {
    words: "a kinematic viscosity",
    si: "m2/s",
    exponents: [[2, 0, -1, 0, 0, 0]],
    example: "0.17 mm2/s",
    display: steps(["mm2/s", 0.01], ["m2/s", infinity]),
  },
  voltage: {
    words: "a voltage",
    si: "V",
    exponents: [[2, 1, -3, 0, -1, 0]],
    example: "24 V",
    display: steps(["mV", 0.1], ["V", 1e4], ["kV", infinity]),
  },
  current: {
    words: "a current",
    si: "A",
    exponents: [[0, 0, 0, 0, 1, 0]],
    example: "6 A",
    display: steps(["mA", 0.1], ["A", infinity]),
  },
  resistance: {
    words: "a resistance",
    si: "ohm",
    exponents: [[2, 1, -3, 0, -2, 0]],
    example: "0.6 ohm",
    display: steps(["mohm", 0.1], ["ohm", 1e4], ["kohm", infinity]),
  },
  inductance: {
    words: "an inductance",
    si: "H",
    exponents: [[2, 1, -2, 0, -2, 0]],
    example: "0.3 mH",
    display: steps(["µH", 1e-3], ["mH", 1], ["H", infinity]),
  },
  "torque constant": {
    words: "a torque constant",
    si: "N m/A",
    // N m/A and V s/rad are the same number, by conservation of energy in the motor.
    exponents: [
      [2, 1, -2, 0, -1, 0],
      [2, 1, -2, 0, -1, -1],
    ],
    reciprocal: [
      [-2, -1, 2, 0, 1, 0],
      [-2, -1, 2, 0, 1, 1],
    ],
    example: "42 mN m/A",
    display: steps(["mN m/A", 1], ["N m/A", infinity]),
  },
  "flow coefficient": {
    words: "a flow coefficient",
    si: "m2",
    exponents: [[2, 0, 0, 0, 0, 0]],
    example: "40 Kv",
    display: always("Kv"),
  },
  "heat capacity": {
    words: "a heat capacity",
    si: "J/K",
    exponents: [[2, 1, -2, -1, 0, 0]],
    example: "120 J/K",
    display: always("J/K"),
  },
  "specific energy": {
    words: "a specific energy or enthalpy",
    si: "J/kg",
    exponents: [[2, 0, -2, 0, 0, 0]],
    example: "213 kJ/kg",
    display: steps(["J/kg", 1000], ["kJ/kg", infinity]),
  },
  "specific heat": {
    words: "a specific heat",
    si: "J/(kg K)",
    exponents: [[2, 0, -2, -1, 0, 0]],
    example: "1700 J/(kg K)",
    display: always("J/(kg K)"),
  },
  "mass per area": {
    words: "a mass per area",
    si: "kg/m2",
    exponents: [[-2, 1, 0, 0, 0, 0]],
    example: "100 mg/m2",
    display: steps(["mg/m2", 1e-3], ["g/m2", 1], ["kg/m2", infinity]),
  },
  "heat flux": {
    words: "a power per area",
    si: "W/m2",
    exponents: [[0, 1, -3, 0, 0, 0]],
    example: "0.5 MW/m2",
    display: steps(["W/m2", 1000], ["kW/m2", 1e6], ["MW/m2", infinity]),
  },
  conductivity: {
    words: "a thermal conductivity",
    si: "W/(m K)",
    exponents: [[1, 1, -3, -1, 0, 0]],
    example: "0.25 W/(m K)",
    display: always("W/(m K)"),
  },
  "thermal resistance": {
    words: "a thermal resistance",
    si: "K/W",
    exponents: [[-2, -1, 3, 1, 0, 0]],
    example: "4.5 K/W",
    display: always("K/W"),
  },
  "temperature coefficient": {
    words: "a temperature coefficient",
    si: "1/K",
    exponents: [[0, 0, 0, -1, 0, 0]],
    example: "0.0039 1/K",
    display: always("1/K"),
  },
  ratio: {
    words: "a ratio",
    si: "",
    exponents: [none],
    example: "0.78",
    display: always(""),
  },
  number: {
    words: "a plain number",
    si: "",
    exponents: [none],
    example: "4",
    display: always(""),
  },
} as const satisfies Record<string, DimensionRecord>;

/** Name of a dimension. */
export type Dimension = keyof typeof dimensions;

/**
 * The record of a dimension.
 * @returns how it is spoken of, which units it takes, how it is printed
 */
export function dimensionRecord(dimension: Dimension): DimensionRecord {
  return dimensions[dimension];
}

/** The plain exponents of a dimension. */
export function exponentsOf(dimension: Dimension): Exponents {
  return dimensionRecord(dimension).exponents[0] ?? none;
}
