/** Numbers of a plan in words, the same for terminal, cards and page. */
import { formatNumber, formatQuantity, fromSi } from "../../quantity/index.js";
import { bandWords, percentWords, probabilityWords, unitOf, valueWords, withUnit } from "../words.js";
import type { AbortLimit } from "./abortLimits.js";
import type { ExpectedValue } from "./expected.js";
import type { Instrument } from "./instrumentNeeds.js";

/** "444 ms". */
export function expectedWords({ value, band, dimension, unit, isChance }: ExpectedValue): string {
  if (value === undefined) return "none: it does not open";
  if (isChance === true && band !== undefined)
    return probabilityWords({ estimate: value, ...band }).replace(/ \(.*/, "");
  return valueWords(value, band, dimension, unit);
}

/** "95 % between 420 and 470 ms"; "" without a band. */
export function expectedBandWords({ value, band, dimension, unit, isChance }: ExpectedValue): string {
  if (band === undefined || (isChance === true && (value === 0 || value === 1))) return "";
  return `${percentWords(band.coverage)} ${bandWords(band, dimension, unit)}`;
}

/** "above 155 degC"; "not known". Rounded to the side on which the run is stopped earlier. */
export function abortWords({ limit, stopWhen, dimension, unit }: AbortLimit): string {
  if (limit === undefined) return "not known";
  const number = fromSi(unitOf(unit, dimension), limit);
  return `${stopWhen} ${withUnit(formatNumber(earlier(number, stopWhen), { digits: limitDigits }), unit)}`;
}

const limitDigits = 3;
/** A number that is a whole one but for its last bits stays what it is. */
const lastBits = 1e-9;

function earlier(number: number, stopWhen: AbortLimit["stopWhen"]): number {
  if (number === 0) return 0;
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) - limitDigits + 1);
  const steps = number / step;
  return step * (stopWhen === "above" ? Math.floor(steps + lastBits) : Math.ceil(steps - lastBits));
}

/** "0 to 42 bar(a)"; "not known". */
export function rangeWords({ range, dimension, unit }: Instrument): string {
  if (range === undefined) return "not known";
  const end = (si: number) => formatQuantity(si, dimension, { unit, digits: 2 });
  const bare = (si: number) => end(si).replace(/ .*/, "");
  return `${bare(range.low)} to ${end(range.high)}`;
}

/** "3600 /s". */
export function rateWords({ rate_Hz }: Instrument): string {
  return `${formatNumber(rate_Hz, { digits: 2 })} /s`;
}

/** "350 Hz"; "" where no filter is asked for. */
export function filterWords({ filter_Hz }: Instrument): string {
  return filter_Hz === undefined ? "" : `${formatNumber(filter_Hz, { digits: 2 })} Hz`;
}

/** "1.2 A"; "not known". */
export function uncertaintyWords({ uncertainty, dimension, unit, range }: Instrument): string {
  if (uncertainty === undefined) return "not known";
  // A difference of temperatures or pressures has no zero to count from.
  if (dimension === "temperature")
    return formatQuantity(uncertainty, "temperature difference", { digits: 2 });
  if (dimension === "pressure") return formatQuantity(uncertainty, "pressure difference", { digits: 2 });
  const size = Math.max(Math.abs(range?.high ?? 0), Math.abs(range?.low ?? 0));
  return formatQuantity(uncertainty, dimension, size > 0 ? { unit, digits: 2 } : { digits: 2 });
}
