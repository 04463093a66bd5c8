/**
 * Physical constants and conventional values, each with its unit, uncertainty and source.
 * No other file of the core holds these numbers.
 */

/** A constant with everything needed to trust it. */
export interface Constant {
  /** Value in the unit named by `unit`. */
  readonly value: number;
  /** Coherent SI unit. */
  readonly unit: string;
  /** Standard uncertainty in the same unit; 0 where the value is exact by definition or convention. */
  readonly uncertainty: number;
  /** Key into data/references.json with the place in that source. */
  readonly reference: string;
}

/** Standard atmosphere, exact by convention [Pa]. Source [nist-sp811-2008, table B.8, atmosphere, standard]. */
export const standardAtmosphere: Constant = {
  value: 101_325,
  unit: "Pa",
  uncertainty: 0,
  reference: "nist-sp811-2008, table B.8, atmosphere, standard",
};

/** Standard acceleration of free fall, exact by convention [m/s2]. Source [codata-2018, table II]. */
export const standardGravity: Constant = {
  value: 9.806_65,
  unit: "m/s2",
  uncertainty: 0,
  reference: "codata-2018, adopted values",
};

/** Thermodynamic temperature of 0 degC, exact by definition [K]. Source [nist-sp811-2008, section 4.2.1.1]. */
export const zeroCelsius: Constant = {
  value: 273.15,
  unit: "K",
  uncertainty: 0,
  reference: "nist-sp811-2008, section 4.2.1.1",
};

/**
 * Density of water at 15 degC that defines relative density in flow coefficients [kg/m3].
 * Conventional value of the sizing equations. Source [iec60534-2-1, rho0].
 */
export const referenceWaterDensity: Constant = {
  value: 999,
  unit: "kg/m3",
  uncertainty: 0,
  reference: "iec60534-2-1, symbol list, rho0",
};

/** Stefan-Boltzmann constant, exact by definition of its factors [W/(m2 K4)]. Source [codata-2018, table III]. */
export const stefanBoltzmann: Constant = {
  value: 5.670_374_419e-8,
  unit: "W/(m2 K4)",
  uncertainty: 0,
  reference: "codata-2018, Stefan-Boltzmann constant",
};

/** Vacuum magnetic permeability [N/A2]. Source [codata-2018, vacuum magnetic permeability]. */
export const vacuumPermeability: Constant = {
  value: 1.256_637_062_12e-6,
  unit: "N/A2",
  uncertainty: 1.9e-16,
  reference: "codata-2018, vacuum magnetic permeability",
};
