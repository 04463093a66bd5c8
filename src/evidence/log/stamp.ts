/** Time stamps: ISO 8601 and its relatives, as seconds since the beginning of their first day. */

/** A stamp, split so that no digit of its fraction is lost. */
export interface Stamp {
  /** Whole days since 1970-01-01; undefined for a time of day without a date. */
  readonly day?: number;
  /** Seconds since midnight. */
  readonly second: number;
  /** True where the date could be read with day and month exchanged. */
  readonly ambiguous: boolean;
}

const clock = String.raw`(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,:](\d{1,9}))?)?\s*([AaPp][Mm])?`;
const zone = String.raw`\s*(?:Z|UTC|([+-])(\d{2}):?(\d{2}))?`;
const iso = new RegExp(String.raw`^(\d{4})-(\d{1,2})-(\d{1,2})[T\s]\s*${clock}${zone}$`);
const slashedYear = new RegExp(String.raw`^(\d{4})/(\d{1,2})/(\d{1,2})\s+${clock}${zone}$`);
const dotted = new RegExp(String.raw`^(\d{1,2})\.(\d{1,2})\.(\d{4})\s+${clock}${zone}$`);
const slashed = new RegExp(String.raw`^(\d{1,2})/(\d{1,2})/(\d{4})\s+${clock}${zone}$`);
const timeOfDay = new RegExp(`^${clock}${zone}$`);

export const secondsPerDay = 86_400;

/**
 * Reads a stamp: `2031-04-18T10:15:30.250Z`, `18.04.2031 10:15:30,25`, `04/18/2031 10:15:30.25 AM`,
 * `10:15:30.250`.
 *
 * @returns undefined for anything else and for a day or hour that does not exist
 */
export function readStamp(text: string): Stamp | undefined {
  // Every stamp has hours and minutes; most cells have none.
  if (!text.includes(":")) return undefined;
  const yearFirst = iso.exec(text) ?? slashedYear.exec(text);
  if (yearFirst !== null) return stampOf(yearFirst.slice(1, 4).map(Number), yearFirst.slice(4), false);
  const dayFirst = dotted.exec(text);
  if (dayFirst !== null) {
    const [d, m, y] = dayFirst.slice(1, 4).map(Number);
    return stampOf([y ?? 0, m ?? 0, d ?? 0], dayFirst.slice(4), false);
  }
  const monthFirst = slashed.exec(text);
  if (monthFirst !== null) {
    const [a, b, y] = monthFirst.slice(1, 4).map(Number);
    const isDayFirst = (a ?? 0) > 12;
    const date = isDayFirst ? [y ?? 0, b ?? 0, a ?? 0] : [y ?? 0, a ?? 0, b ?? 0];
    return stampOf(date, monthFirst.slice(4), !isDayFirst && (b ?? 0) <= 12 && a !== b);
  }
  const only = timeOfDay.exec(text);
  return only === null ? undefined : stampOf(undefined, only.slice(1), false);
}

export function isStamp(text: string): boolean {
  return readStamp(text) !== undefined;
}

/** True for a date alone, as in a column beside the time of day. */
export function isDate(text: string): boolean {
  return /^(\d{4}[-/]\d{1,2}[-/]\d{1,2}|\d{1,2}[./]\d{1,2}[./]\d{4})$/.test(text);
}

function stampOf(
  date: readonly number[] | undefined,
  rest: readonly (string | undefined)[],
  ambiguous: boolean,
): Stamp | undefined {
  const [
    hourText,
    minuteText,
    secondText = "0",
    fraction = "0",
    half,
    sign,
    zoneHour = "0",
    zoneMinute = "0",
  ] = rest;
  let hour = Number(hourText);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return undefined;
    hour = (hour % 12) + (half.toLowerCase() === "pm" ? 12 : 0);
  }
  const minute = Number(minuteText);
  const seconds = Number(secondText);
  if (hour > 23 || minute > 59 || seconds > 60) return undefined;
  const offset = (Number(zoneHour) * 60 + Number(zoneMinute)) * 60 * (sign === "-" ? -1 : 1);
  // The decimals are put behind the whole seconds as text: 30.1 is the double nearest to 30.1.
  const second = hour * 3600 + minute * 60 - offset + Number(`${seconds}.${fraction}`);
  if (date === undefined) return { second, ambiguous };
  const [year = 0, month = 0, dayOfMonth = 0] = date;
  const milliseconds = Date.UTC(year, month - 1, dayOfMonth);
  const back = new Date(milliseconds);
  if (back.getUTCMonth() !== month - 1 || back.getUTCDate() !== dayOfMonth) return undefined;
  return { day: milliseconds / 1000 / secondsPerDay, second, ambiguous };
}
