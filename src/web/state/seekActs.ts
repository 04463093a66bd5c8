/** What a person does on the page of other parts: search, choose, keep a choice. */
import type { PeakMargins, SeekAnswer } from "../../seek/index.js";
import { askBeside, askSeek, keepVariant } from "./acts.js";
import { save } from "./disk.js";
import type { Files } from "./history.js";
import { inputKey } from "./inputKey.js";
import { type ShownSearch, searchKey, seekBench } from "./seek.js";
import { isRecord } from "./server.js";
import { begin, follow, say } from "./testActs.js";
import { isWorkAlive, resultIn, type WorkState } from "./testCalls.js";
import { testBench } from "./tests.js";
import { unsavedFiles, type Variant, workbench } from "./workbench.js";

const set = seekBench.setState;
const get = seekBench.getState;

/** Where on the page what is said of a search belongs. */
export const searchPlace = "seek";
const searchWords = "searching for other parts";

/** Asks what a search of the present state would try, and for the trade of concepts. */
export async function lookAround(): Promise<void> {
  const { files, caseId } = workbench.getState();
  const key = searchKey(files, caseId);
  if (get().scope?.key !== key) {
    const told = await askSeek({ what: "scope", texts: files, caseId });
    if (isPresent(key)) set({ scope: { key, told } });
  }
  if (isPresent(key) && get().trade?.key !== key) {
    const told = await askSeek({ what: "trade", texts: files, caseId });
    if (isPresent(key)) set({ trade: { key, told } });
  }
}

function isPresent(key: string): boolean {
  const { files, caseId } = workbench.getState();
  return searchKey(files, caseId) === key;
}

/** What a search was made of, while it goes on. */
interface Begun {
  readonly folder: string;
  readonly id: string;
  readonly files: Files;
  readonly caseId: string;
}

const place = "coldturn-seek";

/** Saves what is not saved, then searches: the program reads the files. */
export async function search(): Promise<void> {
  if (unsavedFiles(workbench.getState()).length > 0) await save();
  // A conflict or a disk that is full is said by the page itself.
  if (unsavedFiles(workbench.getState()).length > 0) return;
  const { files, caseId, folder } = workbench.getState();
  const begun = await begin("/api/seek", { case: caseId }, searchWords, searchPlace);
  if (begun === undefined) return;
  remember({ folder, id: begun.id, files, caseId });
  take(await begun.end, files, caseId);
}

/** After a reload: takes up the search that goes on, or what it found meanwhile. */
export async function takeUpSearch(): Promise<void> {
  const begun = remembered();
  const isShown = testBench.getState().works.some(({ id }) => id === begun?.id);
  if (begun === undefined || isShown || get().search !== undefined) return;
  if (!(await isWorkAlive(begun.id))) return forget();
  take(await follow(begun.id, searchWords, searchPlace), begun.files, begun.caseId);
}

function take(state: WorkState, files: Files, caseId: string): void {
  if (state.state !== "ended") {
    // A page that is left hears its stream break: only what was cancelled is over for certain.
    if (state.state === "cancelled") forget();
    set({ isBrokenOff: state.state === "cancelled" });
    return;
  }
  testBench.setState({ faults: state.faults, faultsAt: searchPlace });
  const result = resultIn(state.record);
  if (!isRecord(result) || !Array.isArray(result.front)) return;
  // The same program wrote it: its parts are those of the core's own records.
  const answer = result as unknown as SeekAnswer;
  const { peaks, notices } = result as unknown as Pick<ShownSearch, "notices"> & {
    readonly peaks?: readonly PeakMargins[];
  };
  const found = { answer, peaks: peaks ?? [], notices, files, caseId, key: searchKey(files, caseId) };
  set({ search: found, isBrokenOff: false, choice: undefined, refused: undefined });
  say(
    `The search is done: ${answer.passing} of ${answer.candidates} choices meet every limit, ${answer.front.length} of them no other beats.`,
  );
  const { chosen } = get();
  if (chosen !== undefined) void choose(chosen);
}

function remember(begun: Begun): void {
  try {
    sessionStorage.setItem(place, JSON.stringify(begun));
  } catch {
    // Without room a reload only has the search asked for again: its blocks are kept on the disk.
    forget();
  }
}

function remembered(): Begun | undefined {
  const text = sessionStorage.getItem(place);
  if (text === null) return undefined;
  // Written by `remember` of the same page.
  const begun = JSON.parse(text) as Begun;
  return begun.folder === workbench.getState().folder ? begun : undefined;
}

function forget(): void {
  sessionStorage.removeItem(place);
}

/** Chooses a choice: it is written as a valve file of its own, and its answers are worked out. */
export async function choose(index: number | undefined): Promise<void> {
  const { search: found } = get();
  const isSame = get().chosen === index && (get().choice?.index === index || found === undefined);
  if (isSame) return;
  set({ chosen: index, choice: undefined, refused: undefined });
  if (index === undefined || found === undefined) return askBeside(undefined);
  const { files, caseId } = found;
  const told = await askSeek({ what: "choice", texts: files, index });
  // Another one was chosen meanwhile.
  if (get().chosen !== index || get().search !== found) return;
  if (told.what !== "choice") return set({ refused: told });
  const changed = { ...files, "valve.yaml": told.choice.text };
  const key = inputKey(changed, caseId, workbench.getState().evidenceTurn);
  set({ choice: { ...told.choice, files: changed, caseId, key } });
  const isKnown = workbench.getState().results.get(key)?.isLast === true;
  askBeside(isKnown ? undefined : { key, texts: changed, caseId });
}

/** Name of the variant that a choice is kept as. */
export function variantName(index: number): string {
  return `choice ${index}`;
}

/**
 * Keeps the chosen choice as a variant, and its verdicts as they come.
 * @param verdictsOf  of the answers under a key, as far as they are known
 */
export function keepChoice(verdictsOf: (key: string) => Variant["verdicts"]): void {
  const { choice } = get();
  if (choice === undefined) return;
  const { index, files, caseId, key } = choice;
  const name = variantName(index);
  const keep = (): void => keepVariant({ name, files, caseId, verdicts: verdictsOf(key), choice: index });
  keep();
  if (workbench.getState().results.get(key)?.isLast === true) return;
  const end = workbench.subscribe(({ results, variants }) => {
    const isKept = variants.some((one) => one.name === name);
    if (isKept && results.get(key)?.isLast !== true) return;
    end();
    if (isKept) keep();
  });
}
