/**
 * Fields of the trade of concepts, `trade`: what other ways to open the valve would have to work with; and
 * what stands in where they are left out (data/concepts/concepts.json), each with its reason.
 */
import concepts from "../../data/concepts/concepts.json" with { type: "json" };
import type { Bounds, Declared } from "../quantity/index.js";
import type { Dossier } from "./dossier.js";
import { isFaulty } from "./faulty.js";
import { quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const share: Bounds = { minExclusive: 0, max: 1 };

export const tradeFields = section(
  {
    flux_density: quantity(
      "number",
      { minExclusive: 0, max: 2.2, because: "Iron is full beyond that." },
      "Flux density in the gap of a solenoid, in tesla.",
      "1.2",
    ),
    force_margin: quantity(
      "ratio",
      notNegative,
      "Force of a solenoid over that of the pressure, less one.",
      "0.5",
    ),
    pilot_bore: quantity("length", positive, "Bore of the pilot of a piloted valve.", "2 mm"),
    pilot_least_drop: quantity(
      "pressure difference",
      positive,
      "Drop that keeps a piloted poppet open.",
      "0.5 bar",
    ),
    gas: text("Gas of a pneumatic actuator, a name of the shipped fluids.", "nitrogen"),
    gas_pressure: quantity("pressure difference", positive, "Its pressure above the atmosphere.", "6 bar"),
    gas_temperature: quantity("temperature", {}, "Its temperature.", "293 K"),
    torque_margin: quantity(
      "ratio",
      notNegative,
      "Torque of a pneumatic actuator over that of the valve, less one.",
      "0.5",
    ),
    actuator_efficiency: quantity("ratio", share, "Share of the gas's work that turns the valve.", "0.85"),
    disc_strength: quantity(
      "stress",
      positive,
      "Ultimate strength of a burst disc at its temperature.",
      "550 MPa",
    ),
    firing_current: quantity("current", positive, "Firing current of a pyrotechnic charge.", "5 A"),
  },
  "What other ways to open the valve are reckoned with; `coldturn trade` holds them against each other.",
);

/** Names of what the trade takes. */
export type TradeName = keyof typeof concepts.values;

/** A number that the trade takes, SI, and where it is from. */
export interface TradeInput {
  readonly name: TradeName;
  /** Not a number where it was entered with a fault: nothing stands in for it. */
  readonly value: number;
  readonly words: string;
  readonly origin: "declared" | "default";
  readonly because: string;
  readonly reference: string | undefined;
}

/** A number of the trade: as declared, or the shipped one with its reason. */
export function tradeInput(dossier: Dossier, name: TradeName): TradeInput {
  const given = declaredAt(dossier, name);
  const path = `trade.${name}`;
  if (given !== undefined)
    return {
      name,
      value: given.value,
      words: given.text,
      origin: "declared",
      because: given.because ?? path,
      reference: given.reference,
    };
  if (isFaulty(dossier, path))
    return {
      name,
      value: Number.NaN,
      words: "not known",
      origin: "declared",
      because: `${path} has a fault`,
      reference: undefined,
    };
  const { number, value, reason, reference } = concepts.values[name];
  return { name, value: number ?? Number.NaN, words: value, origin: "default", because: reason, reference };
}

function declaredAt({ valve: { trade } }: Dossier, name: TradeName): Declared | undefined {
  // Every field of the section but `gas` is a quantity; a name that is no field has none.
  return (trade as Readonly<Record<string, Declared | undefined>> | undefined)?.[name];
}

/** The gas of a pneumatic actuator. */
export function tradeGas(dossier: Dossier): {
  readonly gas: string | undefined;
  readonly origin: "declared" | "default";
} {
  const gas = dossier.valve.trade?.gas;
  if (gas !== undefined) return { gas, origin: "declared" };
  return isFaulty(dossier, "trade.gas")
    ? { gas: undefined, origin: "declared" }
    : { gas: concepts.values.gas.value, origin: "default" };
}
