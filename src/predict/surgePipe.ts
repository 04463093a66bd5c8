/** A pipe of the line: what its fields give, and the slots of its numbers. */
import { type Dossier, materialNamed, type ValveFile } from "../dossier/index.js";
import { areaOf, type LinePipe, type Restraint, restraints } from "../physics/line/index.js";
import type { Declared, Temperature } from "../quantity/index.js";
import { propertyRange, solidProperty } from "../substance/index.js";
import type { Gatherer, Slot } from "./gather.js";

export type Line = NonNullable<ValveFile["line"]>;
export type PipeFields = NonNullable<Line["pipes"]>[number];
export type Side = "upstream" | "downstream";

export interface PipeSlots {
  readonly length: Slot;
  readonly bore: Slot;
  readonly wall: Slot;
  readonly roughness: Slot;
  readonly modulus: Slot;
  readonly poisson: Slot;
  readonly cushionVolume: Slot;
  readonly cushionExponent: Slot;
}

/** A pipe in the network. */
export interface PlacedPipe {
  readonly fields: PipeFields;
  readonly path: string;
  readonly side: Side;
  readonly isBranch: boolean;
  readonly from: number;
  readonly to: number;
  readonly slots: PipeSlots;
  /** Slot of its rise in the plan, for a branch in the line's own; -1 for a level pipe. */
  readonly rise: Slot;
}

/** Poisson's ratio of a metal that has none on file lies between [-]. */
const usualPoisson = { low: 0.27, high: 0.33 } as const;

/** As declared; a pipe without it lacks it. */
export function restraintOf(word: string | undefined): Restraint {
  return restraints.find((one) => one === word) ?? "throughout";
}

/** Slots of a pipe; what is missing is noted under "line". */
export function gatherPipe(
  dossier: Dossier,
  gather: Gatherer<string>,
  fields: PipeFields,
  path: string,
  T: Temperature | undefined,
): PipeSlots {
  const need = (name: string, declared: Declared | undefined) =>
    gather.need("line", `${path}.${name}`, declared);
  if (fields.restraint === undefined) gather.lack("line", `${path}.restraint`);
  const material = materialNamed(dossier.valve, fields.material);
  if (material === undefined) gather.lack("line", `${path}.material`);
  const { cushion } = fields;
  if (cushion !== undefined && fields.branches_after === undefined)
    gather.lack("line", `${path}.branches_after`);
  return {
    length: need("length", fields.length),
    bore: need("bore", fields.bore),
    wall: need("wall", fields.wall),
    roughness: need("roughness", fields.roughness),
    modulus: material === undefined || T === undefined ? -1 : modulusSlot(),
    poisson: material === undefined ? -1 : poissonSlot(),
    cushionVolume: cushion === undefined ? -1 : need("cushion.volume", cushion.volume),
    cushionExponent: cushion === undefined ? -1 : need("cushion.exponent", cushion.exponent),
  };

  function modulusSlot(): Slot {
    if (material === undefined || T === undefined) return -1;
    if (material.file.youngs_modulus === undefined) {
      gather.lack("line", `Young's modulus of ${material.id}`);
      return -1;
    }
    // Beyond its data the modulus is that of their end: it moves a wave by far less than a percent in a hundred kelvin.
    const { TMin, TMax } = propertyRange(material, "youngs_modulus");
    const followed = Math.min(Math.max(T, TMin), TMax) as Temperature;
    const { value, low, high } = solidProperty(material, "youngs_modulus", followed);
    return published(`Young's modulus of ${material.id}`, value, low, high);
  }

  function poissonSlot(): Slot {
    if (material === undefined) return -1;
    const onFile = material.file.poisson_ratio;
    const { low, high } = onFile === undefined ? usualPoisson : { low: onFile.low, high: onFile.high };
    return published(`Poisson's ratio of ${material.id}`, (low + high) / 2, low, high);
  }

  function published(of: string, value: number, low: number, high: number): Slot {
    return gather.take(of, {
      value,
      law: low < high ? { kind: "uniform", low, high } : { kind: "exact" },
      dimension: "ratio",
      unit: "",
      text: String(value),
      readAs: "spread of what is published",
      origin: "standard",
    });
  }
}

/** Sum of L/A of some pipes [1/m]. */
export function inertanceOf(pipes: readonly LinePipe[]): number {
  return pipes.reduce((sum, { length, bore }) => sum + length / areaOf(bore), 0);
}
