/** The runs that a command is to look at. */
import { refuse } from "../fault/index.js";
import type { OpenDossier } from "./openDossier.js";
import { readRunRecord, runIds, type StoredRun } from "./runFolder.js";

/** The named run, or all of them, oldest first. Refuses a dossier without one. */
export async function wantedRuns(
  { files, notices }: OpenDossier,
  id: string | undefined,
): Promise<readonly StoredRun[]> {
  const ids = id === undefined ? await runIds(files.folder) : [id];
  if (ids.length === 0) {
    const broken = notices.some(({ code }) => code === "import-broken-off");
    refuse(
      "no-runs",
      `${files.folder} has no run${broken ? "; an import was broken off before it was whole" : ""}`,
      "A run is the log of one test with what is known of it.",
      `Import one: coldturn import ${files.folder} <log> --case <id>`,
    );
  }
  const runs = await Promise.all(ids.map((one) => readRunRecord(files.folder, one)));
  const dateOf = ({ record }: StoredRun): number => Date.parse(record.date ?? record.imported);
  return [...runs].sort((a, b) => dateOf(a) - dateOf(b));
}

/** Without runs whose first log is that of a run before them, byte for byte: a test counts once. */
export function eachLogOnce(runs: readonly StoredRun[]): readonly StoredRun[] {
  const hashes = runs.map(({ record }) => record.original.sha256);
  return runs.filter((_, i) => hashes.indexOf(hashes[i] ?? "") === i);
}
