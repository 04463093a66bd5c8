/**
 * What a sealed prediction must hold. A seal proves that nobody edited a file since it was sealed, not that this
 * program sealed it: a file that came from elsewhere can bear a seal that fits, and still lack what is read of it.
 */
import { z } from "zod";

const number = z.number();
const words = z.string();
const table = z.record(words, number);

const stroke = z.looseObject({
  times_s: table,
  inputUncertainty_s: table,
  band_s: z.record(words, z.looseObject({ low: number, high: number })),
  notArriving: z.looseObject({ estimate: number, low: number, high: number }).nullable(),
});

const sealed = z.looseObject({
  format: words,
  sha256: words,
  model: words,
  valve: words,
  case: words,
  made: words.refine((text) => Number.isFinite(Date.parse(text)), "is no instant"),
  seed: number,
  samples: number,
  coverage: number,
  definition: words,
  files: z.array(z.looseObject({ name: words, sha256: words })),
  inputs: z.array(
    z.looseObject({
      path: words,
      text: words,
      readAs: words,
      origin: words,
      value: number,
      dimension: words,
    }),
  ),
  opening: stroke,
  closing: stroke,
  parts: z.record(words, words).optional(),
});

/** What is not as it must be, as `inputs.0.value: expected number`; undefined where all is. */
export function misshapen(value: unknown): string | undefined {
  const read = sealed.safeParse(value);
  if (read.success) return undefined;
  const [issue] = read.error.issues;
  const words = issue?.message ?? "";
  const what = /received undefined$/.test(words) ? "it is missing" : words.replace(/^Invalid \w+: /, "");
  return `${issue?.path.map(String).join(".") ?? ""}: ${what}`;
}

/** Deeper than any file of the program; what is nested deeper is made to exhaust whoever walks it. */
const deepest = 50;

/** Whether plain data is nested deeper than any file of this program. Walks without recursion. */
export function isNestedDeeply(value: unknown): boolean {
  let level: readonly unknown[] = [value];
  for (let depth = 0; level.length > 0; depth++) {
    if (depth > deepest) return true;
    level = level.flatMap((item) => (typeof item === "object" && item !== null ? Object.values(item) : []));
  }
  return false;
}
