/**
 * The thermal conductivity formulation of water and steam, with its critical enhancement.
 *
 *   lambda = lambda_r (L0(Tb) L1(Tb, rhob) + L2)
 *   L0 = sqrt(Tb) / sum L_k Tb^-k
 *   L1 = exp(rhob sum (1/Tb - 1)^i sum L_ij (rhob - 1)^j)
 *   L2 = Lambda rhob cpb Tb / mub Z(q_D xi),   cpb = cp/R,   mub = mu / 1 uPa s
 *   Z(y) = 2/(pi y) ((1 - 1/kappa) atan(y) + y/kappa - (1 - exp(-1/(1/y + y^2/(3 rhob^2)))))
 *
 * Source  [iapws-r15-11, eq. 15-25]; the correlation length is that of the viscosity
 */
import type { Isotherm } from "./isotherm.js";
import type { HomogeneousState } from "./state.js";
import type { ConductivityData } from "./transportFile.js";
import { viscosityOn } from "./viscosity.js";
import { waterCorrelationLength } from "./viscosityOfWater.js";

type WaterForm = Extract<ConductivityData, { form: "iapws_r15_11" }>;

/** Below this y the enhancement is lost in rounding [iapws-r15-11, eq. 20]. */
const SMALLEST_Y = 1.2e-7;
const MICROPASCAL_SECONDS = 1e6;

/** Conductivity [W/(m K)] at the temperature and density last evaluated on the isotherm. */
export function waterConductivity(data: WaterForm, isotherm: Isotherm, state: HomogeneousState): number {
  const Tb = isotherm.T / data.T_r_K;
  const rhob = isotherm.rho / data.rho_r_kg_m3;
  const L0 = Math.sqrt(Tb) / data.L0.reduce((sum, L, k) => sum + L / Tb ** k, 0);
  const exponent = data.L.reduce(
    (sum, row, i) => sum + (1 / Tb - 1) ** i * row.reduce((inner, L, j) => inner + L * (rhob - 1) ** j, 0),
    0,
  );
  return data.lambda_r_W_m_K * (L0 * Math.exp(rhob * exponent) + enhancement(data, isotherm, state));
}

function enhancement({ critical, ...data }: WaterForm, isotherm: Isotherm, state: HomogeneousState): number {
  const viscosity = isotherm.fluid.file.viscosity;
  const xi = waterCorrelationLength(critical, { T_r: data.T_r_K, rho_r: data.rho_r_kg_m3 }, isotherm);
  const y = critical.q_D_inv_nm * xi;
  if (viscosity === undefined || !(y >= SMALLEST_Y) || !Number.isFinite(state.cp)) return 0;
  const mub = MICROPASCAL_SECONDS * viscosityOn(viscosity, isotherm);
  const Tb = isotherm.T / data.T_r_K;
  const rhob = isotherm.rho / data.rho_r_kg_m3;
  const cpb = state.cp / isotherm.fluid.specificGasConstant;
  const share = state.cv / state.cp;
  const background = -Math.expm1(-1 / (1 / y + y ** 2 / (3 * rhob ** 2)));
  const Z = (2 / (Math.PI * y)) * ((1 - share) * Math.atan(y) + share * y - background);
  return (critical.Lambda * rhob * cpb * Tb * Z) / mub;
}
