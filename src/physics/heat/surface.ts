/**
 * Heat that air gives to the outside of a cold part: convection, radiation, and the moisture it sets down;
 * and through a layer of insulation and frost to the metal below.
 *
 *   q = h (T_a - T_s) + eps sigma (T_a^4 - T_s^4) + h / (rho c_p Le^(2/3)) (e - e_sat(T_s)) / (R_v T) L
 *
 * The last term stands where moisture settles, above 0 degC from the dew point, below it from the frost point; L is the heat of condensation above 0 degC, that
 * of sublimation from 5 K below. Frost lies where its outside stays below 0 degC: as thick as declared, thinner
 * where it would melt (docs/theory/heat.md, "Frost").
 * Source  [incropera-2007, sections 3.3 and 6.7.2]; from memory
 */
import {
  type Conductivity,
  type Length,
  type Pressure,
  stefanBoltzmann,
  type Temperature,
  zeroCelsius,
} from "../../quantity/index.js";
import { airAt, airSpecificHeat } from "./air.js";
import { airCoefficient, type CylinderInAir } from "./convection.js";
import { saturationOn, saturationOverWater, settlingPoint, vapourDensity } from "./humidity.js";

/** The surroundings of a part. */
export interface Surroundings extends CylinderInAir {
  readonly ambient: Temperature;
  readonly dewPoint: Temperature;
  readonly emissivity: number;
  /** Factor on the coefficient of the correlation, 1 as it stands [-]. */
  readonly coefficientFactor: number;
}

/** Heat of condensation and of sublimation of water near 0 degC [J/kg]. Source [wagner-pruss-2002]; rounded. */
const condensation = 2.501e6;
const sublimation = 2.834e6;
/** Moisture settles as undercooled drops and as ice by turns down to so far below 0 degC; estimate [K]. */
const undercooled = 5;
/** Lewis number of moisture in air, to the power 2/3 [-]. Source [incropera-2007, table A.8]; from memory. */
const lewisPower = 0.9;

/**
 * Heat to a surface per area.
 * @param diameter of the surface [m];  @param T_s of the surface [K];  @returns [W/m2], negative outwards
 */
export function surfaceFlux(around: Surroundings, diameter: Length, T_s: Temperature): number {
  const { ambient: T_a, dewPoint, emissivity, coefficientFactor, pressure } = around;
  const h = coefficientFactor * airCoefficient(around, diameter, T_s, T_a);
  const convection = h * (T_a - T_s);
  const [a2, s2] = [T_a * T_a, T_s * T_s];
  const radiation = emissivity * stefanBoltzmann.value * (a2 * a2 - s2 * s2);
  const excess = saturationOverWater(dewPoint) - saturationOn(T_s);
  if (excess <= 0) return convection + radiation;
  const film = (0.5 * (T_a + T_s)) as Temperature;
  const transfer = h / (airAt(film, pressure).density * airSpecificHeat * lewisPower);
  const ice = Math.min(Math.max((zeroCelsius.value - T_s) / undercooled, 0), 1);
  const latent = condensation + ice * (sublimation - condensation);
  return convection + radiation + transfer * vapourDensity(excess as Pressure, film) * latent;
}

/** What lies on the metal. */
export interface Layers {
  /** Thickness 0 for bare metal [m]. */
  readonly insulationThickness: Length;
  readonly insulationConductivity: Conductivity;
  readonly frostThickness: Length;
  readonly frostConductivity: Conductivity;
}

/** Heat per length of a tube and temperature of its outside, over the temperature of its metal. */
export class LayeredTube {
  private constructor(
    private readonly metal: Float64Array,
    private readonly heat: Float64Array,
    private readonly outside: Float64Array,
  ) {}

  /**
   * Tabulates outwards: from each temperature of the outside follows the heat, from that the metal's.
   * @param radius of the metal's outside [m];  @param coldest, warmest  temperatures of the metal [K]
   */
  static of(
    around: Surroundings,
    radius: Length,
    layers: Layers,
    coldest: number,
    warmest: number,
  ): LayeredTube {
    const { insulationThickness, insulationConductivity, frostThickness, frostConductivity } = layers;
    const base = radius + insulationThickness;
    const insulation =
      insulationThickness > 0 ? Math.log(base / radius) / (2 * Math.PI * insulationConductivity) : 0;
    const melts = Math.min(zeroCelsius.value, settlingPoint(around.dewPoint), around.ambient);
    const rows: { metal: number; heat: number; outside: number }[] = [];
    const add = (outside: number, thickness: number) => {
      const r = base + thickness;
      const heat = 2 * Math.PI * r * surfaceFlux(around, (2 * r) as Length, outside as Temperature);
      const frost = thickness > 0 ? Math.log(r / base) / (2 * Math.PI * frostConductivity) : 0;
      rows.push({ outside, heat, metal: outside - heat * (insulation + frost) });
    };
    const low = Math.min(coldest, warmest, around.ambient);
    const high = Math.max(coldest, warmest, around.ambient) + beyond;
    if (low < melts) {
      for (const share of spread(coldPoints)) add(low + (melts - low) * share, frostThickness);
      for (const share of spread(thinPoints)) add(melts, frostThickness * (1 - share));
    }
    const from = Math.max(low, melts);
    for (const share of spread(warmPoints)) add(from + (high - from) * share, 0);
    const rising = rows.filter(({ metal }, j) => rows.slice(0, j).every((row) => row.metal < metal));
    return new LayeredTube(
      Float64Array.from(rising, (row) => row.metal),
      Float64Array.from(rising, (row) => row.heat),
      Float64Array.from(rising, (row) => row.outside),
    );
  }

  /** Index of the straight piece in which a temperature of the metal lies; the end ones reach on. */
  private piece(T: number): number {
    const { metal } = this;
    let low = 0;
    let high = metal.length - 2;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((metal[middle] ?? 0) <= T) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  private at(column: Float64Array, T: number): { readonly value: number; readonly slope: number } {
    const j = this.piece(T);
    const x0 = this.metal[j] ?? 0;
    const y0 = column[j] ?? 0;
    const slope = ((column[j + 1] ?? 0) - y0) / ((this.metal[j + 1] ?? 0) - x0);
    return { value: y0 + slope * (T - x0), slope };
  }

  /** Heat to the metal per length [W/m] and its slope [W/(m K)], not above zero. */
  heatAt(T: number): { readonly value: number; readonly slope: number } {
    return this.at(this.heat, T);
  }

  /** Temperature of the outside over metal of a temperature [K]. */
  outsideAt(T: number): number {
    return this.at(this.outside, T).value;
  }
}

/** Points of the table: below the melting point, where frost thins, above; and how far beyond the warmest [K]. */
const coldPoints = 14;
const thinPoints = 3;
const warmPoints = 8;
const beyond = 1;

function spread(points: number): readonly number[] {
  return Array.from({ length: points }, (_, j) => j / (points - 1));
}
