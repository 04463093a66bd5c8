/** Gas flow through a control valve, for tests with gaseous nitrogen or a dry valve. */
import { refuse } from "../../fault/index.js";
import {
  type Density,
  type FlowCoefficient,
  formatQuantity,
  type MassFlow,
  type Pressure,
  requireNotNegative,
  requirePositive,
} from "../../quantity/index.js";

/** Isentropic exponent of air, to which F_gamma refers [iec60534-2-1, clause 7.6]. */
const referenceExponent = 1.4;

/** A valve with gas at its inlet. */
export interface GasFlowState {
  /** Flow coefficient, >= 0 [m2]. */
  readonly C: FlowCoefficient;
  /** Pressure differential ratio factor at choked flow, > 0 [-]. */
  readonly xT: number;
  /** Isentropic exponent of the gas, > 0 [-]. */
  readonly isentropicExponent: number;
  readonly inlet: Pressure;
  /** Outlet pressure, <= inlet [Pa, absolute]. */
  readonly outlet: Pressure;
  /** Density at inlet, > 0 [kg/m3]. */
  readonly inletDensity: Density;
}

/**
 * Gas flow without fittings.
 *
 *   W = C Y sqrt(x_s p1 rho1),  Y = 1 - x_s/(3 x_c),  x_c = (gamma/1.40) xT,  x_s = min(dp/p1, x_c)
 *
 * @returns   mass flow from inlet to outlet [kg/s], and whether it is choked
 * Refuses    an outlet above the inlet, values outside their domain.
 * Source     [iec60534-2-1, clause 6], from memory.
 */
export function gasFlow(state: GasFlowState): { readonly massFlow: MassFlow; readonly choked: boolean } {
  const { C, xT, isentropicExponent, inlet, outlet, inletDensity } = state;
  requireNotNegative(C, "flow coefficient", "flow coefficient", "It is a flow per root of pressure drop.");
  requirePositive(xT, "choked pressure ratio factor xT", "ratio", "It is a ratio of pressures.");
  requirePositive(isentropicExponent, "isentropic exponent", "ratio", "It is a ratio of heat capacities.");
  requirePositive(inlet, "inlet pressure", "pressure", "It is absolute.");
  requirePositive(inletDensity, "inlet density", "density", "Sizing takes its root.");
  if (!(outlet <= inlet)) {
    refuse(
      "no-drop",
      `outlet pressure ${formatQuantity(outlet, "pressure")} lies above inlet pressure ${formatQuantity(inlet, "pressure")}`,
      "Gas flows from inlet to outlet.",
      "Exchange inlet and outlet.",
    );
  }
  const x = (inlet - outlet) / inlet;
  const chokedRatio = (isentropicExponent / referenceExponent) * xT;
  const sizing = Math.min(x, chokedRatio);
  const expansion = 1 - sizing / (3 * chokedRatio);
  const massFlow = C * expansion * Math.sqrt(sizing * inlet * inletDensity);
  return { massFlow: massFlow as MassFlow, choked: x >= chokedRatio };
}
