/** Faults of a file that does not fit its schema, in words of our own instead of the library's. */
import type { z } from "zod";
import type { Fault, Place } from "./fault.js";
import { nearName } from "./near.js";

/** How the faults of one kind of file are told. */
export interface ShapeWords {
  readonly code: string;
  readonly allowed: string;
  readonly mend: string;
  /** Keys at the top of the file, among which a misspelt one may be meant. */
  readonly keys: readonly string[];
  readonly placeOf: (keys: readonly (string | number)[]) => Place;
}

const missing = "it is missing";

/** Every fault of a file, in the order of the schema; a key that was misspelt is not told as missing too. */
export function shapeFaults(issues: readonly z.core.$ZodIssue[], words: ShapeWords): readonly Fault[] {
  const faults = issues.flatMap((issue) => faultsOf(issue, words));
  const meant = new Set(faults.map(({ near }) => near));
  return faults.filter(({ found, where }) => !(found === missing && meant.has(where.field)));
}

function faultsOf(issue: z.core.$ZodIssue, words: ShapeWords): readonly Fault[] {
  const { code, allowed, mend, placeOf } = words;
  const keys = issue.path.filter((key) => typeof key !== "symbol");
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => {
      const near = keys.length === 0 ? nearName(key, words.keys) : undefined;
      const fault = { code, where: placeOf([...keys, key]), found: `"${key}" is no key here`, allowed, mend };
      return near === undefined ? fault : { ...fault, near };
    });
  }
  const where = placeOf(keys);
  // A key that is not there has no line; of a choice the library says only what it can be.
  const isMissing = issue.code === "invalid_value" && where.line === undefined;
  return [{ code, where, found: isMissing ? missing : foundIn(issue), allowed, mend }];
}

function foundIn(issue: z.core.$ZodIssue): string {
  if (/received undefined$/.test(issue.message)) return missing;
  if (issue.code === "invalid_union") return "it is none of the forms that it can have";
  return issue.message.replace(/^Invalid (input|option|string): /, "").replace(/^Too \w+: /, "");
}
