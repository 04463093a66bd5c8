/** What nobody gave, and which checks wait for it. */
import type { Gap } from "./answer.js";
import type { Check } from "./check.js";
import { type Context, labelOf } from "./context.js";

/** The missing fields and pieces of evidence of some checks, in the order in which they are first needed. */
export function gapsOf(context: Context, checks: readonly Check[]): readonly Gap[] {
  const blocks = new Map<string, string[]>();
  for (const check of checks) {
    if (check.kind !== "unknown") continue;
    for (const path of check.needs) blocks.set(path, [...(blocks.get(path) ?? []), check.id]);
  }
  return [...blocks].map(([path, ids]) => ({
    path,
    label: labelOf(context, path),
    blocks: [...new Set(ids)],
  }));
}
