/**
 * A valve in its line: constant pressure ahead, constant pressure behind, turbulent resistances on
 * either side lumped into two numbers. Quasi-steady: liquid inertia is left to the line's own model.
 *
 * With g = rho C^2 the drop across the valve is W^2/g, so both flows below are closed forms, and the
 * smaller one rules (docs/theory/flow.md, "Installed flow"):
 *
 *   unchoked   W^2 = g (ps - pb) / (1 + g (Ru + Rd))
 *   choked     W^2 = g FL^2 (ps - FF pv) / (1 + g FL^2 Ru)
 *
 * Flow from behind is the same with the sides exchanged and F_L taken as equal both ways.
 */
import { type Notice, refuse } from "../../fault/index.js";
import {
  type FlowCoefficient,
  formatQuantity,
  type MassFlow,
  type Pressure,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
  type VolumeFlow,
} from "../../quantity/index.js";
import { cavitationState } from "./cavitation.js";
import { criticalPressureRatioFactor, inletNotices, type Liquid } from "./liquid.js";
import type { MassFlowResistance } from "./resistance.js";

/** The line around a valve. */
export interface InstalledSystem {
  /** Pressure of the source, static head included [Pa, absolute]. */
  readonly supplyPressure: Pressure;
  /** Pressure where the line ends [Pa, absolute]. */
  readonly backPressure: Pressure;
  /** Everything between source and valve, >= 0 [Pa/(kg/s)^2]. */
  readonly upstream: MassFlowResistance;
  /** Everything between valve and the end of the line, >= 0 [Pa/(kg/s)^2]. */
  readonly downstream: MassFlowResistance;
  readonly liquid: Liquid;
  /** `dead-ended`: the outlet is blocked; the drop is lost as soon as the port opens. */
  readonly outlet: "flowing" | "dead-ended";
}

/** Flow and pressures of the installed valve at one opening. */
export interface InstalledFlow {
  /** From source to end of line; negative in reverse [kg/s]. */
  readonly massFlow: MassFlow;
  /** At inlet density, same sign [m3/s]. */
  readonly volumeFlow: VolumeFlow;
  /** Supply side less delivery side of the valve; negative in reverse [Pa]. */
  readonly valveDrop: PressureDifference;
  /** Pressure at the port where liquid enters the valve [Pa, absolute]. */
  readonly inletPressure: Pressure;
  /** Pressure at the port where liquid leaves the valve [Pa, absolute]. */
  readonly outletPressure: Pressure;
  readonly choked: boolean;
  /** Drop at which this valve would choke at this inlet pressure [Pa]. */
  readonly chokedDrop: PressureDifference;
  /** x_F [-]; undefined where the inlet is not above the vapour pressure. */
  readonly cavitationRatio: number | undefined;
  /** sigma = 1/x_F [-]; undefined without a drop. */
  readonly sigma: number | undefined;
  readonly notices: readonly Notice[];
}

/**
 * Flow and pressures of the installed valve at one opening.
 *
 * @param system  the line
 * @param C       flow coefficient at this opening, >= 0 [m2]
 * @param FL      liquid pressure recovery factor at this opening, 0 < FL <= 1 [-]
 * Refuses        negative resistances, a source or back pressure without liquid on the inlet side.
 * Valid for      turbulent single-phase flow up to choking. Behind a choked valve the line carries
 *                some vapour, whose extra drop is not counted: with it the outlet pressure is higher.
 * Source         [iec60534-2-1, clause 5.1]; derived in docs/theory/flow.md, "Installed flow".
 */
export function installedFlow(system: InstalledSystem, C: FlowCoefficient, FL: number): InstalledFlow {
  requireNotNegative(C, "flow coefficient", "flow coefficient", "It is a flow per root of pressure drop.");
  requirePositive(FL, "pressure recovery factor FL", "ratio", "It compares choked with unchoked flow.");
  const W = new Float64Array(1);
  const drop = new Float64Array(1);
  const inlet = new Float64Array(1);
  const choked = new Uint8Array(1);
  installedFlowOverAngles(system, Float64Array.of(C), Float64Array.of(FL), W, drop, inlet, choked);
  const { liquid } = system;
  const massFlow = W[0] ?? 0;
  const valveDrop = drop[0] ?? 0;
  const p1 = (inlet[0] ?? 0) as Pressure;
  const p2 = (p1 - Math.abs(valveDrop)) as Pressure;
  const pv = liquid.vapourPressure;
  const FF = criticalPressureRatioFactor(pv, liquid.criticalPressure);
  const cavitation = cavitationState(p1, p2, pv);
  return {
    massFlow: massFlow as MassFlow,
    volumeFlow: (massFlow / liquid.density) as VolumeFlow,
    valveDrop: valveDrop as PressureDifference,
    inletPressure: p1,
    outletPressure: p2,
    choked: choked[0] === 1,
    chokedDrop: (FL * FL * (p1 - FF * pv)) as PressureDifference,
    cavitationRatio: cavitation.ratio,
    sigma: cavitation.sigma,
    notices: [...chokingNotices(choked[0] === 1), ...inletNotices(p1, pv)],
  };
}

