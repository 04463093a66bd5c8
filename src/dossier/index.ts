export { applyDefaults, type FilledDossier, type UsedDefault } from "./defaults.js";
export type { SourceFile } from "./document.js";
export { caseIds, conditionsOf, type Dossier, type DossierRead, readDossier } from "./dossier.js";
export { type MarginRules, marginRules } from "./marginRule.js";
export { type Conditions, referenceTemperatures, type ValveFile } from "./schema.js";
export { type UncertainInput, uncertainInputs, valueAt, withValues } from "./uncertain.js";
