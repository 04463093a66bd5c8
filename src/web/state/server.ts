/** The calls to the server; each reply is checked before it is used. */
import type { Fault } from "../../fault/index.js";
import type { Evidence } from "../../question/index.js";
import type { ServedRun } from "./workbench.js";

export interface ServedFile {
  readonly path: string;
  readonly text: string;
  readonly sha256: string;
}

export interface Served {
  readonly folder: string;
  readonly state: "open" | "none";
  readonly files: readonly ServedFile[];
}

/** What became of a file that was to be written. */
export type Saved =
  | { readonly kind: "saved"; readonly sha256: string }
  | { readonly kind: "changed"; readonly text: string; readonly sha256: string };

/** The server answered something else than was agreed, or not at all. */
export class ServerTrouble extends Error {
  constructor(
    message: string,
    readonly faults: readonly Fault[] = [],
  ) {
    super(message);
  }
}

type Json = Readonly<Record<string, unknown>>;
export const isRecord = (value: unknown): value is Json => typeof value === "object" && value !== null;

function token(): string {
  return document.querySelector<HTMLMetaElement>('meta[name="coldturn-token"]')?.content ?? "";
}

/** Asks the server; what it refuses is thrown with its faults, a conflict (409) is given back. */
export async function call(
  path: string,
  options: RequestInit = {},
): Promise<{ status: number; body: unknown }> {
  let reply: Response;
  try {
    reply = await fetch(path, { ...options, headers: { "x-coldturn-token": token(), ...options.headers } });
  } catch {
    throw new ServerTrouble(
      "The server does not answer. Start it again with `coldturn serve`; nothing typed here is lost.",
    );
  }
  const body: unknown = reply.status === 204 ? undefined : await reply.json().catch(() => undefined);
  if (reply.status >= 400 && reply.status !== 409) {
    const faults = isRecord(body) && Array.isArray(body.faults) ? (body.faults as readonly Fault[]) : [];
    const found = faults.map((fault) => `${fault.found}. ${fault.mend}`).join(" ");
    throw new ServerTrouble(
      found === "" ? `The server refused ${path} (status ${reply.status}).` : found,
      faults,
    );
  }
  return { status: reply.status, body };
}

export const json = (method: string, body: unknown): RequestInit => ({
  method,
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});

/** A reply of a form that this page does not know. */
export function strange(path: string): never {
  throw new ServerTrouble(
    `The server's reply to ${path} has another form than this page knows. Load the page again.`,
  );
}

/** The texts of the dossier that is open. */
export async function fetchDossier(): Promise<Served> {
  const { body } = await call("/api/dossier");
  if (!isRecord(body)) return strange("/api/dossier");
  const files = Array.isArray(body.files) ? body.files.filter(isFile) : [];
  return {
    folder: typeof body.folder === "string" ? body.folder : "",
    state: body.state === "open" ? "open" : "none",
    files,
  };
}

function isFile(value: unknown): value is ServedFile {
  return (
    isRecord(value) &&
    typeof value.path === "string" &&
    typeof value.text === "string" &&
    typeof value.sha256 === "string"
  );
}

/** What the tests have shown, and which runs there are. */
export async function fetchEvidence(): Promise<{ evidence: Evidence; runs: readonly ServedRun[] }> {
  const { body } = await call("/api/evidence");
  const found = isRecord(body) && isRecord(body.evidence) ? body.evidence : body;
  if (!isRecord(found) || !Array.isArray(found.reconciliations)) return strange("/api/evidence");
  const runs = isRecord(body) && Array.isArray(body.runs) ? body.runs : [];
  // The same program wrote it: its parts are those of the core's own records.
  return { evidence: found as unknown as Evidence, runs: runs as readonly ServedRun[] };
}

/** Writes a file over the state it was read in; another state is given back instead of being overwritten. */
export async function saveFile(path: string, text: string, base: string | null): Promise<Saved> {
  const place = path.split("/").map(encodeURIComponent).join("/");
  const { status, body } = await call(`/api/files/${place}`, json("PUT", { text, base }));
  if (!isRecord(body)) return strange(`/api/files/${path}`);
  if (status === 409 && isRecord(body.theirs)) {
    const { text: theirs, sha256 } = body.theirs;
    return { kind: "changed", text: String(theirs ?? ""), sha256: String(sha256 ?? "") };
  }
  if (typeof body.sha256 !== "string") return strange(`/api/files/${path}`);
  return { kind: "saved", sha256: body.sha256 };
}

/** Opens a folder, or makes one from the demo or from an empty file. */
export async function openFolder(folder: string, from?: "demo" | "empty"): Promise<void> {
  if (from === undefined) await call("/api/open", json("POST", { folder }));
  else await call("/api/new", json("POST", { from, folder }));
}

/** Tells of changes on the disk. @returns ends the listening */
export function listen(onFile: () => void, onEvidence: () => void): () => void {
  const source = new EventSource("/api/changes");
  source.addEventListener("file", onFile);
  source.addEventListener("evidence", onEvidence);
  return () => source.close();
}
