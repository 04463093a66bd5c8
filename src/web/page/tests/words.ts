/** Times of tests in words. */
import { timeDefinitions } from "../../../physics/motion/index.js";
import { formatQuantity } from "../../../quantity/index.js";

/** Label of a definition of time: "command to 90 % travel". */
export function definitionLabel(id: string): string {
  return timeDefinitions.find((row) => row.id === id)?.label ?? id;
}

/** A time with the digits that its standard uncertainty leaves, or three. */
export function timeAlone(seconds: number, uncertainty?: number): string {
  const digits = uncertainty !== undefined && uncertainty > 0 ? { uncertainty } : { digits: 3 };
  return formatQuantity(seconds, "time", { unit: "ms", ...digits });
}

/** A time with its standard uncertainty: "376.83 ms +/- 0.79 ms". */
export function timeWords(seconds: number, uncertainty?: number): string {
  if (uncertainty === undefined || !(uncertainty > 0)) return timeAlone(seconds);
  return `${timeAlone(seconds, uncertainty)} +/- ${timeAlone(uncertainty, uncertainty)}`;
}

/** A date without the time of day where it has none. */
export function dateWords(date: string | undefined): string {
  return date === undefined ? "not dated" : date.replace("T", " ").replace(/(:\d\d)?(\.\d+)?Z$/, " UTC");
}
