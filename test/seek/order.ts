/** Orders of small searches for the tests. */
import { stringify } from "yaml";
import { type SeekOrder, seekOrder } from "../../src/seek/index.js";
import { having, petrel } from "../predict/valveFile.js";

/** The Petrel valve with a search of its own, and parts of the team. */
export function petrelOrder(
  seek: unknown,
  {
    within,
    ...options
  }: { readonly samples?: number; readonly parts?: readonly string[]; readonly within?: string } = {},
): SeekOrder {
  const changes = { seek, ...(within === undefined ? {} : { "duty.open_within.time": within }) };
  return orderOf(having(petrel(), changes), options);
}

export function orderOf(
  valve: unknown,
  { samples = 24, parts = [] }: { readonly samples?: number; readonly parts?: readonly string[] } = {},
): SeekOrder {
  return seekOrder({
    valve: { path: "valve.yaml", text: stringify(valve) },
    parts: parts.map((text, index) => ({ path: `parts/${index}.yaml`, text })),
    caseId: "duty",
    seed: 1,
    samples,
  });
}
