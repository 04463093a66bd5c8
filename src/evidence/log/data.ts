/** Plain data of a file, before it is known to be what it should be. */
import { refuse } from "../../fault/index.js";

/** True for a set of keys. */
export function isRecord(data: unknown): data is Readonly<Record<string, unknown>> {
  return typeof data === "object" && data !== null && !Array.isArray(data);
}

/** Refuses a value of another kind than its key holds. */
export function refuseKind(key: string, data: unknown, wanted: string): never {
  return refuse(
    "mapping-wrong-kind",
    data === undefined ? `${key} is missing` : `${key} is ${shown(data)}`,
    `${key} is ${wanted}.`,
    "Correct it in the mapping.",
  );
}

/** A value as far as one line holds it. */
export function shown(data: unknown): string {
  const text = data === undefined ? "missing" : JSON.stringify(data);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
