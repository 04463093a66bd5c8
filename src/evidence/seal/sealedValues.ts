/** The valve as it was sealed: a seal keeps its inputs as they were written, so they can stand in the file again. */
import { parse } from "yaml";
import { type Dossier, withValues } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { type Declared, type Dimension, dimensions, origins, parseDeclared } from "../../quantity/index.js";
import type { SealedInput, SealedPrediction } from "./seal.js";

/** What a re-read value may differ by from the sealed one: rounding of a decimal text. */
const sameShare = 1e-9;

/**
 * A dossier with the sealed values in place of those that were changed since.
 * @param dossier as it is now, with its defaults applied;  @param changed paths that differ from the seal
 * @returns undefined where the seal cannot be put back: a value was added since, or its text reads otherwise now
 */
export function withSealedValues(
  dossier: Dossier,
  sealed: SealedPrediction,
  changed: readonly string[],
): Dossier | undefined {
  const values = new Map<string, Declared>();
  for (const path of changed) {
    const input = sealed.inputs.find((one) => one.path === path);
    const value = input === undefined ? undefined : declaredFrom(input);
    if (value === undefined) return undefined;
    values.set(path, value);
  }
  try {
    return withValues(dossier, values);
  } catch (thrown) {
    if (thrown instanceof Refusal) return undefined;
    throw thrown;
  }
}

function declaredFrom({ text, value, dimension, origin }: SealedInput): Declared | undefined {
  const known = Object.keys(dimensions).find((one): one is Dimension => one === dimension);
  const from = origins.find((one) => one === origin);
  if (known === undefined) return undefined;
  try {
    const read = parseDeclared(written(text), known, {}, from === undefined ? {} : { origin: from });
    return Math.abs(read.value - value) <= sameShare * Math.max(Math.abs(value), 1e-30) ? read : undefined;
  } catch (thrown) {
    if (thrown instanceof Refusal) return undefined;
    throw thrown;
  }
}

/** A mapping is sealed as text in braces. */
function written(text: string): unknown {
  return text.startsWith("{") ? parse(text) : text;
}
