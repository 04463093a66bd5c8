/**
 * The form of a liquid's data file (data/liquids/<id>.json): a fluid for which no equation of state is at
 * hand, known as a liquid by correlations of a handbook.
 */
import { z } from "zod";

const number = z.number();
const positive = z.number().positive();
const head = {
  /** Keys into data/references.json. */
  sources: z.array(z.string()).min(1),
  from: z.enum(["looked up", "memory", "measured"]),
  spread_percent: positive,
};

/** exp(C1 + C2/T + C3 ln T + C4 T^C5). */
const exponential = z.strictObject({
  ...head,
  T_max_K: positive,
  C1: number,
  C2: number,
  C3: number,
  C4: number,
  C5: number,
});
/** sum c_i T^i. */
const polynomial = z.strictObject({ ...head, T_max_K: positive, coefficients: z.array(number).min(1) });

const liquidFile = z.strictObject({
  format: z.literal("liquid/1"),
  id: z.string().regex(/^[a-z0-9-]+$/),
  name: z.string(),
  formula: z.string(),
  cas: z.string().regex(/^\d+-\d\d-\d$/),
  aliases: z.array(z.string()),
  reaction: z.enum(["oxidiser", "fuel", "inert"]),
  note: z.string(),
  molar_mass_kg_mol: positive,
  critical_point: z.strictObject({ T_K: positive, p_Pa: positive }),
  melting_point_K: positive,
  validity: z.strictObject({ T_min_K: positive, T_max_K: positive, p_max_Pa: positive, note: z.string() }),
  /** C1 / C2^(1 + (1 - T/C3)^C4), of the boiling liquid. */
  density: z.strictObject({ ...head, C1_mol_m3: positive, C2: positive, C3_K: positive, C4: positive }),
  /** d ln rho / dp at constant temperature, one interval for all temperatures. */
  compressibility: z.strictObject({
    from: head.from,
    note: z.string(),
    low_1_Pa: positive,
    high_1_Pa: positive,
  }),
  vapour_pressure: exponential,
  viscosity: exponential,
  conductivity: polynomial,
  specific_heat_J_kmol_K: polynomial,
  /** a (1 - T/T_max)^n. */
  surface_tension: z.strictObject({ ...head, T_max_K: positive, a_N_m: positive, n: positive }),
});

/** A liquid's data file as read. */
export type LiquidFile = z.infer<typeof liquidFile>;
export type ExponentialData = z.infer<typeof exponential>;

/** Reads a parsed data file; throws the schema's own report when the file breaks the form. */
export function readLiquidFile(json: unknown): LiquidFile {
  return liquidFile.parse(json);
}
