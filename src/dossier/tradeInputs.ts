/**
 * What the trade of concepts takes: as declared under `trade`, or the usual value that stands in where it is
 * left out (data/concepts/concepts.json), with its reason.
 */
import concepts from "../../data/concepts/concepts.json" with { type: "json" };
import type { Declared } from "../quantity/index.js";
import type { Dossier } from "./dossier.js";
import { isFaulty } from "./faulty.js";

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
