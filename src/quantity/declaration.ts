/** From what a person wrote in a dossier to a declared value. */
import { type Bounds, boundedText } from "./bounds.js";
import type { Declared } from "./declared.js";
import { type Dimension, dimensionRecord } from "./dimension.js";
import type { Law, Origin } from "./law.js";
import { isMapping, readMapping, scalarText } from "./mapping.js";
import { formatInUnit } from "./printing.js";
import type { Spoken } from "./spoken.js";
import type { ReadingOptions } from "./unit.js";

/** What reading a declared value may need beside it. */
export interface DeclaredOptions extends ReadingOptions {
  /** Origin of a value that does not say its own; "assumed" if absent. */
  readonly origin?: Origin;
}

/**
 * A declared value from a text, a number or a mapping:
 *
 *   0.08                    28 bar(a)            0.08 +/- 0.02        0.08 +/- 0.04 (k=2)
 *   5 N m +/- 10 %          32 mm tol 0.05       from 300 N to 700 N
 *   { from: 300 N, to: 700 N }                   uniform, nominal midway
 *   { nominal: 0.78, low: 0.70, high: 0.84 }     triangular, or `law: uniform`, or `law: normal` with
 *                                                low and high as the ends of the 95 % interval
 *   { value: 0.08 +/- 0.02 }                     any of the texts
 *
 * A mapping may add `origin`, `because` and `reference`. `+/-` is a standard uncertainty of a normal
 * law, cut at the bounds of the field and of physics.
 *
 * @param raw        as it stands in the file: string, number or mapping
 * @param dimension  what the field is
 * @param bounds     bounds of the field, SI
 * @throws Refusal   with every fault found. `where.field` is the key inside a mapping, absent
 *                   otherwise; the reader of the file adds the place.
 */
export function parseDeclared(
  raw: unknown,
  dimension: Dimension,
  bounds: Bounds = {},
  options: DeclaredOptions = {},
): Declared {
  const origin = options.origin ?? "assumed";
  if (isMapping(raw)) {
    const { spoken, text, source } = readMapping(raw, { dimension, bounds, options });
    return declared(spoken, text, dimension, bounds, { origin, ...source });
  }
  const text = scalarText(raw, dimension);
  return declared(boundedText(text, dimension, bounds, options), text, dimension, bounds, { origin });
}

function declared(
  spoken: Spoken,
  text: string,
  dimension: Dimension,
  bounds: Bounds,
  source: Pick<Declared, "origin" | "because" | "reference">,
): Declared {
  const { law, words } = cutAtBounds(spoken, dimension, bounds);
  const readAs = `${spoken.readAs}${words}`;
  return { value: spoken.value, law, dimension, unit: spoken.unit.text, text, readAs, ...source };
}

/** A normal law ends where the field or physics does; the words say where. */
function cutAtBounds(
  spoken: Spoken,
  dimension: Dimension,
  bounds: Bounds,
): { readonly law: Law; readonly words: string } {
  const { law, unit } = spoken;
  if (law.kind !== "normal") return { law, words: "" };
  const least = dimensionRecord(dimension).least?.value ?? Number.NEGATIVE_INFINITY;
  const lowest = bounds.min ?? bounds.minExclusive ?? Number.NEGATIVE_INFINITY;
  const low = Math.max(least, lowest);
  const high = bounds.max ?? bounds.maxExclusive ?? Number.POSITIVE_INFINITY;
  const ends = [low, high].filter(Number.isFinite).map((end) => formatInUnit(end, unit, { digits: 6 }));
  return { law: { ...law, low, high }, words: ends.length === 0 ? "" : `, cut at ${ends.join(" and ")}` };
}
