/** What a `Valve` of the library holds behind its face. */
import { caseIds, type Dossier, type DossierRead } from "../dossier/index.js";
import type { Fault, Notice } from "../fault/index.js";

/** A valve file that was read. */
export class OpenValve {
  readonly name: string | undefined;
  readonly cases: readonly string[];
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
  readonly dossier: Dossier;

  constructor({ dossier, faults, notices }: DossierRead) {
    this.name = dossier.valve.name;
    this.cases = caseIds(dossier);
    this.faults = faults;
    this.notices = notices;
    this.dossier = dossier;
  }
}

/** What was read of a valve. Throws for anything that `readValve` did not make. */
export function dossierOf(valve: unknown): Dossier {
  if (valve instanceof OpenValve) return valve.dossier;
  throw new TypeError("the valve must be one that readValve has read");
}
