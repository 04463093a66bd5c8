/** Stiffness of the stem in twist from its sections, where nobody declared it. */
import { sectionShape, shearModulus, torsionStiffness } from "../physics/strength/index.js";
import type { Length, Stress, Temperature } from "../quantity/index.js";
import { propertyRange, type Solid, solidProperty } from "../substance/index.js";
import { materialNamed } from "./ownSolid.js";
import { type Conditions, referenceTemperatures, type ValveFile } from "./schema.js";

/** Torque per twist between coupling and ball, with its limits [N m/rad]. */
export interface StemStiffness {
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
}

/** Poisson's ratio of a metal whose file has none [-]; textbook values, from memory. */
const usualPoisson = { low: 0.26, high: 0.33 } as const;

/**
 * Sections in series, 1/k = sum L / (G K); undefined where anything for it is missing. Its limits are those
 * of the shear modulus between the temperature of the valve and that of the warm end.
 */
export function stemStiffness(
  file: ValveFile,
  { valve_temperature }: Conditions,
  isFaulty: (path: string) => boolean,
): StemStiffness | undefined {
  const { stem, cold } = file.valve ?? {};
  const stemMaterial = stem?.material ?? cold?.extension?.stem_material;
  const sections = (stem?.sections ?? []).map(({ shape, length, material, ...sizes }, j) => {
    // Of a material that was entered with a fault nobody knows which it is.
    if (material === undefined && isFaulty(`valve.stem.sections[${j}].material`)) return undefined;
    if (shape === undefined || length === undefined || valve_temperature === undefined) return undefined;
    const { of, section } = sectionShape(shape);
    const values = of.map((size) => sizes[size]?.value as Length | undefined);
    const modulus = modulusOf(materialNamed(file, material ?? stemMaterial), valve_temperature.value);
    if (modulus === undefined || values.includes(undefined)) return undefined;
    const made = section(...values.flatMap((value) => (value === undefined ? [] : [value])));
    const twist = (G: number) => 1 / torsionStiffness(made, G as Stress, length.value as Length);
    return { nominal: twist(modulus.nominal), low: twist(modulus.low), high: twist(modulus.high) };
  });
  if (sections.length === 0 || sections.includes(undefined)) return undefined;
  const inSeries = (end: keyof StemStiffness) =>
    1 / sections.reduce((sum, section) => sum + (section?.[end] ?? Number.NaN), 0);
  return { nominal: inSeries("nominal"), low: inSeries("low"), high: inSeries("high") };
}

/** A modulus is followed this far below its data, as every property is [K]. */
const reach = 30;

/** Shear modulus from the valve's temperature to ambient [Pa]. */
function modulusOf(material: Solid | undefined, T: number): StemStiffness | undefined {
  if (material?.file.youngs_modulus === undefined) return undefined;
  const { TMin } = propertyRange(material, "youngs_modulus");
  if (T < TMin - reach) return undefined;
  const { low, high } = material.file.poisson_ratio ?? usualPoisson;
  const ends = [T, referenceTemperatures.ambient_K].map((at) =>
    solidProperty(material, "youngs_modulus", at as Temperature),
  );
  const least = Math.min(...ends.map((end) => end.low));
  const most = Math.max(...ends.map((end) => end.high));
  const middle = ends.reduce((sum, { value }) => sum + value, 0) / ends.length;
  return {
    nominal: shearModulus(middle as Stress, (low + high) / 2),
    low: shearModulus(least as Stress, high),
    high: shearModulus(most as Stress, low),
  };
}
