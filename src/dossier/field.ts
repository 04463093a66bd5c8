/**
 * Builders of the schema's leaves and sections. Each makes a zod type that carries the field's
 * description, dimension and bounds as metadata, for the errors, the JSON Schema and the docs.
 */
import { z } from "zod";
import type { Declared, Dimension } from "../quantity/index.js";
import { parseDeclared } from "../quantity/index.js";
import { Refusal } from "../fault/index.js";

/** Bounds of a physical value, in SI. */
export interface Bounds {
  readonly min?: number;
  readonly max?: number;
  readonly minExclusive?: number;
  readonly maxExclusive?: number;
}

/** A physical value, certain or uncertain. Absent: not known. */
export function quantity(dimension: Dimension, bounds: Bounds, description: string) {
  return z
    .unknown()
    .transform((raw, context): Declared => {
      try {
        return parseDeclared(raw, dimension, bounds);
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        for (const fault of error.faults) context.addIssue({ code: "custom", message: fault.found, params: { fault } });
        return z.NEVER;
      }
    })
    .optional()
    .meta({ description, dimension, bounds });
}

/** A word or sentence. */
export function text(description: string) {
  return z.string().optional().meta({ description });
}

/** One of a few words. */
export function choice<const W extends string>(words: readonly W[], description: string) {
  return z.enum(words as readonly [W, ...W[]]).optional().meta({ description });
}

/** A whole number. */
export function count(description: string, bounds: Bounds) {
  return z.number().int().optional().meta({ description, bounds });
}

/** A named group of fields; unknown names are refused. */
export function section<S extends z.ZodRawShape>(shape: S, description: string) {
  return z.strictObject(shape).optional().meta({ description });
}

/** A list of groups. */
export function list<S extends z.ZodRawShape>(shape: S, description: string) {
  return z.array(z.strictObject(shape)).optional().meta({ description });
}
