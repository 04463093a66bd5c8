/** Values between ambient and a cold point, by their declared ratio (docs/theory/predict.md, "The chain"). */
import { referenceTemperatures } from "../dossier/index.js";

/** How far a temperature lies from ambient (0) towards a cold point (1); beyond it more than 1 [-]. */
export function coldShare(T: number, cold_K: number): number {
  return (referenceTemperatures.ambient_K - T) / (referenceTemperatures.ambient_K - cold_K);
}

/** A cold ratio at a temperature, linear between ambient and cold point, not below zero [-]. */
export function ratioAt(ratio: number, share: number): number {
  return Math.max(1 + (ratio - 1) * share, 0);
}
