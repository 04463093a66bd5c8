/**
 * Heat from air to a cold cylinder, by natural convection or in a cross wind. Properties at the film
 * temperature, the mean of surface and air. Each correlation spreads by some 20 % about measurements.
 */
import {
  type Length,
  type Pressure,
  type Speed,
  standardGravity,
  type Temperature,
} from "../../quantity/index.js";
import { airAt } from "./air.js";

/**
 * Nusselt number of a long horizontal cylinder in still fluid, over its diameter.
 *
 *   Nu = { 0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27) }^2
 *
 * Valid for  Ra <= 1e12.  Source [churchill-chu-1975-cylinder, eq. 9]; from memory
 */
export function horizontalCylinderNusselt(Ra: number, Pr: number): number {
  return (0.6 + (0.387 * Math.cbrt(Math.sqrt(Ra))) / (1 + (0.559 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2;
}

/**
 * Nusselt number of a vertical plate in still fluid, over its height.
 *
 *   Nu = { 0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27) }^2
 *
 * Valid for  Ra <= 1e12; a vertical tube of less than 35 Gr^(-1/4) of its height takes some per cent more.
 * Source     [churchill-chu-1975-plate, eq. 9]; from memory
 */
export function verticalPlateNusselt(Ra: number, Pr: number): number {
  return (0.825 + (0.387 * Math.cbrt(Math.sqrt(Ra))) / (1 + (0.492 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2;
}

/**
 * Nusselt number of a cylinder in cross flow, over its diameter.
 *
 *   Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / [1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5)
 *
 * Valid for  Re Pr > 0.2.  Source [churchill-bernstein-1977, eq. 9]; from memory
 */
export function crossFlowNusselt(Re: number, Pr: number): number {
  const laminar = (0.62 * Math.sqrt(Re) * Math.cbrt(Pr)) / (1 + (0.4 / Pr) ** (2 / 3)) ** 0.25;
  return 0.3 + laminar * (1 + (Re / 282_000) ** (5 / 8)) ** 0.8;
}

/** How a cylinder stands in the air. */
export interface CylinderInAir {
  readonly orientation: "vertical" | "horizontal";
  /** Height of a vertical one [m]. */
  readonly length: Length;
  readonly airSpeed: Speed;
  readonly pressure: Pressure;
}

/**
 * Heat transfer coefficient between air and cylinder: the greater of natural convection and cross flow.
 * @returns  [W/(m2 K)]
 * Valid for an air speed across the cylinder; taking the greater of the two is common practice, no source
 */
export function airCoefficient(
  { orientation, length, airSpeed, pressure }: CylinderInAir,
  diameter: Length,
  surface: Temperature,
  ambient: Temperature,
): number {
  const film = (0.5 * (surface + ambient)) as Temperature;
  const { density, viscosity, conductivity, prandtl } = airAt(film, pressure);
  const kinematic = viscosity / density;
  const height = orientation === "vertical" ? length : diameter;
  const drive = (standardGravity.value * Math.abs(ambient - surface)) / film;
  const Ra = (drive * height ** 3 * prandtl) / (kinematic * kinematic);
  const natural =
    (conductivity / height) *
    (orientation === "vertical" ? verticalPlateNusselt(Ra, prandtl) : horizontalCylinderNusselt(Ra, prandtl));
  if (airSpeed <= 0) return natural;
  const forced = (conductivity / diameter) * crossFlowNusselt((airSpeed * diameter) / kinematic, prandtl);
  return Math.max(natural, forced);
}
