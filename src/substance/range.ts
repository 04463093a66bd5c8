/** The range of a fluid: what is refused, and what is answered with a notice that it is extrapolated. */
import { type Notice, refuse } from "../fault/index.js";
import { type Dimension, formatNumber, formatQuantity } from "../quantity/index.js";
import type { Fluid } from "./fluid.js";
import { hasLiquidBelowTriple, solidAt } from "./melting.js";

const noNotices: readonly Notice[] = [];

/** A pressure computed from a density passes a limit it was set to by this share of rounding. */
const ROUNDING = 1 + 1e-9;

/**
 * Notices for a state at (T, p): empty inside the published range of the equation of state, else by
 * how much it is passed.
 *
 * @param T  temperature [K];  @param p  pressure [Pa]
 * @param phase  word put before the fluid in a refusal: "liquid oxygen at ..."
 * Refuses   what is not finite and positive; temperatures below the triple point (where the data file
 *           does not say that the liquid reaches lower); the solid side of the melting line; and what
 *           lies beyond the limits of extrapolation of the data file.
 */
export function rangeNotices(fluid: Fluid, T: number, p: number, phase = ""): readonly Notice[] {
  const { validity, extrapolation, triple } = fluid;
  const isInside = T >= triple.T && T <= validity.TMax && p > 0 && p <= validity.pMax * ROUNDING;
  if (!isInside) refuseBeyond(fluid, T, p, phase);
  const solid = solidAt(fluid, T, p);
  if (solid !== undefined) {
    const side = solid.liquidLies === "above" ? "below" : "above";
    refuse(
      "fluid-solid",
      `${stateText(fluid, T, p, phase)}: solid, ${side} its melting pressure of ${pressureText(solid.meltingPressure)} there`,
      `At ${kelvin(T)} ${fluid.id} is liquid only ${solid.liquidLies} that pressure.`,
      solid.liquidLies === "above"
        ? "Raise the temperature or the pressure."
        : "Raise the temperature or lower the pressure.",
    );
  }
  if (isInside) return noNotices;
  const notices: Notice[] = [];
  if (T > validity.TMax) {
    const [above, limit] = apart(T, validity.TMax, "temperature");
    notices.push({
      code: "fluid-extrapolated",
      text: `${fluid.id} at ${above}: ${formatQuantity(T - validity.TMax, "temperature difference")} above the range of its equation of state, which ends at ${limit}; followed to ${kelvin(extrapolation.TMax)}`,
    });
  }
  if (p > validity.pMax * ROUNDING) {
    const [above, limit] = apart(p, validity.pMax, "pressure");
    notices.push({
      code: "fluid-extrapolated",
      text: `${fluid.id} at ${above}: ${formatNumber(p / validity.pMax)} times the highest pressure of its equation of state, ${limit}; followed to ${pressureText(extrapolation.pMax)}`,
    });
  }
  return notices;
}

function refuseBeyond(fluid: Fluid, T: number, p: number, phase: string): void {
  const { extrapolation } = fluid;
  requirePositive(fluid, T, "K");
  requirePositive(fluid, p, "Pa");
  requireTemperature(fluid, T, () => `${phased(fluid, phase)} at ${pressureText(p)}`);
  if (p > extrapolation.pMax * ROUNDING) {
    const [found, bound] = apart(p, extrapolation.pMax, "pressure");
    refuse(
      "fluid-pressure-too-high",
      `${phased(fluid, phase)} at ${found} and ${kelvin(T)}: above ${bound}`,
      `The equation of state of ${fluid.id} is published to ${pressureText(fluid.validity.pMax)} and followed to ${bound}; no value beyond can be trusted.`,
      "Lower the pressure or the density.",
    );
  }
}

/** Refuses a quantity that no fluid can have. */
export function requirePositive(fluid: Fluid, value: number, unit: "K" | "Pa" | "kg/m3"): void {
  if (value > 0 && value < Number.POSITIVE_INFINITY) return;
  refuse(
    "impossible-state",
    `${fluid.id} at ${value} ${unit}`,
    "Temperature, absolute pressure and density of a fluid are finite and above 0.",
    unit === "Pa" ? "Give the absolute pressure." : "Give a value above 0.",
  );
}

