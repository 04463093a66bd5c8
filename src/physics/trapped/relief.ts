/**
 * Sizes of relief devices by the published equations, in coherent SI. The standards write them with
 * constants of their units (38, 11.78, 520, 0.03948, 3.948, 1.61); what those stand for is the flow of
 * an ideal nozzle, times coefficients:
 *
 *   liquid  A = Q / (Kd Kw Kc Kv) sqrt(rho / (2 (p1 - p2)))            [api-520-1-2014, 5.8]
 *   gas     A = W / (Kd Kb Kc p1 c) sqrt(Z R T / M)                    [api-520-1-2014, 5.6]
 *           c = sqrt(k (2/(k+1))^((k+1)/(k-1))) at critical flow, else
 *           c = sqrt(2 k/(k-1) (r^(2/k) - r^((k+1)/k))),  r = p2/p1
 *
 * [iso-4126-1-2013] has the same nozzle and the coefficient of the certificate lowered by a tenth, Kdr = 0.9 Kd.
 * The equations are from memory; the worked examples of the standard are reproduced by the tests.
 */
import type {
  Area,
  MassFlow,
  Power,
  Pressure,
  SpecificEnergy,
  Temperature,
  VolumeFlow,
} from "../../quantity/index.js";

/** Coefficients of a relief device; those left out are 1. */
export interface ReliefCoefficients {
  /** Discharge coefficient Kd [-]. */
  readonly Kd: number;
  /** Back-pressure correction of a balanced bellows: Kw for liquid, Kb for gas [-]. */
  readonly backPressure?: number;
  /** A bursting disc upstream, 0.9 unless it was tested together [-]. */
  readonly Kc?: number;
  /** Viscosity [-]. */
  readonly Kv?: number;
}

/** Share of the coefficient of the certificate that ISO 4126 lets count [-]. */
export const isoDerating = 0.9;

/**
 * Orifice area for a liquid.
 * @param Q    volume flow [m3/s];  @param rho  density [kg/m3]
 * @param p1   relieving pressure [Pa];  @param p2  back pressure, below it [Pa]
 */
export function liquidReliefArea(
  Q: VolumeFlow,
  rho: number,
  p1: Pressure,
  p2: Pressure,
  { Kd, backPressure = 1, Kc = 1, Kv = 1 }: ReliefCoefficients,
): Area {
  return ((Q / (Kd * backPressure * Kc * Kv)) * Math.sqrt(rho / (2 * (p1 - p2)))) as Area;
}

/** A gas at the inlet of a relief device. */
export interface ReliefGas {
  /** Relieving pressure and back pressure [Pa]. */
  readonly p1: Pressure;
  readonly p2: Pressure;
  readonly T: Temperature;
  /** Specific gas constant R/M [J/(kg K)]. */
  readonly specificGasConstant: number;
  /** Compressibility at the inlet [-]. */
  readonly Z: number;
  /** Ratio of the ideal gas's specific heats, > 1 [-]. */
  readonly k: number;
}

/** Flow function c of an ideal nozzle, critical or below it; its argument is p2/p1 [-]. */
export function nozzleFunction(k: number, r: number): number {
  const critical = (2 / (k + 1)) ** (k / (k - 1));
  if (r <= critical) return Math.sqrt(k * (2 / (k + 1)) ** ((k + 1) / (k - 1)));
  return Math.sqrt(((2 * k) / (k - 1)) * (r ** (2 / k) - r ** ((k + 1) / k)));
}

/** Orifice area for a gas or vapour. @param W  mass flow [kg/s] */
export function gasReliefArea(
  W: MassFlow,
  gas: ReliefGas,
  { Kd, backPressure = 1, Kc = 1 }: ReliefCoefficients,
): Area {
  const { p1, p2, T, specificGasConstant, Z, k } = gas;
  const flux = (p1 * nozzleFunction(k, p2 / p1)) / Math.sqrt(Z * specificGasConstant * T);
  return (W / (Kd * backPressure * Kc * flux)) as Area;
}

/** Thermal expansion of a liquid that is full, Q = beta q / (rho cp) [m3/s]. Source [api-521-2014, hydraulic expansion]. */
export function expansionFlow(q: Power, beta: number, rho: number, cp: number): VolumeFlow {
  return ((beta * q) / (rho * cp)) as VolumeFlow;
}

/** Vapour that heat boils off, W = q / h_fg [kg/s]. */
export function boilOff(q: Power, latentHeat: SpecificEnergy): MassFlow {
  return (q / latentHeat) as MassFlow;
}
