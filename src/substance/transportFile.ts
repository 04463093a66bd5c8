/**
 * The form of what a fluid's data file says of viscosity, thermal conductivity and surface tension.
 * The equations stand where they are evaluated: viscosity.ts, conductivity.ts, surfaceTension.ts.
 */
import { z } from "zod";

const number = z.number();
const positive = z.number().positive();
/** Keys into data/references.json. */
const sources = z.array(z.string()).min(1);
const head = { sources, uncertainty: z.string(), note: z.string().optional() };

const diluteViscosity = z.discriminatedUnion("form", [
  z.strictObject({
    form: z.literal("collision_integral_ln"),
    C: positive,
    molar_mass_g_mol: positive,
    sigma_nm: positive,
    epsilon_over_k_K: positive,
    terms: z.array(z.strictObject({ a: number, t: z.int() })),
  }),
  z.strictObject({
    form: z.literal("powers_of_T"),
    T_r_K: positive,
    terms: z.array(z.strictObject({ a_Pa_s: number, t: number })),
  }),
]);

const initialDensity = z.strictObject({
  form: z.literal("rainwater_friend"),
  sigma_nm: positive,
  epsilon_over_k_K: positive,
  /** The Avogadro constant of the source [1/mol]. */
  N_A: positive,
  terms: z.array(z.strictObject({ b: number, t: number })).min(1),
});

const triple = z.tuple([number, number, number]);
const residualViscosity = z.discriminatedUnion("form", [
  z.strictObject({
    form: z.literal("batschinski_hildebrand"),
    T_r_K: positive,
    rho_r_mol_m3: positive,
    series: z.array(z.strictObject({ a_Pa_s: number, d: number, t: number, gamma: number, l: number })),
    free_volume: z
      .strictObject({
        f_Pa_s: number,
        d: number,
        t: number,
        delta0_numerator: z.array(z.strictObject({ g: number, h: number })).min(1),
        delta0_denominator: z.array(z.strictObject({ p: number, q: number })).min(1),
      })
      .optional(),
  }),
  z.strictObject({
    form: z.literal("friction_theory"),
    note: z.string(),
    T_r_K: positive,
    c1: number,
    c2: number,
    Ai: triple,
    Aa: triple,
    Ar: triple,
    Aii: triple,
    Aaa: triple,
    Adrdr: triple,
    Na: number,
    Nr: number,
    Naa: number,
    Nrr: number,
    Nii: number,
  }),
  z.strictObject({
    form: z.literal("hydrogen_muzny_2013"),
    T_r_K: positive,
    rho_scale_m3_kg: positive,
    c1_Pa_s: number,
    c2: number,
    c3: number,
    c4: number,
    c5: number,
    c6: number,
  }),
]);

const five = z.array(number).length(5);

export const viscosity = z.discriminatedUnion("form", [
  z.strictObject({
    ...head,
    form: z.literal("sum"),
    dilute: diluteViscosity,
    initial_density: initialDensity.optional(),
    residual: residualViscosity,
  }),
  z.strictObject({
    ...head,
    form: z.literal("iapws_r12_08"),
    T_r_K: positive,
    rho_r_kg_m3: positive,
    eta_r_Pa_s: positive,
    H0: z.array(number),
    H: z.array(z.strictObject({ i: z.int(), j: z.int(), H: number })),
    critical: z.strictObject({
      x_mu: positive,
      q_C_inv_nm: positive,
      q_D_inv_nm: positive,
      nu: positive,
      gamma: positive,
      xi0_nm: positive,
      Gamma0: positive,
      Tbar_R: positive,
    }),
  }),
  z.strictObject({
    ...head,
    form: z.literal("helium_arp_1998"),
    B: five,
    C: five,
    D: five,
    eta0: five,
    eta0_high: z.strictObject({
      a: number,
      n: number,
      b: number,
      c: number,
      d: number,
      T_switch_K: positive,
    }),
  }),
  z.strictObject({
    ...head,
    form: z.literal("dilute_and_boiling_liquid"),
    dilute: z.strictObject({
      form: z.literal("collision_integral_neufeld"),
      C: positive,
      sigma_nm: positive,
      epsilon_over_k_K: positive,
      molar_mass_g_mol: positive,
      omega: z.strictObject({
        A: positive,
        B: positive,
        C: positive,
        D: positive,
        E: positive,
        F: positive,
      }),
    }),
    boiling_liquid: z.strictObject({
      T_c_K: positive,
      b1: number,
      b2: number,
      b3_K: number,
      b4_mPa_s: positive,
      T_min_K: positive,
      T_max_K: positive,
    }),
  }),
]);

