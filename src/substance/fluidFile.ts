/**
 * The form of a fluid's data file (data/fluids/<id>.json). Everything that is known of a fluid is in
 * its file; no code names a fluid. The schema also gives the type of the files that `fluid` imports;
 * the tests hold every file against it.
 */
import { z } from "zod";
import { conductivity, surfaceTension, viscosity } from "./transportFile.js";

const number = z.number();
const positive = z.number().positive();
/** Keys into data/references.json. */
const sources = z.array(z.string()).min(1);

const powerTerm = z.strictObject({
  n: number,
  d: z.int().min(0).max(20),
  t: number,
  /** Exponent of the exponential factor exp(-delta^c); 0 means there is no such factor. */
  c: z.int().min(0).max(6),
});

const gaussianTerm = z.strictObject({
  n: number,
  d: z.int().min(0).max(20),
  t: number,
  eta: positive,
  epsilon: number,
  beta: positive,
  gamma: number,
});

const nonAnalyticTerm = z.strictObject({
  n: number,
  a: positive,
  b: positive,
  beta: positive,
  A: number,
  B: number,
  C: positive,
  D: positive,
});

const equationOfState = z.strictObject({
  sources,
  uncertainty: z.string(),
  /** Number of terms of each kind as the paper counts them: polynomial terms have c = 0. */
  term_count: z.strictObject({
    polynomial: z.int(),
    exponential: z.int(),
    gaussian: z.int(),
    non_analytic: z.int(),
  }),
  reducing: z.strictObject({ T_K: positive, rho_mol_m3: positive }),
  ideal: z.strictObject({
    note: z.string(),
    sources: sources.optional(),
    a1: number,
    a2: number,
    ln_tau: number,
    power: z.array(z.strictObject({ n: number, t: number })),
    planck_einstein: z.array(z.strictObject({ n: number, theta: positive })),
  }),
  residual: z.strictObject({
    power: z.array(powerTerm),
    gaussian: z.array(gaussianTerm),
    non_analytic: z.array(nonAnalyticTerm),
  }),
});

const saturationFit = z.strictObject({
  /** linear: value_r (1 + S); exp_tau: value_r exp(S T_r / T); S = sum n (1 - T/T_r)^t. */
  form: z.enum(["linear", "exp_tau"]),
  T_r_K: positive,
  value_r: positive,
  max_abs_error_percent: positive,
  terms: z.array(z.strictObject({ n: number, t: positive })).min(1),
});

const meltingPartRange = {
  T_min_K: positive,
  T_max_K: positive,
  T_0_K: positive,
  p_0_Pa: number,
  /** Side of this part, at its temperature, on which the fluid is liquid. */
  liquid_lies: z.enum(["above", "below"]),
};
const meltingPart = z.discriminatedUnion("form", [
  z.strictObject({
    ...meltingPartRange,
    form: z.literal("simon"),
    terms: z.array(z.strictObject({ a_Pa: number, c: number })).min(1),
  }),
  z.strictObject({
    ...meltingPartRange,
    form: z.literal("polynomial_Tr"),
    terms: z.array(z.strictObject({ a: number, t: number })).min(1),
  }),
]);

const fluidFile = z.strictObject({
  format: z.literal("fluid/1"),
  id: z.string().regex(/^[a-z0-9-]+$/),
  name: z.string(),
  formula: z.string(),
  cas: z.string().regex(/^\d+-\d\d-\d$/),
  aliases: z.array(z.string()),
  /** Its part in a fire, as the GHS hazard classes have it: an oxidiser feeds one, a fuel burns in air (from memory). */
  reaction: z.enum(["oxidiser", "fuel", "inert"]),
  basis: z.string(),
  provenance: z.strictObject({ sources, note: z.string() }),
  molar_mass_kg_mol: positive,
  /** The gas constant of the paper: another value moves pressures by up to 1.5e-5. */
  gas_constant_J_mol_K: z.number().min(8.314).max(8.315),
  critical_point: z.strictObject({ T_K: positive, p_Pa: positive, rho_mol_m3: positive }),
  triple_point: z.strictObject({
    T_K: positive,
    p_Pa: positive,
    rho_liquid_mol_m3: positive,
    rho_vapour_mol_m3: positive,
    /** What the lower end of the boiling line is where it is no triple point: "lambda-point". */
    called: z.string().optional(),
  }),
  validity: z.strictObject({ T_min_K: positive, T_max_K: positive, p_max_Pa: positive, note: z.string() }),
  /** Limits beyond which the equation is not evaluated; between validity and these, with a notice. */
  extrapolation: z.strictObject({ T_max_K: positive, p_max_Pa: positive, note: z.string() }),
  equation_of_state: equationOfState,
  saturation_start: z.strictObject({
    sources,
    note: z.string(),
    p_sat_Pa: saturationFit,
    rho_liquid_mol_m3: saturationFit,
    rho_vapour_mol_m3: saturationFit,
  }),
  melting_line: z.strictObject({ sources, parts: z.array(meltingPart) }).optional(),
  viscosity: viscosity.optional(),
  thermal_conductivity: conductivity.optional(),
  surface_tension: surfaceTension.optional(),
});

/** A fluid's data file as read. Units are in the names of its fields. */
export type FluidFile = z.infer<typeof fluidFile>;
export type EquationData = FluidFile["equation_of_state"];
export type SaturationFit = z.infer<typeof saturationFit>;
export type MeltingPart = z.infer<typeof meltingPart>;

/** Reads a parsed data file; throws the schema's own report when the file breaks the form. */
export function readFluidFile(json: unknown): FluidFile {
  return fluidFile.parse(json);
}
