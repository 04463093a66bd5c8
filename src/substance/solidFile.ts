/**
 * The form of a solid's data file (data/solids/<id>.json). Each property says where it is from, in
 * which range it holds and how widely it spreads; one that is not on file is absent, never assumed.
 */
import { z } from "zod";

const number = z.number();
const positive = z.number().positive();

const origin = {
  /** Keys into data/references.json, or "common practice, no source". */
  sources: z.array(z.string()).min(1),
  from: z.enum(["looked up", "memory", "measured", "catalogue", "standard"]),
  note: z.string().optional(),
};
const range = { T_min_K: positive, T_max_K: positive };
const fit = { ...origin, spread_percent: positive };

/** sum c_i T^i in the unit, between the two temperatures. */
const polynomial = z.strictObject({
  ...fit,
  form: z.literal("polynomial"),
  unit: z.string(),
  ...range,
  coefficients: z.array(number).min(1),
  /** Below this temperature the value is constant. */
  below: z.strictObject({ T_K: positive, value: number }).optional(),
});

/** log10 of the value in the unit is sum c_i (log10 T)^i, in pieces that follow each other. */
const log10Polynomial = z.strictObject({
  ...fit,
  form: z.literal("log10_polynomial"),
  unit: z.string(),
  pieces: z.array(z.strictObject({ ...range, coefficients: z.array(number).min(1) })).min(1),
});

/** Intervals at temperatures, rising; straight between them. */
const table = z.strictObject({
  ...origin,
  form: z.literal("table"),
  unit: z.string(),
  rows: z.array(z.strictObject({ T_K: positive, low: number, high: number })).min(1),
});

/** log10 of the expansion coefficient is sum c_i (log10 T)^i; the contraction is its integral from 293 K. */
const expansion = z.strictObject({
  ...fit,
  form: z.literal("expansion_log10_polynomial"),
  unit: z.literal("1e-6/K"),
  ...range,
  coefficients: z.array(number).min(1),
});

/** The total contraction from 293 K to a temperature, with the shape of another solid between them. */
const scaled = z.strictObject({
  ...origin,
  form: z.literal("scaled"),
  shape_of: z.string(),
  T_K: positive,
  unit: z.literal("%"),
  low: positive,
  high: positive,
});

const property = z.discriminatedUnion("form", [polynomial, log10Polynomial, table]);

/** A value without dependence on temperature. */
const interval = { from: origin.from, sources: origin.sources.optional(), low: positive, high: positive };

const solidFile = z.strictObject({
  format: z.literal("solid/1"),
  id: z.string().regex(/^[a-z0-9-]+$/),
  name: z.string(),
  kind: z.enum(["metal", "polymer", "composite"]),
  structure: z.string().default("not stated"),
  aliases: z.array(z.string()).default([]),
  /** What a designer must know beside the numbers. */
  cautions: z.array(z.string()).optional(),
  toughness: z.string().optional(),
  /** Below this temperature it breaks without yielding, or may; `limit` says which end or limit this is. */
  brittle_below: z
    .strictObject({
      T_K: positive,
      limit: z
        .enum(["upper end of its transition", "limit of common practice", "brittle warm already"])
        .default("limit of common practice"),
      reason: z.string(),
    })
    .optional(),
  /** A polymer follows a counterface in time above the upper end, and no more below the lower. */
  glass_transition: z
    .strictObject({
      from: origin.from,
      sources: z.array(z.string()).min(1),
      low_K: positive,
      high_K: positive,
      note: z.string(),
    })
    .optional(),
  density_293_K: z.strictObject({ ...interval, unit: z.literal("kg/m3"), note: z.string() }).optional(),
  poisson_ratio: z.strictObject({ ...interval, note: z.string() }).optional(),
  /** (L - L293) / L293, negative when colder than 293 K. */
  contraction: z.discriminatedUnion("form", [polynomial, table, expansion, scaled]),
  conductivity: property.optional(),
  specific_heat: property.optional(),
  youngs_modulus: property.optional(),
  yield_strength: property.optional(),
  ultimate_strength: property.optional(),
  elongation: property.optional(),
  fracture_toughness: property.optional(),
});

/** A solid's data file as read. */
export type SolidFile = z.infer<typeof solidFile>;
export type CurveData = z.infer<typeof property> | z.infer<typeof expansion>;
export type ContractionData = SolidFile["contraction"];

/** Keys at the top of a data file. */
export const solidFileKeys: readonly string[] = Object.keys(solidFile.shape);

/** Reads a parsed data file of anybody; what breaks the form comes back as the schema's issues. */
export function solidFileIn(data: unknown) {
  return solidFile.safeParse(data);
}

/** Reads a parsed data file; throws the schema's own report when the file breaks the form. */
export function readSolidFile(json: unknown): SolidFile {
  return solidFile.parse(json);
}
