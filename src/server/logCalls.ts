/** A log comes in, is looked at, its mapping corrected, and it becomes a run of the dossier. */
import { randomUUID } from "node:crypto";
import { createWriteStream } from "node:fs";
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Transform } from "node:stream";
import { pipeline } from "node:stream/promises";
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { refuse } from "../fault/index.js";
import { openLog } from "../host/index.js";
import type { ServerDesk } from "./desk.js";
import { bodyOf, json } from "./json.js";
import { callCommand } from "./work.js";
import { optionWords, plainName } from "./workCalls.js";

/** A log that was dropped on the page and is no run yet. */
interface Staged {
  readonly folder: string;
  readonly path: string;
  /** The import that makes a run of it. */
  work?: string;
}

/** Ten million rows of text with a dozen channels are a tenth of it [byte]. */
const largestLog = 16e9;

const word = z.string().max(1000);
const words = z.array(word).max(500);
const request = z.strictObject({
  case: word,
  date: word.optional(),
  /** As behind --map, one each. */
  corrections: words.optional(),
  anew: z.boolean().optional(),
  /** Further staged logs of the same test; the clock of the run is that of this log. */
  further: words.optional(),
  /** As behind --clock, with who and why. */
  clocks: words.optional(),
  who: word.optional(),
  why: word.optional(),
  run: word.optional(),
  note: z.string().max(20_000).optional(),
});

export function logCalls(app: FastifyInstance, desk: ServerDesk): void {
  const staged = new Map<string, Staged>();
  const find = (id: string): Staged =>
    staged.get(id) ??
    refuse(
      "serve-gone",
      "this piece of work or staged log is not known",
      "It lives as long as the server that was asked for it.",
      "Ask for it again",
    );
  const drop = async (id: string): Promise<void> => {
    const log = staged.get(id);
    staged.delete(id);
    if (log !== undefined) await rm(log.folder, { recursive: true, force: true });
  };
  const called = (id: string, body: unknown) => {
    const { corrections, further = [], clocks, ...rest } = bodyOf(request, body);
    const options = optionWords({ ...rest, map: corrections, clock: clocks });
    return { options, places: [desk.dossier, ...[id, ...further].map((one) => find(one).path)], further };
  };

  // Bytes of any kind: they go to the disk as they come.
  app.addContentTypeParser("application/octet-stream", (_, payload, done) => done(null, payload));
  app.addHook("onClose", async () => {
    await Promise.all([...staged.keys()].map(drop));
  });

  app.post("/api/logs", { bodyLimit: largestLog }, async (incoming, reply) => {
    const name = plainName(decoded(incoming.headers["x-file-name"]));
    const folder = await mkdtemp(join(tmpdir(), "coldturn-log-"));
    const id = randomUUID();
    const path = join(folder, name);
    staged.set(id, { folder, path });
    try {
      const bytes = await written(incoming.body, path);
      const scratch = join(folder, ".scratch");
      await mkdir(scratch);
      const { inspection, notices } = await openLog(path, scratch);
      return reply.type("application/json").send(json({ id, name, bytes, inspection, notices }));
    } catch (thrown) {
      await drop(id);
      throw thrown;
    }
  });

  app.post<{ Params: { id: string } }>("/api/logs/:id/mapping", async ({ params, body, raw }, reply) => {
    const { options, places } = called(params.id, body);
    const abort = new AbortController();
    // Who asks again has no use for the first answer.
    reply.raw.once("close", () => abort.abort());
    raw.once("error", () => abort.abort());
    const { record, faults } = await callCommand("import", ["--dry-run", ...options], places, {
      signal: abort.signal,
    });
    const isRead = typeof record === "object" && record !== null && "result" in record;
    return reply.code(isRead ? 200 : 422).send(isRead ? record : { faults });
  });

  app.post<{ Params: { id: string } }>("/api/logs/:id/import", async ({ params, body }, reply) => {
    const { options, places, further } = called(params.id, body);
    const work = desk.work.begin("import", options, places);
    find(params.id).work = work.id;
    void work.done.then(async () => {
      const end = work.state();
      // A log whose mapping is still to be corrected stays.
      const isRun =
        end.state === "ended" &&
        typeof end.record === "object" &&
        end.record !== null &&
        "result" in end.record;
      if (isRun) for (const id of [params.id, ...further]) await drop(id);
    });
    return reply.code(202).send({ work: work.id });
  });

  app.delete<{ Params: { id: string } }>("/api/logs/:id", async ({ params }, reply) => {
    const { work } = find(params.id);
    if (work !== undefined) {
      desk.work.cancel(work);
      await desk.work.find(work).done;
    }
    await drop(params.id);
    return reply.code(204).send();
  });
}

function decoded(header: string | string[] | undefined): string {
  try {
    return decodeURIComponent(String(header ?? ""));
  } catch {
    return "";
  }
}

async function written(body: unknown, path: string): Promise<number> {
  if (!(typeof body === "object" && body !== null && "pipe" in body))
    return refuse(
      "serve-request",
      "the log does not come as bytes",
      "docs/serve.md has the form of each call.",
      "Send it as application/octet-stream",
    );
  let bytes = 0;
  const counter = new Transform({
    transform: (part: Buffer, _, done) => {
      bytes += part.length;
      if (bytes > largestLog) done(new RangeError("larger than any log"));
      else done(null, part);
    },
  });
  await pipeline(body as NodeJS.ReadableStream, counter, createWriteStream(path, { flags: "wx" }));
  return bytes;
}
