/** The files on the disk and those of the page: loading, saving, and what others changed meanwhile. */
import { afterChanges, describeFields, lookAt, setState, startWork, tellEvidence } from "./acts.js";
import { editBetween, noHistory, withEdit } from "./history.js";
import { keepNow, keepSoon, keptState } from "./kept.js";
import { mergeTexts } from "./merge.js";
import type { Ports } from "./schedule.js";
import {
  fetchDossier,
  fetchEvidence,
  listen,
  openFolder,
  type ServedFile,
  ServerTrouble,
  saveFile,
} from "./server.js";
import { unsavedFiles, type Variant, workbench } from "./workbench.js";
import { measureWait, sharedCounter } from "./workers.js";

const set = workbench.setState;
const get = workbench.getState;

/** Runs a call to the server; what it refuses is shown. */
async function tried(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (thrown) {
    if (!(thrown instanceof ServerTrouble)) throw thrown;
    set({ trouble: thrown.message });
  }
}

/** Loads the dossier and takes up what was edited before a reload. @param ports of the workers */
export async function start(ports: Ports): Promise<void> {
  startWork(ports, measureWait, sharedCounter());
  lookAt(Number(/^\/question\/(\d+)$/.exec(location.pathname)?.[1] ?? 1));
  workbench.subscribe(keepSoon);
  window.addEventListener("pagehide", keepNow);
  await tried(load);
  listen(
    () => void tried(takeChanges),
    () => void tried(takeEvidence),
  );
}

async function load(): Promise<void> {
  const served = await fetchDossier();
  if (served.state === "none") {
    set({ status: "none", folder: served.folder });
    return;
  }
  const base = baseOf(served.files);
  set({ base, folder: served.folder, status: "open", trouble: undefined });
  const kept = keptState(served.folder);
  set({ variants: kept?.variants ?? [] });
  const texts = textsOf(served.files);
  if (kept === undefined) setState(texts, noHistory);
  else setState(kept.files, kept.history, kept.caseId);
  // Reading what the tests have shown takes longer than the first answers, most of which rest on none of it.
  await firstAnswer();
  describeFields();
  await takeEvidence();
  // What changed on the disk while the page was away is merged as if it had been there.
  if (kept !== undefined && Object.entries(kept.baseTexts).some(([path, text]) => texts[path] !== text))
    mergeIn(kept.baseTexts, served.files);
}

/** Until there is any answer, or nothing to answer from. */
function firstAnswer(): Promise<void> {
  return new Promise((resolve) => {
    const end = workbench.subscribe(({ results, unreadable, trouble }) => {
      if (results.size === 0 && unreadable.length === 0 && trouble === undefined) return;
      end();
      resolve();
    });
  });
}

const textsOf = (files: readonly ServedFile[]) =>
  Object.fromEntries(files.map(({ path, text }) => [path, text]));
const baseOf = (files: readonly ServedFile[]) =>
  Object.fromEntries(files.map(({ path, text, sha256 }) => [path, { text, sha256 }]));

async function takeEvidence(): Promise<void> {
  holdEvidence(await fetchEvidence().catch(withoutEvidence));
}

type Fetched = Awaited<ReturnType<typeof fetchEvidence>>;

function withoutEvidence(thrown: unknown): Fetched {
  if (!(thrown instanceof ServerTrouble)) throw thrown;
  set({ trouble: `The tests of this dossier cannot be read: ${thrown.message}` });
  return { evidence: { reconciliations: [] }, runs: [] };
}

function holdEvidence({ evidence, runs }: Fetched): void {
  const { files, evidenceTurn, status } = get();
  set({ evidence, runs, evidenceTurn: evidenceTurn + 1 });
  tellEvidence();
  if (status === "open" && Object.keys(files).length > 0)
    afterChanges(() => setState(get().files, get().history));
}

async function takeChanges(): Promise<void> {
  const served = await fetchDossier();
  if (served.state === "none") return;
  const before = Object.fromEntries(Object.entries(get().base).map(([path, { text }]) => [path, text]));
  mergeIn(before, served.files);
}

