/** The newest sealed prediction of a run's conditions, and whether it is that of the files as they are. */
import { changedFieldsWords, type SealedPrediction } from "../../evidence/index.js";
import { modelVersion } from "../../predict/index.js";
import { changedInputs, type SealedFiles } from "./madeRun.js";
import type { RunPlace } from "./stages.js";

/** What the card says of the seal. */
export type SealState =
  | { readonly kind: "sealed"; readonly sha256: string; readonly made: string }
  | {
      readonly kind: "outdated";
      readonly sha256: string;
      readonly made: string;
      readonly why: string;
      readonly command: string;
    }
  | { readonly kind: "none"; readonly command: string; readonly why: string }
  /** A seal holds predictions of strokes alone. */
  | { readonly kind: "not asked"; readonly why: string };

/**
 * The state of the seal of a run.
 * @param place      as the user typed it, for the command
 * @param isDerived  whether the valve file has no such case yet
 */
export function sealState(
  { kind, caseId }: RunPlace,
  of: SealedFiles,
  place: string,
  isDerived: boolean,
): { readonly state: SealState; readonly current: SealedPrediction | undefined } {
  if (kind !== "stroke")
    return {
      state: {
        kind: "not asked",
        why:
          kind === "leak"
            ? "no model predicts a leak: there is nothing to seal, the allowed leak is the limit"
            : "a seal holds predictions of strokes: write down what is expected here before the run",
      },
      current: undefined,
    };
  const command = `coldturn seal ${place} --case ${caseId}`;
  const newest = [...of.seals]
    .filter((seal) => seal.case === caseId)
    .sort((a, b) => Date.parse(b.made) - Date.parse(a.made))[0];
  if (newest === undefined)
    return {
      state: {
        kind: "none",
        command,
        why: isDerived
          ? "not sealed: take the case into valve.yaml, then seal before the run"
          : "not sealed: seal before the run",
      },
      current: undefined,
    };
  const { sha256, made, model } = newest;
  const changed = changedInputs(newest, of);
  const reasons = [
    ...(changed === undefined ? [] : [`changed since: ${changedFieldsWords(changed)}`]),
    ...(model === modelVersion ? [] : [`it is of model ${model}, this is ${modelVersion}`]),
  ];
  if (reasons.length === 0) return { state: { kind: "sealed", sha256, made }, current: newest };
  const why = `outdated, seal again before the run: ${reasons.join("; ")}`;
  return { state: { kind: "outdated", sha256, made, why, command }, current: undefined };
}
