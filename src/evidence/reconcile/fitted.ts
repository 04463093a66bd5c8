/**
 * Which values of a dossier come from tests, and what they were before. Holding such a value against
 * its own test, or fitting it to it again, counts the test twice; a joint update of several tests
 * therefore begins from what was declared before any of them.
 *
 * A fitted value says so under `because`: "fitted to run a, was 0.08 +/- 0.02; before that fitted to
 * runs b, c, was ...". One that was accepted from an update that does not stand says that too: "fitted to
 * run a, was 0.08 +/- 0.02; accepted although the update does not stand: ...".
 */
import { type Dossier, uncertainInputs } from "../../dossier/index.js";

/** One fit of a value, as it is written beside it. */
interface Fit {
  readonly runIds: readonly string[];
  /** The value before it, as written. */
  readonly was: string;
  /** Whether the update stood that it comes from. */
  readonly stood: boolean;
}

const although = "; accepted although the update does not stand: ";

/**
 * The words by which a value in the valve file says which runs it was fitted to, and what it was.
 * @param refusals why the update does not stand; none where it stands
 */
export function fittedWords(
  runIds: readonly string[],
  was: string,
  earlier: string | undefined,
  refusals: readonly string[] = [],
): string {
  const runs = `run${runIds.length > 1 ? "s" : ""} ${runIds.join(", ")}`;
  const before = earlier?.startsWith("fitted to run") === true ? `; before that ${earlier}` : "";
  const doubt = refusals.length === 0 ? "" : `${although}${refusals.join("; ")}`;
  return `fitted to ${runs}, was ${was}${doubt}${before}`;
}

/** The fits that a value tells of, the last one first. */
export function fittedRuns(because: string | undefined): readonly Fit[] {
  if (because?.startsWith("fitted to run") !== true) return [];
  return because.split("; before that ").flatMap((text): readonly Fit[] => {
    const [fit = "", ...doubts] = text.split(although);
    const [, runs, was] = /^fitted to runs? (.*?), was ([\s\S]*)$/.exec(fit) ?? [];
    if (runs === undefined || was === undefined) return [];
    return [{ runIds: runs.split(", "), was, stood: doubts.length === 0 }];
  });
}

/**
 * Paths of the values that were fitted to one of these runs, now or before a later fit.
 * @param runIds ids under which one and the same log was imported
 */
export function fittedTo(dossier: Dossier, runIds: readonly string[]): readonly string[] {
  return uncertainInputs(dossier)
    .filter(({ declared }) => fittedRuns(declared.because).some((fit) => sharesRun(fit, runIds)))
    .map(({ path }) => path);
}

/** Those of them whose last fit to one of these runs was accepted from an update that does not stand. */
export function fittedWithoutStanding(dossier: Dossier, runIds: readonly string[]): readonly string[] {
  return uncertainInputs(dossier)
    .filter(
      ({ declared }) => fittedRuns(declared.because).find((fit) => sharesRun(fit, runIds))?.stood === false,
    )
    .map(({ path }) => path);
}

/**
 * The values from before any of these runs was fitted, for those that were fitted to one of them.
 * A fit to another run that was made later on top of it is taken back with it, and so are the correlations that
 * fits wrote.
 */
export function beforeFits(
  dossier: Dossier,
  runIds: readonly string[],
): readonly { readonly path: string; readonly value: string; readonly otherRuns: readonly string[] }[] {
  const values = uncertainInputs(dossier).map(({ path, declared }) => ({ path, because: declared.because }));
  // A correlation that a fit wrote goes with it: a rank of 0 ties nothing.
  const ranks = (dossier.valve.correlations ?? []).map(({ because }, k) => ({
    path: `correlations[${k}].rank`,
    because,
  }));
  return [...values, ...ranks].flatMap(({ path, because }) => {
    const fits = fittedRuns(because);
    const first = fits.findLastIndex((fit) => sharesRun(fit, runIds));
    const fit = fits[first];
    if (fit === undefined) return [];
    const others = fits.slice(0, first + 1).flatMap((one) => one.runIds.filter((id) => !runIds.includes(id)));
    return [{ path, value: fit.was, otherRuns: [...new Set(others)] }];
  });
}

function sharesRun(fit: Fit, runIds: readonly string[]): boolean {
  return fit.runIds.some((id) => runIds.includes(id));
}
