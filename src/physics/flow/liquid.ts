/**
 * Liquid flow through a control valve, turbulent and Newtonian, with choking by vapour.
 *
 * IEC 60534-2-1:2011 in coherent SI. The standard's numerical constants N1, N2, N4 are absorbed by
 * the flow coefficient C as an area: Q = C sqrt(dp/rho), C = Kv/3600 sqrt(999/1e5) m2, Kv in m3/h.
 * Assumes one component in thermal equilibrium; a liquid near saturation chokes at a small drop,
 * so the vapour pressure has to be that of the liquid as it reaches the valve, not of the tank.
 * Sources: [iec60534-2-1], from memory; derivations in docs/theory/flow.md.
 */
import { type Notice, refuse } from "../../fault/index.js";
import {
  type Density,
  type FlowCoefficient,
  formatQuantity,
  type MassFlow,
  type Pressure,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
  requireShare,
  type Viscosity,
  type VolumeFlow,
} from "../../quantity/index.js";
import { combinedRecoveryFactor, noFittings, type PipingFactors, pipingGeometryFactor } from "./fittings.js";

/** Properties of a liquid at the valve inlet. */
export interface Liquid {
  /** Density at the inlet state, > 0 [kg/m3]. */
  readonly density: Density;
  /** Vapour pressure at the inlet temperature, >= 0 [Pa, absolute]. */
  readonly vapourPressure: Pressure;
  /** Thermodynamic critical pressure, > 0 [Pa, absolute]. */
  readonly criticalPressure: Pressure;
  /** Dynamic viscosity, > 0 [Pa s]; only the Reynolds number needs it. */
  readonly viscosity?: Viscosity;
}

/** A valve at one opening with liquid on both sides. */
export interface LiquidFlowState {
  /** Flow coefficient at this opening, >= 0 [m2]. */
  readonly C: FlowCoefficient;
  /** Liquid pressure recovery factor at this opening, 0 < FL <= 1 [-]. */
  readonly FL: number;
  /** Pressure ahead of the valve and its inlet fittings [Pa, absolute]. */
  readonly inlet: Pressure;
  /** Pressure behind the valve and its outlet fittings [Pa, absolute]. */
  readonly outlet: Pressure;
  readonly liquid: Liquid;
  /** Reducers at the valve; left out: pipe of the valve's size. */
  readonly fittings?: PipingFactors;
}

/** Flow through a valve at a given state. */
export interface LiquidFlow {
  /** Volume flow at inlet density, negative against the nominal direction [m3/s]. */
  readonly volumeFlow: VolumeFlow;
  /** Mass flow, same sign [kg/s]. */
  readonly massFlow: MassFlow;
  /** Drop beyond which flow no longer grows [Pa]. */
  readonly chokedDrop: PressureDifference;
  /** True if the drop exceeds the choked drop. */
  readonly choked: boolean;
  readonly notices: readonly Notice[];
}

/**
 * Liquid critical pressure ratio factor: pressure at the choked vena contracta over vapour pressure.
 *
 *   FF = 0.96 - 0.28 sqrt(pv / pc)
 *
 * @param pv  vapour pressure at inlet temperature, 0 <= pv <= pc [Pa, absolute]
 * @param pc  thermodynamic critical pressure, > 0 [Pa, absolute]
 * @returns   FF, 0.68 to 0.96 [-]
 * Refuses    a vapour pressure above the critical one: there is no liquid.
 * Source     [iec60534-2-1, clause 7.5], from memory.
 */
export function criticalPressureRatioFactor(pv: Pressure, pc: Pressure): number {
  requirePositive(pc, "critical pressure", "pressure", "It is an absolute pressure.");
  requireNotNegative(pv, "vapour pressure", "pressure", "It is an absolute pressure.");
  if (pv > pc) {
    refuse(
      "not-a-liquid",
      `vapour pressure ${formatQuantity(pv, "pressure")} lies above the critical pressure ${formatQuantity(pc, "pressure")}`,
      "A liquid exists only up to its critical point.",
      "Check the fluid temperature, and that both pressures are absolute and of the same fluid.",
    );
  }
  return 0.96 - 0.28 * Math.sqrt(pv / pc);
}

/**
 * Drop across the valve at which liquid flow chokes.
 *
 *   dp_choked = FL^2 (p1 - FF pv)
 *
 * @param FL  liquid pressure recovery factor, 0 < FL <= 1 [-]; with fittings F_LP/F_P
 * @param p1  inlet pressure, > FF pv [Pa, absolute]
 * @param FF  liquid critical pressure ratio factor [-]
 * @param pv  vapour pressure at inlet temperature [Pa, absolute]
 * @returns   choked drop, > 0 [Pa]
 * Refuses    an inlet at or below FF pv: what arrives is not liquid.
 * Source     [iec60534-2-1, clause 5.1], from memory.
 */
export function chokedDrop(FL: number, p1: Pressure, FF: number, pv: Pressure): PressureDifference {
  requirePositive(FL, "pressure recovery factor FL", "ratio", "It compares choked with unchoked flow.");
  if (!(p1 > FF * pv)) {
    refuse(
      "not-a-liquid",
      `inlet pressure ${formatQuantity(p1, "pressure")} does not exceed ${formatQuantity(FF * pv, "pressure")}, the choked pressure of a liquid with vapour pressure ${formatQuantity(pv, "pressure")}`,
      "The liquid sizing equations need liquid at the inlet.",
      "Raise the inlet pressure, cool the fluid, or check that the pressure is absolute.",
    );
  }
  return (FL * FL * (p1 - FF * pv)) as PressureDifference;
}

