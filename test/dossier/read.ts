/** What the tests of this folder share: a valve file read from its text. */
import { type DossierRead, readDossier } from "../../src/dossier/index.js";

export function readValve(text: string): DossierRead {
  return readDossier({ valve: { path: "valve.yaml", text } });
}
