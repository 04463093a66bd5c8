/**
 * The evidence layer, loaded when a sealed prediction or a run is touched: it stands on all of the
 * model, and the workers should be on their way before that is read.
 */
export async function evidence(): Promise<typeof import("./wholeEvidence.js")> {
  return await import("./wholeEvidence.js");
}
