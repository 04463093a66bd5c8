/** Which of the times that a log shows is spoken of: the wanted one, or the fullest there is. */

/** Definitions of a stroke's time, the one that says most of it first. */
export const fullestFirst: readonly string[] = [
  "command-to-end",
  "command-to-99-travel",
  "command-to-90-travel",
  "travel-10-to-90",
];

/** The time by the wanted definition, or by the fullest that is among them. */
export function leadingTime<T extends { readonly definition: string }>(
  times: readonly T[],
  wanted: string,
): T | undefined {
  for (const id of [wanted, ...fullestFirst]) {
    const found = times.find(({ definition }) => definition === id);
    if (found !== undefined) return found;
  }
  return undefined;
}
