/**
 * The table of units, as data. Compound units (N m/rad, kg cm2, lbf/in2) need no row: the grammar in
 * unit.ts builds them from these. Factors are exact by definition unless the row says otherwise.
 * Source of all rows [nist-sp811-2008, appendix B.8 and table 8] unless the row names another.
 */
import { referenceWaterDensity, standardAtmosphere, standardGravity, zeroCelsius } from "./constants.js";
import type { Dimension } from "./dimension.js";

/** One unit: SI value = number * factor + offset. */
export interface UnitRow {
  readonly symbol: string;
  readonly aliases: readonly string[];
  /** The dimension whose first exponents the unit has. */
  readonly dimension: Dimension;
  readonly factor: number;
  /** Zero of the scale in SI, for temperature scales. */
  readonly offset?: number;
  /** SI prefixes in use with it, as a string of letters. */
  readonly prefixes?: string;
  /** The only dimensions that a lone unit may stand for, where exponents alone would let in others. */
  readonly only?: readonly Dimension[];
  /** True for a unit that takes no part in products and quotients. */
  readonly alone?: true;
  /** True for a pressure unit, which may carry (a) or (g). */
  readonly takesReference?: true;
  /** Symbol of the force unit that a mass unit stands for in everyday torques and forces. */
  readonly spokenForce?: string;
  /** Source, where it is not the one in the header. */
  readonly reference?: string;
}

/** SI prefixes: letter and power of ten. Micro is also typed as u. */
export const prefixes: readonly { readonly letter: string; readonly factor: number }[] = [
  { letter: "n", factor: 1e-9 },
  { letter: "µ", factor: 1e-6 },
  { letter: "u", factor: 1e-6 },
  { letter: "m", factor: 1e-3 },
  { letter: "c", factor: 1e-2 },
  { letter: "d", factor: 1e-1 },
  { letter: "h", factor: 1e2 },
  { letter: "k", factor: 1e3 },
  { letter: "M", factor: 1e6 },
  { letter: "G", factor: 1e9 },
];

const g = standardGravity.value;
const inch = 0.0254;
const foot = 0.3048;
const pound = 0.453_592_37;
const ounce = pound / 16;
const litre = 1e-3;
const gallon = 231 * inch ** 3;
const poundForce = pound * g;
const psi = poundForce / inch ** 2;
const revolution = 2 * Math.PI;
const minute = 60;
const hour = 3600;
const rankine = 5 / 9;
/** Pascals under one metre of conventional water (1000 kg/m3, standard gravity). */
const metreOfWater = 1000 * g;
/** Pascals under one metre of conventional mercury (13595.1 kg/m3, standard gravity). */
const metreOfMercury = 13_595.1 * g;
/** Kv = 1 is 1 m3/h of water at a drop of 1 bar: C = Kv/3600 sqrt(rho0/1e5), Q = C sqrt(dp/rho). */
const kv = (1 / hour) * Math.sqrt(referenceWaterDensity.value / 1e5);
/** Rounded factor of the sizing standard; from gpm and psi it is 0.86498. */
const kvPerCv = 0.865;

