/** Which values of a dossier come from a test: holding them against that test, or fitting them to it again, counts it twice. */
import { type Dossier, uncertainInputs } from "../../dossier/index.js";

/** The words by which a value in the valve file says which run it was fitted to. */
export function fittedMark(runId: string): string {
  return `fitted to run ${runId},`;
}

/**
 * Paths of the values that were fitted to one of these runs, now or before a later fit.
 * @param runIds ids under which one and the same log was imported
 */
export function fittedTo(dossier: Dossier, runIds: readonly string[]): readonly string[] {
  const marks = runIds.map(fittedMark);
  return uncertainInputs(dossier)
    .filter(({ declared }) => marks.some((mark) => declared.because?.includes(mark) === true))
    .map(({ path }) => path);
}