/**
 * Liquid flow through a valve.
 *
 *   Q = C F_P sqrt(dp_s / rho),   dp_s = min(|p1 - p2|, (F_LP/F_P)^2 (p_in - FF pv))
 *
 * p_in is the higher of both pressures: a ball valve passes either way, and FL is taken as equal
 * in both directions (common practice, no source).
 *
 * @returns   flow at inlet density, positive from inlet to outlet, with choking said
 * Refuses    values outside their domain; a higher side that holds no liquid.
 * Valid for  turbulent flow (valve Reynolds number above 10 000), Newtonian liquid, C/d^2 below
 *            0.047 Kv/mm2. Wide-open full-bore balls exceed that bound: their flow coefficient is
 *            then as uncertain as their K, see docs/theory/flow.md.
 * Source     [iec60534-2-1, clause 5.1, equations 1 to 4], from memory.
 */
export function liquidFlow(state: LiquidFlowState): LiquidFlow {
  const { C, FL, inlet, outlet, liquid } = state;
  requireNotNegative(C, "flow coefficient", "flow coefficient", "It is a flow per root of pressure drop.");
  requireShare(
    FL,
    "pressure recovery factor FL",
    "A choked valve passes at most what full drop without recovery gives.",
  );
  requirePositive(liquid.density, "liquid density", "density", "Sizing divides by it.");
  const high = Math.max(inlet, outlet) as Pressure;
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  const fittings = state.fittings ?? noFittings;
  const FP = pipingGeometryFactor(C, fittings);
  const FLP = combinedRecoveryFactor(C, FL, fittings);
  const limit = chokedDrop(FLP / FP, high, FF, liquid.vapourPressure);
  const drop = Math.abs(inlet - outlet);
  const magnitude = C * FP * Math.sqrt(Math.min(drop, limit) / liquid.density);
  const volumeFlow = (inlet >= outlet ? magnitude : -magnitude) as VolumeFlow;
  return {
    volumeFlow,
    massFlow: (volumeFlow * liquid.density) as MassFlow,
    chokedDrop: limit,
    choked: drop > limit,
    notices: inletNotices(high, liquid.vapourPressure),
  };
}

/** What a valve has to pass, to find the flow coefficient it needs. */
export interface RequiredFlow {
  /** Volume flow wanted at inlet density, > 0 [m3/s]. */
  readonly volumeFlow: VolumeFlow;
  /** Liquid pressure recovery factor of the valve at that opening, 0 < FL <= 1 [-]. */
  readonly FL: number;
  /** Pressure ahead of the valve [Pa, absolute]. */
  readonly inlet: Pressure;
  /** Pressure behind the valve, < inlet [Pa, absolute]. */
  readonly outlet: Pressure;
  readonly liquid: Liquid;
  readonly fittings?: PipingFactors;
}

/**
 * Flow coefficient that passes a given flow at a given drop.
 *
 * The flow is limited by the drop, 1/(C F_P)^2 = 1/C^2 + a, and by choking,
 * 1/(C F_LP)^2 = 1/(C FL)^2 + b; both invert in closed form, and the larger C rules
 * (derived in docs/theory/flow.md, "Required flow coefficient").
 *
 * @returns   C, > 0 [m2]
 * Refuses    an outlet at or above the inlet; a flow that the fittings alone cannot pass.
 * Source     [iec60534-2-1, clause 5.1], from memory.
 */
export function requiredFlowCoefficient(wanted: RequiredFlow): FlowCoefficient {
  const { volumeFlow: Q, FL, inlet: p1, outlet: p2, liquid } = wanted;
  requirePositive(Q, "wanted volume flow", "volume flow", "The coefficient is sized for a flow that passes.");
  requireShare(
    FL,
    "pressure recovery factor FL",
    "A choked valve passes at most what full drop without recovery gives.",
  );
  requirePositive(liquid.density, "liquid density", "density", "Sizing divides by it.");
  if (!(p2 < p1)) {
    refuse(
      "no-drop",
      `outlet pressure ${formatQuantity(p2, "pressure")} is not below inlet pressure ${formatQuantity(p1, "pressure")}`,
      "A flow needs a drop; without one no flow coefficient is large enough.",
      "Lower the outlet pressure or raise the inlet pressure.",
    );
  }
  const fittings = wanted.fittings ?? noFittings;
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  const recovered = chokedDrop(1, p1, FF, liquid.vapourPressure);
  const byDrop = Q / Math.sqrt((p1 - p2) / liquid.density);
  const byChoking = Q / Math.sqrt(recovered / liquid.density);
  const inverseSquare = Math.min(
    1 / byDrop ** 2 - fittings.lossPerArea,
    FL ** 2 * (1 / byChoking ** 2 - fittings.inletLossPerArea),
  );
  if (!(inverseSquare > 0)) {
    refuse(
      "fittings-too-tight",
      `${formatQuantity(Q, "volume flow")} at a drop of ${formatQuantity(p1 - p2, "pressure difference")} is more than the fittings at the valve pass without any valve`,
      "The reducers' own loss comes before the valve's.",
      "Use a larger valve size, or allow a larger drop.",
    );
  }
  return (1 / Math.sqrt(inverseSquare)) as FlowCoefficient;
}

/** The caveat of an inlet below the vapour pressure, or none. Both pressures absolute [Pa]. */
export function inletNotices(inlet: Pressure, vapourPressure: Pressure): readonly Notice[] {
  if (inlet >= vapourPressure) return [];
  const found = formatQuantity(inlet, "pressure");
  const bound = formatQuantity(vapourPressure, "pressure");
  return [
    {
      code: "flashing-at-inlet",
      text: `the valve inlet at ${found} lies below the vapour pressure ${bound}: vapour reaches the valve, and the flow is an upper bound`,
    },
  ];
}
