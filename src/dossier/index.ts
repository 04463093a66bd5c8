export { appendCorrelation } from "./appendCorrelation.js";
export { changedDossier } from "./changed.js";
export {
  type DesignCheck,
  type DesignCheckId,
  designChecks,
  type FailureMode,
  type FailureModeId,
  failureModes,
  type Instead,
} from "./checklists.js";
export { isTableCell } from "./correlationRule.js";
export { applyDefaults, type FilledDossier, type UsedDefault } from "./defaults.js";
export { describeSchema, type FieldDescription } from "./describe.js";
export { parseFile, plainDataOf, type SourceFile } from "./document.js";
export { caseIds, conditionsOf, type Dossier, type DossierRead, readDossier } from "./dossier.js";
export { editValveText, leaveOutValue, type ValueEdit } from "./edit.js";
export { isFaulty } from "./faulty.js";
export { type FileForm, newerFault } from "./formatVersion.js";
export {
  editHazards,
  type HazardCut,
  type HazardFile,
  type HazardRow,
  type HazardText,
  hazardText,
  hazardTexts,
  hazardWording,
  type NewHazardRow,
  readHazards,
} from "./hazardFile.js";
export { type HeatInputs, type HeatKey, type HeatState, heatInputs, heatState } from "./heatInputs.js";
export { type JsonSchema, jsonSchema, standJsonSchema } from "./jsonSchema.js";
export { keywayField } from "./keyway.js";
export { gasLeakLimit, type LeakLimit } from "./leakClass.js";
export { type MarginRules, marginRules } from "./marginRule.js";
export { fileForms, type MigratedFile, migratedFile } from "./migrate.js";
export { materialNamed, readSolids } from "./ownSolid.js";
export type { WettedPart } from "./oxygenFields.js";
export {
  type OxygenStanding,
  oxygenLimits,
  oxygenMaterialNames,
  oxygenStanding,
  type WettedKind,
} from "./oxygenStanding.js";
export { type Part, type PartKind, partKinds, partsOnFile, readParts } from "./part.js";
export { type PartTable, partsOfTable } from "./partTable.js";
export { itemAt } from "./path.js";
export { proofRule } from "./proofRule.js";
export { nominalText, originWords, provenanceText } from "./provenance.js";
export { type Conditions, referenceTemperatures, type ValveFile } from "./schema.js";
export { readStandFile, type StandFile, type WaiverEntry } from "./standFile.js";
export { starterFile } from "./starter.js";
export { type StrengthFactors, strengthFactors } from "./strengthRule.js";
export { type DifferentValue, differentValues } from "./team/difference.js";
export {
  type DecisionWord,
  decisionForm,
  decisionWords,
  isFitPath,
  isRole,
  isSealedPath,
  pathForm,
  type Role,
  roles,
  roleWords,
  sealedForm,
  sheetBasisForm,
} from "./team/role.js";
export type { TestKind } from "./testFields.js";
export { type TradeInput, type TradeName, tradeGas, tradeInput } from "./tradeInputs.js";
export { type UncertainInput, uncertainInputs, valueAt, withValues } from "./uncertain.js";
export { variantText } from "./variantText.js";
export { type CommandChoice, type PartsInPlace, withParts } from "./withParts.js";
