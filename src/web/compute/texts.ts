/** Which of a dossier's texts say what. */
import type { Texts } from "./protocol.js";

/** The team's own parts and solids, one file each. */
export function partsIn(texts: Texts): readonly { readonly path: string; readonly text: string }[] {
  return Object.entries(texts)
    .filter(([path]) => isPartPath(path))
    .map(([path, text]) => ({ path, text }));
}

function isPartPath(path: string): boolean {
  return /^parts\/[^/]+\.ya?ml$/i.test(path);
}

/** The texts that a search reads. */
export function searchedTexts(texts: Texts): Texts {
  return Object.fromEntries(
    Object.entries(texts).filter(([path]) => path === "valve.yaml" || isPartPath(path)),
  );
}
