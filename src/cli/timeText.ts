/** Times of a stroke in words. */
import { timeDefinitions } from "../physics/motion/index.js";
import { formatQuantity } from "../quantity/index.js";

/** "from command to 90 % flow". */
export function definitionWords(id: string): string {
  const label = timeDefinitions.find((row) => row.id === id)?.label;
  return label === undefined ? `by ${id}` : `from ${label}`;
}

/** A time with the digits that its standard uncertainty leaves, or four. */
export function milliseconds(seconds: number, uncertainty?: number): string {
  return formatQuantity(seconds, "time", {
    unit: "ms",
    ...(uncertainty === undefined || !(uncertainty > 0) ? {} : { uncertainty }),
  });
}
