/** Strengths, factors and temperatures of what carries the torque, as the program takes them. */
import type { StrengthAnswer } from "../../predict/index.js";
import type { Temperature } from "../../quantity/index.js";
import { type Solid, type SolidQuantity, solidProperty } from "../../substance/index.js";
import type { Steps } from "../steps.js";
import { present, type Workings } from "../workings.js";

/** A strength of a metal as the path takes it: of a certificate, or the middle of what is published at its temperature. */
export function strengthLine(
  steps: Steps,
  of: Workings,
  symbol: string,
  how: {
    readonly material: Solid;
    readonly quantity: SolidQuantity;
    readonly certificate: string;
    readonly T: number;
    readonly words: string;
  },
): number {
  const { material, quantity, certificate, T, words } = how;
  const dimension = quantity === "fracture_toughness" ? "fracture toughness" : "stress";
  if (of.declares(certificate)) return steps.field(symbol, certificate, words);
  const { low, high } = solidProperty(material, quantity, T as Temperature);
  const source = {
    words: `data/solids/${material.id}.json at ${T.toPrecision(5)} K: middle of ${low.toExponential(4)} and ${high.toExponential(4)}`,
  };
  return steps.given(symbol, words, dimension, low + 0.5 * (high - low), source);
}

/** Temperature and material of a section or joint as the program has them. */
export function materialAt(
  answer: StrengthAnswer,
  part: string,
): { readonly material: Solid; readonly T: number } {
  const found = present(
    answer.materials.find((one) => one.part === part),
    part,
  );
  return { material: found.material, T: found.temperature_K };
}

export function factorLine(
  steps: Steps,
  { factors }: StrengthAnswer,
  symbol: string,
  which: "yield" | "ultimate" | "life",
): void {
  const words = {
    yield: "factor against yield",
    ultimate: "factor against rupture",
    life: "factor on the life",
  }[which];
  steps.given(symbol, words, "ratio", factors[which] ?? Number.NaN, factors.words);
}