/**
 * The same line where the pressure at its end rises from a lower one, while shut, to that of the
 * steady flow, as the pressure behind an injector or nozzle that the liquid itself fills:
 *
 *   p_b(W) = p_0 + (p_b - p_0) (W / W_open)^2
 *
 * With the square of the flow the rise is one more turbulent resistance at the end of the line, so the
 * flow keeps its closed form. A burning chamber with a choked throat rises in proportion to the flow,
 * above this at every part opening [nasa-sp-125]: the drop taken here is the larger one.
 *
 * @param system         the line with its steady back pressure
 * @param startPressure  p_0 while shut; one above the steady back pressure is taken as that [Pa, absolute]
 * @param C              flow coefficient wide open [m2];  @param FL  recovery factor there [-]
 * @returns              a line that wide open passes the same flow; `system` where none passes forward
 * Valid for             a volume behind the valve that follows the flow at once.
 */
export function withRisingBackPressure(
  system: InstalledSystem,
  startPressure: Pressure,
  C: FlowCoefficient,
  FL: number,
): InstalledSystem {
  const { massFlow } = installedFlow(system, C, FL);
  const rise = Math.max(system.backPressure - startPressure, 0);
  if (!(massFlow > 0)) return system;
  return {
    ...system,
    backPressure: (system.backPressure - rise) as Pressure,
    downstream: (system.downstream + rise / (massFlow * massFlow)) as MassFlowResistance,
  };
}

/**
 * Installed flow over a grid of openings; allocates nothing. Called for every sample of a band, so
 * both flows are written out in one loop: about 5 ns per opening.
 *
 * @param system       the line
 * @param C            flow coefficient at each opening, >= 0 [m2]
 * @param FL           liquid pressure recovery factor at each opening [-]
 * @param outMassFlow  receives mass flow, negative in reverse [kg/s]
 * @param outDrop      receives supply side less delivery side of the valve [Pa]
 * @param outInlet     receives the pressure where liquid enters the valve [Pa, absolute]
 * @param outChoked    receives 1 where flow is choked, else 0
 * All arrays have the length of C.
 * Refuses             as `installedFlow`, once per call, before anything is written.
 */
export function installedFlowOverAngles(
  system: InstalledSystem,
  C: Float64Array,
  FL: Float64Array,
  outMassFlow: Float64Array,
  outDrop: Float64Array,
  outInlet: Float64Array,
  outChoked: Uint8Array,
): void {
  const { supplyPressure, backPressure, liquid } = system;
  const forward = supplyPressure >= backPressure;
  const sign = forward ? 1 : -1;
  const high = forward ? supplyPressure : backPressure;
  const low = forward ? backPressure : supplyPressure;
  const before = forward ? system.upstream : system.downstream;
  const both = system.upstream + system.downstream;
  const recoverable = high - flowBoundary(system, high);
  const rho = liquid.density;
  if (system.outlet === "dead-ended") {
    deadEnded(system, C, outMassFlow, outDrop, outInlet, outChoked);
    return;
  }
  for (let i = 0; i < C.length; i++) {
    const c = C[i] ?? 0;
    const f = FL[i] ?? 1;
    const g = rho * c * c;
    const h = g * f * f;
    const share = 1 / (1 + g * both);
    const free = g * (high - low) * share;
    const limit = (h * recoverable) / (1 + h * before);
    if (free <= limit) {
      outMassFlow[i] = sign * Math.sqrt(free);
      outDrop[i] = sign * (high - low) * share;
      outInlet[i] = high - before * free;
      outChoked[i] = 0;
    } else {
      outMassFlow[i] = sign * Math.sqrt(limit);
      outDrop[i] = sign * (high - low - both * limit);
      outInlet[i] = high - before * limit;
      outChoked[i] = 1;
    }
  }
}

/** Blocked outlet: full difference while shut, none once the port is open; no flow to speak of. */
function deadEnded(
  system: InstalledSystem,
  C: Float64Array,
  outMassFlow: Float64Array,
  outDrop: Float64Array,
  outInlet: Float64Array,
  outChoked: Uint8Array,
): void {
  const difference = system.supplyPressure - system.backPressure;
  const shutInlet = Math.max(system.supplyPressure, system.backPressure);
  for (let i = 0; i < C.length; i++) {
    const shut = (C[i] ?? 0) <= 0;
    outMassFlow[i] = 0;
    outDrop[i] = shut ? difference : 0;
    outInlet[i] = shut ? shutInlet : system.supplyPressure;
    outChoked[i] = 0;
  }
}

/** FF pv, after refusing a line that this model does not describe [Pa, absolute]. */
function flowBoundary(system: InstalledSystem, high: number): number {
  const { liquid } = system;
  requireNotNegative(
    system.upstream,
    "upstream resistance in Pa/(kg/s)^2",
    "number",
    "A line does not gain pressure by flow.",
  );
  requireNotNegative(
    system.downstream,
    "downstream resistance in Pa/(kg/s)^2",
    "number",
    "A line does not gain pressure by flow.",
  );
  requireNotNegative(system.backPressure, "back pressure", "pressure", "It is absolute.");
  requireNotNegative(system.supplyPressure, "supply pressure", "pressure", "It is absolute.");
  requirePositive(liquid.density, "liquid density", "density", "Flow follows from it.");
  const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
  if (!(high > liquid.vapourPressure)) {
    refuse(
      "not-a-liquid",
      `the higher pressure of the line, ${formatQuantity(high, "pressure")}, does not exceed the vapour pressure ${formatQuantity(liquid.vapourPressure, "pressure")}`,
      "The flow model needs liquid at the source.",
      "Raise the supply pressure, lower the fluid temperature, or check that the pressure is absolute.",
    );
  }
  return FF * liquid.vapourPressure;
}

function chokingNotices(choked: boolean): readonly Notice[] {
  if (!choked) return [];
  return [
    {
      code: "choked",
      text: "flow is choked: liquid boils in the vena contracta, and a lower back pressure brings no more flow",
    },
  ];
}
