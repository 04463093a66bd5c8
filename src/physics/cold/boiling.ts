/**
 * Pool boiling on a wall that is hotter than the boiling liquid, by its published correlations: the nucleate
 * branch, its end at the critical heat flux, the least flux at which a film of vapour still carries the
 * liquid, and the film itself. They are of large flat walls facing upward in a liquid at rest.
 *
 *   g standard gravity; rho density, h_fg latent heat, sigma surface tension, k conductivity, mu viscosity,
 *   cp specific heat, Pr Prandtl number; indices l boiling liquid, v its vapour; dT = T_wall - T_saturation
 */
import { standardGravity, type TemperatureDifference } from "../../quantity/index.js";

const g = standardGravity.value;

/** Boiling liquid and its vapour at one pressure. */
export interface BoilingPair {
  readonly rhoLiquid: number;
  readonly rhoVapour: number;
  readonly latentHeat: number;
  readonly surfaceTension: number;
  readonly liquid: { readonly cp: number; readonly viscosity: number; readonly conductivity: number };
}

/** Vapour of the film, between wall and saturation temperature. */
export interface FilmVapour {
  readonly rho: number;
  readonly cp: number;
  readonly viscosity: number;
  readonly conductivity: number;
}

/** Surface constant of [rohsenow-1952] where none is measured for the pair of liquid and metal. */
export const usualSurfaceConstant = 0.013;
/** Exponent of the Prandtl number for liquids other than water, whose is 1. */
export const usualPrandtlExponent = 1.7;

/**
 * Nucleate boiling [W/m2]:
 *
 *   q = mu_l h_fg (g (rho_l - rho_v) / sigma)^(1/2) (cp_l dT / (C_sf h_fg Pr_l^n))^3
 *
 * Valid for  fully developed nucleate boiling; it spreads by 100 % in q, 25 % in dT, with the surface
 * Source     [rohsenow-1952, eq. 16]; C_sf = 0.013 and n = 1.7 where nothing is measured, from memory
 */
export function nucleateFlux(
  pair: BoilingPair,
  dT: TemperatureDifference,
  surfaceConstant: number = usualSurfaceConstant,
  prandtlExponent: number = usualPrandtlExponent,
): number {
  const { rhoLiquid, rhoVapour, latentHeat, surfaceTension, liquid } = pair;
  const prandtl = (liquid.viscosity * liquid.cp) / liquid.conductivity;
  const buoyancy = Math.sqrt((g * (rhoLiquid - rhoVapour)) / surfaceTension);
  const jakob = (liquid.cp * dT) / (surfaceConstant * latentHeat * prandtl ** prandtlExponent);
  return liquid.viscosity * latentHeat * buoyancy * jakob ** 3;
}

/**
 * Critical heat flux [W/m2]:
 *
 *   q = (pi / 24) rho_v h_fg (sigma g (rho_l - rho_v) / rho_v^2)^(1/4)
 *
 * Valid for  a large wall in saturated liquid at rest; measured peaks lie within 20 %
 * Source     [zuber-1959, chapter 4]
 */
export function criticalFlux({ rhoLiquid, rhoVapour, latentHeat, surfaceTension }: BoilingPair): number {
  const vapour = (surfaceTension * g * (rhoLiquid - rhoVapour)) / rhoVapour ** 2;
  return (Math.PI / 24) * rhoVapour * latentHeat * vapour ** 0.25;
}

/**
 * Least heat flux of a film, below which the liquid touches the wall again (Leidenfrost) [W/m2]:
 *
 *   q = 0.09 rho_v h_fg (sigma g (rho_l - rho_v) / (rho_l + rho_v)^2)^(1/4)
 *
 * Valid for  a large smooth wall of high conductivity; roughness, deposits and polymers raise it, up to twofold
 * Source     [berenson-1961, eq. 39], after [zuber-1959]
 */
export function leastFilmFlux({ rhoLiquid, rhoVapour, latentHeat, surfaceTension }: BoilingPair): number {
  const wave = (surfaceTension * g * (rhoLiquid - rhoVapour)) / (rhoLiquid + rhoVapour) ** 2;
  return 0.09 * rhoVapour * latentHeat * wave ** 0.25;
}

/**
 * Heat transfer coefficient of a film [W/(m2 K)], vapour at the mean of wall and saturation temperature:
 *
 *   h = 0.425 (k_v^3 rho_v g (rho_l - rho_v) (h_fg + cp_v dT / 2) / (mu_v dT L))^(1/4),
 *   L = (sigma / (g (rho_l - rho_v)))^(1/2)
 *
 * Valid for  a large horizontal wall, laminar film, liquid at rest; radiation is not in it, which below
 *            300 K is less than one part in fifty
 * Source     [berenson-1961, eq. 31]
 */
export function filmCoefficient(pair: BoilingPair, film: FilmVapour, dT: TemperatureDifference): number {
  const buoyancy = g * (pair.rhoLiquid - pair.rhoVapour);
  const wavelength = Math.sqrt(pair.surfaceTension / buoyancy);
  const heat = pair.latentHeat + (film.cp * dT) / 2;
  return (
    0.425 *
    ((film.conductivity ** 3 * film.rho * buoyancy * heat) / (film.viscosity * dT * wavelength)) ** 0.25
  );
}
