/** What the lines ahead of a table say that the import can use. */
import type { MetadataLine } from "./table.js";

const rateKey =
  /\b(sampl\w*|scan|log\w*|acqui\w*|abtast\w*|daq)[\s_-]*(rate|freq\w*|frequenz)|\bfs\b|\bf_?sample\b/i;
/** A bare "rate" is the sampling rate where a frequency follows: a flow or a heating rate has no hertz. */
const bareRate = /^[\W_]*rate\b[^0-9A-Za-z]*[0-9.,]+(e[+-]?\d+)?\W*(k?Hz|k?S\/s)/i;
const intervalKey = /\b(sampl\w*|scan|log\w*|abtast\w*|time)[\s_-]*(interval|period|step|intervall)|\bdt\b/i;

/**
 * The sampling rate that the metadata declare, as a quantity: "1000 Hz"; undefined if they do not.
 */
export function declaredRate(metadata: readonly MetadataLine[]): string | undefined {
  for (const { text } of metadata) {
    const isRate = rateKey.test(text) || bareRate.test(text);
    if (!isRate && !intervalKey.test(text)) continue;
    const number =
      /([0-9]+(?:[.,][0-9]+)?(?:[eE][+-]?\d+)?)\s*\]?\s*[;,\t]?\s*(k?Hz|S\/s|kS\/s|ms|µs|us|s\b)?/.exec(
        text.replace(/^[^0-9]*?(?=[\s:=;,\t[(]\s*[0-9[(])/, ""),
      );
    const value = Number((number?.[1] ?? "").replace(",", "."));
    if (!(value > 0)) continue;
    const unit = number?.[2] ?? /[[(](k?Hz|ms|µs|us|s)[\])]/.exec(text)?.[1];
    if (isRate && (unit === undefined || /^(k?Hz|k?S\/s)$/.test(unit))) {
      return `${value * (unit?.startsWith("k") === true ? 1000 : 1)} Hz`;
    }
    const seconds =
      unit === "s" ? 1 : unit === "ms" ? 1e-3 : unit === "µs" || unit === "us" ? 1e-6 : undefined;
    if (!isRate && seconds !== undefined) return `${Number((1 / (value * seconds)).toPrecision(12))} Hz`;
  }
  return undefined;
}

const triggerKey = /\b(pre[\s_-]?trigger|trigger)[\s_-]*(samples?|sample number|position|index|points?)\b/i;

/** The sample that the metadata name as that of the trigger; undefined if they do not. */
export function triggerSample(metadata: readonly MetadataLine[]): number | undefined {
  for (const { text } of metadata) {
    const at = triggerKey.exec(text);
    if (at === null) continue;
    const [number] = /\d+/.exec(text.slice(at.index + at[0].length)) ?? [];
    if (number !== undefined) return Number(number);
  }
  return undefined;
}
