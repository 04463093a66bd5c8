/** One round of everything that a page asks of the server, good and bad, so that what is left behind adds up. */
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { sha256 } from "../../src/host/index.js";

export interface Driven {
  readonly url: string;
  readonly token: string;
  /** Folder of the dossier, and its name below the folder the server was started in. */
  readonly place: string;
  readonly name: string;
  readonly log: Uint8Array;
}

/** What is asked, as a page asks it. */
async function ask(
  { url, token }: Driven,
  method: string,
  path: string,
  body?: unknown,
  more: Readonly<Record<string, string>> = {},
): Promise<Response> {
  const isBytes = body instanceof Uint8Array;
  return await fetch(`${url}${path}`, {
    method,
    headers: {
      ...(method === "GET" ? {} : { "x-coldturn-token": token }),
      ...(body === undefined
        ? {}
        : { "content-type": isBytes ? "application/octet-stream" : "application/json" }),
      ...more,
    },
    ...(body === undefined ? {} : { body: isBytes ? Buffer.from(body) : JSON.stringify(body) }),
  });
}

/** Asks, and reads the answer to its end. Throws where the status is another than it must be. */
async function expected(
  driven: Driven,
  status: number,
  ...call: readonly [method: string, path: string, body?: unknown, more?: Readonly<Record<string, string>>]
): Promise<string> {
  const answer = await ask(driven, ...call);
  const text = await answer.text();
  if (answer.status !== status)
    throw new Error(`${call[0]} ${call[1]}: status ${answer.status} for ${status}: ${text.slice(0, 300)}`);
  return text;
}

/** Pieces of work of a round that are cancelled while they wait. */
const cancelled = 12;
/** Pieces of work that a round begins: so many that the fifty which the server keeps are soon those of a few rounds. */
export const worksARound = cancelled + 1;

/** One round. @param n  its number; every call of a kind is another one, so that nothing is the same twice */
export async function soakRound(driven: Driven, n: number): Promise<void> {
  const { place, name, log } = driven;
  await expected(driven, 200, "GET", "/");
  await expected(driven, 200, "GET", "/api/dossier");
  await expected(driven, 200, "GET", "/api/ways");
  await expected(driven, 200, "GET", "/api/evidence?case=dry-ambient");
  await withStream(driven, async () => await saves(driven, n));
  for (const query of ["", "?channel=angle_rad", `?channel=angle_rad&from_s=${n % 2}&buckets=50`])
    await expected(driven, 200, "GET", `/api/runs/first/channels${query}`);
  await expected(driven, 400, "GET", "/api/runs/first/channels?buckets=0");
  await expected(driven, 403, "PUT", "/api/files/..%2fsecret.yaml", { text: "x", base: null });
  await expected(driven, 403, "GET", "/api/dossier", undefined, { origin: "http://evil.example" });
  await expected(driven, 404, "GET", "/api/work/none");
  await tooLarge(driven);
  await expected(driven, 200, "POST", "/api/open", { folder: name });
  const { id } = JSON.parse(
    await expected(driven, 200, "POST", "/api/logs", log, { "x-file-name": `log-${n}.csv` }),
  );
  if (n % 3 === 0) await expected(driven, 200, "POST", `/api/logs/${id}/mapping`, { case: "dry-ambient" });
  if (n % 3 === 1) await imported(driven, id, n);
  else {
    await expected(driven, 204, "DELETE", `/api/logs/${id}`);
    await worked(
      driven,
      JSON.parse(await expected(driven, 202, "POST", "/api/reduce", { run: "first" })).work,
      n,
    );
  }
  rmSync(join(place, "variants"), { recursive: true, force: true });
}

/** A body that is too large is refused while it is still being sent, so that the sender may only see a closed door. */
async function tooLarge(driven: Driven): Promise<void> {
  const body = { text: "#".repeat(4_100_000), base: null };
  const answer = await ask(driven, "PUT", "/api/files/valve.yaml", body).catch(() => undefined);
  await answer?.text();
  if (answer !== undefined && answer.status !== 413)
    throw new Error(`a save too large: status ${answer.status}`);
}

async function saves(driven: Driven, n: number): Promise<void> {
  const path = join(driven.place, "valve.yaml");
  const before = readFileSync(path, "utf8");
  const text = `${before.replace(/\n# round \d+\n$/, "\n")}# round ${n}\n`;
  const base = sha256(before);
  await expected(driven, 200, "PUT", "/api/files/valve.yaml", { text, base });
  await expected(driven, 409, "PUT", "/api/files/valve.yaml", { text: "name: x\n", base });
  await expected(driven, 200, "PUT", `/api/files/variants/variant-${n}.yaml`, {
    text: "name: x\n",
    base: null,
  });
}

/** Listens to what changes while something is done. */
async function withStream(driven: Driven, act: () => Promise<void>): Promise<void> {
  const stop = new AbortController();
  const heard = await fetch(`${driven.url}/api/changes`, { signal: stop.signal });
  const reading = heard.text().catch(() => undefined);
  await act();
  stop.abort();
  await reading;
}

async function imported(driven: Driven, id: string, n: number): Promise<void> {
  const run = `soak-${n}`;
  const body = { case: "dry-ambient", date: "2026-04-14", run, anew: true };
  await worked(
    driven,
    JSON.parse(await expected(driven, 202, "POST", `/api/logs/${id}/import`, body)).work,
    n,
  );
  rmSync(join(driven.place, "runs", run), { recursive: true, force: true });
}

/** Follows a piece of work to its end, behind which others wait in vain; one in four is cancelled while it runs. */
async function worked(driven: Driven, work: string, n: number): Promise<void> {
  for (let k = 0; k < cancelled; k++) {
    const { work: waiting } = JSON.parse(
      await expected(driven, 202, "POST", "/api/reduce", { run: "first" }),
    );
    await expected(driven, 204, "DELETE", `/api/work/${waiting}`);
  }
  if (n % 4 === 3) await expected(driven, 204, "DELETE", `/api/work/${work}`);
  const events = await expected(driven, 200, "GET", `/api/work/${work}`, undefined, {
    accept: "text/event-stream",
  });
  if (!/"state":"(ended|cancelled)"/.test(events))
    throw new Error(`work came to no end: ${events.slice(-300)}`);
}