/** Takes what others changed since `before` into the edited files, or shows where both changed the same lines. */
function mergeIn(before: Readonly<Record<string, string>>, served: readonly ServedFile[]): void {
  const { history, base } = get();
  let { files } = get();
  let next = history;
  for (const { path, text, sha256 } of served) {
    const old = before[path] ?? "";
    const mine = files[path];
    if (text === old || text === mine) continue;
    const merged = mergeTexts(old, mine ?? old, text);
    if (merged.kind === "conflict") {
      set({ conflict: { path, text, sha256, conflicts: merged.conflicts } });
      continue;
    }
    next = withEdit(
      next,
      files,
      editBetween(path, mine ?? "", merged.text, `${path} changed outside`, `outside ${sha256}`),
    );
    files = { ...files, [path]: merged.text };
  }
  const known = get().conflict?.path;
  set({
    base: {
      ...base,
      ...Object.fromEntries(Object.entries(baseOf(served)).filter(([path]) => path !== known)),
    },
    said: next === history ? get().said : "A file was changed outside; the change is taken in.",
  });
  if (next !== history) setState(files, next);
}

/** Settles a conflict. @param whose the page's own lines, or those of the file on the disk */
export function settle(whose: "mine" | "theirs"): void {
  afterChanges(() => settleNow(whose));
}

function settleNow(whose: "mine" | "theirs"): void {
  const { conflict, base, files, history } = get();
  if (conflict === undefined) return;
  const { path, text, sha256 } = conflict;
  set({ conflict: undefined, base: { ...base, [path]: { text, sha256 } } });
  if (whose === "mine") return;
  const edit = editBetween(path, files[path] ?? "", text, `${path} as on the disk`, `theirs ${sha256}`);
  setState({ ...files, [path]: text }, withEdit(history, files, edit));
}

/** Writes every file that differs; one that was changed outside is merged or its conflict shown, never overwritten. */
export async function save(): Promise<void> {
  await tried(async () => {
    if (get().conflict !== undefined) {
      set({ said: "Settle the conflict first." });
      return;
    }
    for (const path of unsavedFiles(get())) {
      const { files, base } = get();
      const text = files[path] ?? "";
      const saved = await saveFile(path, text, base[path]?.sha256 ?? null);
      if (saved.kind === "changed") {
        mergeIn({ [path]: base[path]?.text ?? "" }, [{ path, text: saved.text, sha256: saved.sha256 }]);
        set({
          said: `${path} was changed outside and is not saved yet. Look at what came in, then save again.`,
        });
        return;
      }
      set({
        base: { ...get().base, [path]: { text, sha256: saved.sha256 } },
        said: `${path} is saved.`,
        trouble: undefined,
      });
    }
  });
}

/** So many files of one name are tried before a person is asked to tidy up. */
const mostOfAName = 99;

/** Keeps a variant as a file of its own, a changed copy of valve.yaml; no file is ever written over. */
export async function saveVariant({ name, files }: Variant): Promise<void> {
  const stem = `variants/${name.replaceAll(/[^A-Za-z0-9]+/g, "-")}`;
  await tried(async () => {
    for (let n = 1; n <= mostOfAName; n++) {
      const path = `${stem}${n === 1 ? "" : `-${n}`}.yaml`;
      const saved = await saveFile(path, files["valve.yaml"] ?? "", null);
      if (saved.kind === "changed") continue;
      set({ said: `${name} is saved as ${path}.`, savedVariants: { ...get().savedVariants, [name]: path } });
      return;
    }
    set({
      trouble: `The folder variants has ${mostOfAName} files named like ${name}. Move some away, then save again.`,
    });
  });
}

/** Opens a folder, or makes one, where no dossier is open. */
export async function enter(folder: string, from?: "demo" | "empty"): Promise<void> {
  await tried(async () => {
    await openFolder(folder, from);
    await load();
  });
}
