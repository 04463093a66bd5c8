/** Times of tests in words. */
import { timeDefinitions } from "../../../physics/motion/index.js";
import { valueWords } from "../../../question/index.js";

/** Label of a definition of time: "command to 90 % travel". */
export function definitionLabel(id: string): string {
  return timeDefinitions.find((row) => row.id === id)?.label ?? id;
}

/** A time with its standard uncertainty: "376.8 ms +/- 0.8 ms". */
export function timeWords(seconds: number, uncertainty?: number): string {
  const show = (si: number, u: number | undefined): string =>
    valueWords(si, u !== undefined && u > 0 ? { low: si - u, high: si + u } : undefined, "time", "ms");
  if (uncertainty === undefined || !(uncertainty > 0)) return show(seconds, undefined);
  return `${show(seconds, uncertainty)} +/- ${show(uncertainty, uncertainty)}`;
}

/** A date without the time of day where it has none. */
export function dateWords(date: string | undefined): string {
  return date === undefined ? "not dated" : date.replace("T", " ").replace(/(:\d\d)?(\.\d+)?Z$/, " UTC");
}