/**
 * Refuses a temperature outside the range of the fluid.
 * @param T  [K], > 0;  @param subject  makes the words for what is asked, as "oxygen at 1100 kg/m3"
 */
export function requireTemperature(fluid: Fluid, T: number, subject: () => string): void {
  const { extrapolation, triple } = fluid;
  if (T < triple.T && !hasLiquidBelowTriple(fluid, T)) {
    const [found, bound] = apart(T, triple.T, "temperature");
    refuse(
      "fluid-below-triple-point",
      `${subject()} and ${found}: below the ${triple.called} temperature ${bound}`,
      `Below ${bound} ${fluid.id} is ${triple.called === "triple-point" ? "solid, or a gas too thin for" : "outside"} its equation of state.`,
      "Raise the temperature.",
    );
  }
  if (T > extrapolation.TMax) {
    const [found, bound] = apart(T, extrapolation.TMax, "temperature");
    refuse(
      "fluid-too-hot",
      `${subject()} and ${found}: above ${bound}`,
      `The equation of state of ${fluid.id} is published to ${kelvin(fluid.validity.TMax)} and followed to ${bound}; no value beyond can be trusted.`,
      "Lower the temperature.",
    );
  }
}

/** Refuses a temperature at which liquid and vapour do not exist side by side. */
export function requireSaturationTemperature(fluid: Fluid, T: number): void {
  const { triple, critical } = fluid;
  if (T >= triple.T && T <= critical.T) return;
  const isAbove = T > critical.T;
  const [found, bound] = apart(T, isAbove ? critical.T : triple.T, "temperature");
  const where = isAbove
    ? `above the critical temperature ${bound}`
    : T < triple.T
      ? `below the ${triple.called} temperature ${bound}`
      : "not a temperature";
  refuse(
    "no-saturation",
    `boiling ${fluid.id} at ${found}: ${where}`,
    `${fluid.name} boils between ${kelvin(triple.T)} and ${kelvin(critical.T)}.`,
    "Choose a temperature between the two.",
  );
}

/** Refuses a pressure at which the fluid does not boil. @param top  critical pressure of the equation [Pa] */
export function requireSaturationPressure(fluid: Fluid, p: number, top: number): void {
  const { triple } = fluid;
  if (p >= triple.p * (1 - ROUNDING_OF_TRIPLE_PRESSURE) && p <= top) return;
  const isAbove = p > top;
  const [found, bound] = apart(p, isAbove ? top : triple.p, "pressure");
  const where = isAbove
    ? `above the critical pressure ${bound}`
    : p < triple.p
      ? `below the ${triple.called} pressure ${bound}`
      : "not a pressure";
  refuse(
    "no-saturation",
    `boiling ${fluid.id} at ${found}: ${where}`,
    `${fluid.name} boils between ${pressureText(triple.p)} and ${pressureText(top)}.`,
    "Choose a pressure between the two.",
  );
}

/** The triple pressure of a data file is rounded to about six digits. */
const ROUNDING_OF_TRIPLE_PRESSURE = 1e-5;

/** "liquid oxygen at 62 bar(a) and 165 K". */
export function stateText(fluid: Fluid, T: number, p: number, phase = ""): string {
  return `${phased(fluid, phase)} at ${pressureText(p)} and ${kelvin(T)}`;
}

/** An absolute pressure as text. */
export function pressureText(p: number): string {
  return formatQuantity(p, "pressure");
}

/** A temperature as text. */
export function kelvin(T: number): string {
  return formatQuantity(T, "temperature");
}

function phased(fluid: Fluid, phase: string): string {
  return phase === "" ? fluid.id : `${phase} ${fluid.id}`;
}

/** A value and the bound it passes, with digits enough to tell them apart. */
function apart(value: number, bound: number, dimension: Dimension): readonly [string, string] {
  if (!Number.isFinite(value)) return [String(value), formatQuantity(bound, dimension)];
  for (let digits = 4; digits < 17; digits++) {
    const found = formatQuantity(value, dimension, { digits });
    const limit = formatQuantity(bound, dimension, { digits });
    if (found !== limit) return [found, limit];
  }
  return [formatQuantity(value, dimension, { digits: "all" }), formatQuantity(bound, dimension)];
}
