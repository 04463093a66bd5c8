/** What the tests of this folder share: from plain data or text to a plan, and changed copies of data. */
import { readFileSync } from "node:fs";
import { parse, stringify } from "yaml";
import { applyDefaults, type Dossier, readDossier } from "../../src/dossier/index.js";
import { columnIndex, type Nominal, type Plan, planFor } from "../../src/predict/index.js";
import type { Section } from "./randomValve.js";

/** The Petrel valve as plain data, fresh each time. */
export function petrel(): Section {
  return parse(readFileSync(new URL("../../demo/petrel-oxygen-main/valve.yaml", import.meta.url), "utf8"));
}

/** The dossier of plain data with its defaults. Fails if the file has faults. */
export function dossierOf(data: Section, caseId = "duty"): Dossier {
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: stringify(data) } });
  if (faults.length > 0) throw new Error(faults.map((fault) => fault.found).join("; "));
  return applyDefaults(dossier, caseId).dossier;
}

export function planOf(data: Section, caseId = "duty"): Plan {
  return planFor(dossierOf(data, caseId), caseId);
}

/** A copy with another value at a path such as `drive.stages[0].ratio`; undefined takes it away. */
export function having(data: Section, changes: Readonly<Record<string, unknown>>): Section {
  const copy = structuredClone(data);
  for (const [path, value] of Object.entries(changes)) {
    const steps = path.split(/\.|\[|\]\.?/).filter((step) => step !== "");
    const last = steps.pop() ?? "";
    let at: object = copy;
    for (const step of steps) {
      const next: unknown = Reflect.get(at, step);
      if (typeof next === "object" && next !== null) at = next;
      else {
        const made = {};
        Reflect.set(at, step, made);
        at = made;
      }
    }
    if (value !== undefined) Reflect.set(at, last, value);
    else if (Array.isArray(at)) at.splice(Number(last), 1);
    else Reflect.deleteProperty(at, last);
  }
  return copy;
}

/** A figure of the nominal row by its id. */
export function figure(nominal: Nominal, id: string): number {
  return nominal.row[columnIndex(id)] ?? Number.NaN;
}
