/**
 * Pressure and its derivatives along one isotherm of a homogeneous fluid, straight from the equation of state.
 *
 *   p = rho R T (1 + delta a_delta)
 *   dp/drho|T = R T (1 + 2 delta a_delta + delta^2 a_deltadelta)
 *   dp/dT|rho = R rho (1 + delta a_delta - delta tau a_deltatau)
 *
 * with R the specific gas constant. Between the densities of boiling liquid and its vapour the
 * equation describes no state of a fluid at rest; pressures there may be absurd (docs/theory/fluids.md,
 * "Inside the dome").
 * Source  [span-2000, table 26], [iapws-r6-95, table 3]
 */
import { refuse } from "../fault/index.js";
import type { Density, Pressure, Temperature } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { ResidualIsotherm } from "./residual.js";

/** Pressure of a homogeneous fluid with its first derivatives. */
export interface PressureWithDerivatives {
  /** [Pa]. */
  readonly p: Pressure;
  /** dp/dT at constant density [Pa/K]. */
  readonly dpdT: number;
  /** dp/drho at constant temperature [Pa m3/kg]. */
  readonly dpdrho: number;
}

/**
 * One fluid along isotherms. `setTemperature` costs most; each density after it is cheap. The getters
 * hold for the density evaluated last. For inner loops; it checks nothing.
 */
export class Isotherm {
  readonly fluid: Fluid;
  readonly residual: ResidualIsotherm;
  /** Temperature [K]. */
  T = 0;
  /** Density evaluated last [kg/m3]. */
  rho = 0;
  /** R T [J/kg]. */
  RT = 0;

  constructor(fluid: Fluid) {
    this.fluid = fluid;
    this.residual = new ResidualIsotherm(fluid.residual);
  }

  /** Chooses the isotherm. @param T  temperature, > 0 [K] */
  setTemperature(T: number): this {
    this.T = T;
    this.RT = this.fluid.specificGasConstant * T;
    this.residual.setTau(this.fluid.reducing.T / T);
    return this;
  }

  /** Evaluates a density [kg/m3] and returns the pressure [Pa]. */
  pressure(rho: number): number {
    this.rho = rho;
    this.residual.evaluate(rho / this.fluid.reducing.rho);
    return rho * this.RT * (1 + this.residual.aD);
  }

  /** dp/drho at constant temperature [Pa m3/kg]. */
  get dpdrho(): number {
    return this.RT * (1 + 2 * this.residual.aD + this.residual.aDD);
  }

  /** dp/dT at constant density [Pa/K]. */
  get dpdT(): number {
    return this.fluid.specificGasConstant * this.rho * (1 + this.residual.aD - this.residual.aDT);
  }
}

/**
 * Pressure of a homogeneous fluid and its derivatives, by the equation of state alone. The caller
 * knows that (T, rho) lies outside the two-phase dome and inside the range; `pressureAt` finds out.
 *
 * @param T    temperature, > 0 [K];  @param rho  density, >= 0 [kg/m3]
 * Refuses     values that are not finite and positive.
 */
export function homogeneousPressure(fluid: Fluid, T: Temperature, rho: Density): PressureWithDerivatives {
  if (!(T > 0 && rho >= 0 && rho < Number.POSITIVE_INFINITY && T < Number.POSITIVE_INFINITY)) {
    refuseImpossible(fluid, T, rho);
  }
  const isotherm = new Isotherm(fluid).setTemperature(T);
  const p = isotherm.pressure(rho) as Pressure;
  return { p, dpdT: isotherm.dpdT, dpdrho: isotherm.dpdrho };
}

function refuseImpossible(fluid: Fluid, T: number, rho: number): never {
  return refuse(
    "impossible-state",
    `${fluid.id} at ${T} K and ${rho} kg/m3`,
    "A temperature is above 0 K and a density at or above 0 kg/m3.",
    "Give a temperature and a density of the fluid.",
  );
}