export const units: readonly UnitRow[] = [
  { symbol: "m", aliases: ["metre", "meter"], dimension: "length", factor: 1, prefixes: "nµumcdk" },
  { symbol: "in", aliases: ["inch", "inches", '"'], dimension: "length", factor: inch, prefixes: "µu" },
  { symbol: "ft", aliases: ["foot", "feet"], dimension: "length", factor: foot },
  { symbol: "mil", aliases: ["mils", "thou"], dimension: "length", factor: inch / 1000 },
  {
    symbol: "L",
    aliases: ["l", "litre", "liter", "litres", "liters"],
    dimension: "volume",
    factor: litre,
    prefixes: "µumcd",
  },
  { symbol: "gal", aliases: ["US gal", "gallon", "gallons"], dimension: "volume", factor: gallon },
  { symbol: "g", aliases: ["gram", "grams"], dimension: "mass", factor: 1e-3, prefixes: "µumk" },
  { symbol: "t", aliases: ["tonne"], dimension: "mass", factor: 1000 },
  { symbol: "lb", aliases: ["lbm", "lbs"], dimension: "mass", factor: pound, spokenForce: "lbf" },
  { symbol: "oz", aliases: ["ozm"], dimension: "mass", factor: ounce, spokenForce: "ozf" },
  { symbol: "slug", aliases: ["slugs"], dimension: "mass", factor: poundForce / foot },
  {
    symbol: "s",
    aliases: ["sec", "second", "seconds"],
    dimension: "time",
    factor: 1,
    prefixes: "nµum",
  },
  { symbol: "min", aliases: ["minute", "minutes"], dimension: "time", factor: minute },
  { symbol: "h", aliases: ["hr", "hour", "hours"], dimension: "time", factor: hour },
  { symbol: "day", aliases: ["days"], dimension: "time", factor: 24 * hour },
  {
    // Alone, because V/Hz would pass for V s, which is a V s/rad: wrong by 2 pi.
    symbol: "Hz",
    aliases: ["hertz"],
    dimension: "frequency",
    factor: 1,
    prefixes: "mkMG",
    only: ["frequency"],
    alone: true,
  },
  { symbol: "N", aliases: ["newton"], dimension: "force", factor: 1, prefixes: "µumkM" },
  { symbol: "daN", aliases: [], dimension: "force", factor: 10 },
  { symbol: "lbf", aliases: [], dimension: "force", factor: poundForce, prefixes: "k" },
  { symbol: "ozf", aliases: [], dimension: "force", factor: poundForce / 16 },
  { symbol: "kgf", aliases: ["kp"], dimension: "force", factor: g },
  { symbol: "gf", aliases: [], dimension: "force", factor: g / 1000 },
  {
    symbol: "Nm",
    aliases: [],
    dimension: "torque",
    factor: 1,
    prefixes: "µumkM",
    only: ["torque", "energy"],
  },
  { symbol: "Ncm", aliases: [], dimension: "torque", factor: 0.01, only: ["torque"] },
  { symbol: "Nmm", aliases: [], dimension: "torque", factor: 1e-3, only: ["torque"] },
  { symbol: "J", aliases: ["joule"], dimension: "energy", factor: 1, prefixes: "µumkM", only: ["energy"] },
  { symbol: "Wh", aliases: [], dimension: "energy", factor: hour, prefixes: "mk", only: ["energy"] },
  { symbol: "Btu", aliases: ["BTU"], dimension: "energy", factor: 1055.055_852_62, only: ["energy"] },
  { symbol: "W", aliases: ["watt", "watts"], dimension: "power", factor: 1, prefixes: "µumkM" },
  { symbol: "hp", aliases: [], dimension: "power", factor: 550 * foot * poundForce },
  { symbol: "Pa", aliases: [], dimension: "pressure", factor: 1, prefixes: "µumhkMG", takesReference: true },
  // Half powers are no part of the grammar: whole names stand for them.
  {
    symbol: "Pa√m",
    aliases: ["Pa sqrt(m)", "Pa m^0.5"],
    dimension: "fracture toughness",
    factor: 1,
    alone: true,
  },
  {
    symbol: "MPa√m",
    aliases: ["MPa sqrt(m)", "MPa m^0.5", "MPa m^1/2"],
    dimension: "fracture toughness",
    factor: 1e6,
    alone: true,
  },
  {
    symbol: "ksi√in",
    aliases: ["ksi sqrt(in)", "ksi in^0.5"],
    dimension: "fracture toughness",
    factor: 1000 * psi * Math.sqrt(inch),
    alone: true,
  },
  { symbol: "bar", aliases: [], dimension: "pressure", factor: 1e5, prefixes: "µum", takesReference: true },
  {
    symbol: "psi",
    aliases: ["PSI"],
    dimension: "pressure",
    factor: psi,
    prefixes: "k",
    takesReference: true,
  },
  { symbol: "ksi", aliases: [], dimension: "pressure", factor: 1000 * psi, takesReference: true },
  {
    symbol: "atm",
    aliases: [],
    dimension: "pressure",
    factor: standardAtmosphere.value,
    takesReference: true,
  },
  {
    symbol: "Torr",
    aliases: ["torr"],
    dimension: "pressure",
    factor: standardAtmosphere.value / 760,
    prefixes: "m",
    takesReference: true,
  },
  { symbol: "mmHg", aliases: [], dimension: "pressure", factor: metreOfMercury / 1000, takesReference: true },
  { symbol: "inHg", aliases: [], dimension: "pressure", factor: metreOfMercury * inch, takesReference: true },
  { symbol: "mmH2O", aliases: [], dimension: "pressure", factor: metreOfWater / 1000, takesReference: true },
  { symbol: "inH2O", aliases: [], dimension: "pressure", factor: metreOfWater * inch, takesReference: true },
  { symbol: "K", aliases: ["kelvin", "Kelvin"], dimension: "temperature", factor: 1, prefixes: "m" },
  {
    symbol: "degC",
    aliases: ["°C", "℃", "deg C", "celsius", "Celsius"],
    dimension: "temperature",
    factor: 1,
    offset: zeroCelsius.value,
  },
  {
    symbol: "degF",
    aliases: ["°F", "℉", "deg F", "fahrenheit", "Fahrenheit"],
    dimension: "temperature",
    factor: rankine,
    offset: zeroCelsius.value - 32 * rankine,
  },
  { symbol: "degR", aliases: ["°R", "deg R"], dimension: "temperature", factor: rankine },
  { symbol: "rad", aliases: ["radian", "radians"], dimension: "angle", factor: 1, prefixes: "µum" },
  {
    symbol: "deg",
    aliases: ["°", "degree", "degrees"],
    dimension: "angle",
    factor: revolution / 360,
    prefixes: "m",
  },
  {
    symbol: "arcmin",
    aliases: ["′", "'", "moa"],
    dimension: "angle",
    factor: revolution / 360 / 60,
  },
  { symbol: "arcsec", aliases: ["″"], dimension: "angle", factor: revolution / 360 / 3600 },
  {
    symbol: "rev",
    aliases: ["revolution", "revolutions", "turn", "turns"],
    dimension: "angle",
    factor: revolution,
  },
  {
    symbol: "rpm",
    aliases: ["RPM", "r/min", "U/min", "1/min", "min-1", "min^-1", "min⁻¹"],
    dimension: "angular speed",
    factor: revolution / minute,
    prefixes: "k",
  },
  { symbol: "gpm", aliases: ["GPM"], dimension: "volume flow", factor: gallon / minute },
  { symbol: "lpm", aliases: ["LPM"], dimension: "volume flow", factor: litre / minute },
  { symbol: "P", aliases: ["poise"], dimension: "viscosity", factor: 0.1, prefixes: "mc" },
  { symbol: "St", aliases: ["stokes"], dimension: "kinematic viscosity", factor: 1e-4, prefixes: "mc" },
  { symbol: "V", aliases: ["volt", "volts"], dimension: "voltage", factor: 1, prefixes: "µumk" },
  { symbol: "A", aliases: ["amp", "amps", "ampere"], dimension: "current", factor: 1, prefixes: "nµumk" },
  {
    symbol: "ohm",
    aliases: ["Ohm", "ohms", "Ohms", "Ω"],
    dimension: "resistance",
    factor: 1,
    prefixes: "µumkM",
  },
  { symbol: "H", aliases: ["henry"], dimension: "inductance", factor: 1, prefixes: "nµum" },
  {
    symbol: "Kv",
    aliases: [],
    dimension: "flow coefficient",
    factor: kv,
    only: ["flow coefficient"],
    alone: true,
    reference: "iec60534-2-1, eq. 1 with N1 = 1",
  },
  {
    symbol: "Cv",
    aliases: [],
    dimension: "flow coefficient",
    factor: kvPerCv * kv,
    only: ["flow coefficient"],
    alone: true,
    reference: "iec60534-2-1, table 1, N1 = 0.865",
  },
  { symbol: "%", aliases: ["percent", "per cent", "pct"], dimension: "ratio", factor: 0.01, only: ["ratio"] },
  { symbol: "ppm", aliases: [], dimension: "ratio", factor: 1e-6 },
];