const critical = z.strictObject({
  form: z.literal("olchowy_sengers_simplified"),
  Gamma: positive,
  R0: positive,
  gamma: positive,
  nu: positive,
  q_D_per_m: positive,
  xi0_m: positive,
  T_ref_K: positive,
  /** The Boltzmann constant of the source [J/K]. */
  k_B_J_K: positive,
});

const powersOfBoth = z.array(z.strictObject({ g: number, r: number, s: number })).min(1);

export const conductivity = z.discriminatedUnion("form", [
  z.strictObject({
    ...head,
    form: z.literal("sum"),
    dilute: z.discriminatedUnion("form", [
      z.strictObject({
        form: z.literal("viscosity_and_powers"),
        A0_W_mK_uPa_s: positive,
        terms: z.array(z.strictObject({ a: number, t: number })),
      }),
      z.strictObject({
        form: z.literal("ratio_of_polynomials"),
        T_r_K: positive,
        numerator: z.array(z.strictObject({ a: number, n: number })).min(1),
        denominator: z.array(z.strictObject({ b: number, m: number })).min(1),
      }),
    ]),
    residual: z.discriminatedUnion("form", [
      z.strictObject({
        form: z.literal("polynomial"),
        T_r_K: positive,
        rho_r_kg_m3: positive,
        terms: z.array(z.strictObject({ b: number, d: number, t: number })).min(1),
      }),
      z.strictObject({
        form: z.literal("polynomial_exponential"),
        terms: z.array(z.strictObject({ a: number, d: number, t: number, gamma: number, l: number })).min(1),
      }),
    ]),
    critical,
  }),
  z.strictObject({
    ...head,
    form: z.literal("iapws_r15_11"),
    T_r_K: positive,
    rho_r_kg_m3: positive,
    p_r_Pa: positive,
    lambda_r_W_m_K: positive,
    L0: z.array(number),
    L: z.array(z.array(number)),
    critical: z.strictObject({
      Lambda: positive,
      q_D_inv_nm: positive,
      nu: positive,
      gamma: positive,
      xi0_nm: positive,
      Gamma0: positive,
      Tbar_R: positive,
    }),
  }),
  z.strictObject({
    ...head,
    form: z.literal("helium_hands_arp_1981"),
    rho_c_kg_m3: positive,
    dilute: z.strictObject({ a: number, n: number, b: z.array(number).length(4) }),
    c: z.array(number).length(11),
  }),
  z.strictObject({
    ...head,
    form: z.literal("methane_friend_1989"),
    T_r_K: positive,
    rho_r_mol_m3: positive,
    eta_dilute: z.strictObject({ T_star_K: positive, a_uPa_s: positive, C: z.array(number).length(9) }),
    eta_residual: z.strictObject({
      a_uPa_s: positive,
      numerator: powersOfBoth,
      denominator: powersOfBoth,
    }),
    dilute: z.strictObject({ a: number, f0: number, f1: number }),
    residual: z.strictObject({
      a_mW_m_K: positive,
      terms: z.array(z.strictObject({ j: number, r: number, s: number })).min(1),
      j7: number,
    }),
    critical: z.strictObject({
      a: number,
      chi_a: number,
      chi_exp: number,
      F_T: number,
      F_rho: number,
      F_A: number,
    }),
  }),
  z.strictObject({
    ...head,
    form: z.literal("boiling_liquid_powers"),
    T_c_K: positive,
    b1_mW_m_K: positive,
    b2: number,
    b3: number,
    b4: number,
    T_min_K: positive,
    T_max_K: positive,
  }),
]);

export const surfaceTension = z.strictObject({
  ...head,
  /** Of the correlation; may differ from that of the equation of state. */
  T_c_K: positive,
  terms: z.array(z.strictObject({ a_N_m: number, n: positive })).min(1),
});

export type ViscosityData = z.infer<typeof viscosity>;
export type ConductivityData = z.infer<typeof conductivity>;
export type SurfaceTensionData = z.infer<typeof surfaceTension>;
