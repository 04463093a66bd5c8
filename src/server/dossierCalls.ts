/** Calls about the dossier: its texts, its evidence, saving, what changes. */
import { basename } from "node:path";
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { openDossier, standingEvidence } from "../host/index.js";
import type { ServerDesk } from "./desk.js";
import { bodyOf, json } from "./json.js";
import { eventStream } from "./stream.js";
import { dossierTexts } from "./texts.js";

/** A file written by hand is far smaller; as much as the reader of the dossier takes, and its quotes [byte]. */
const largestSave = 4_000_000;

const save = z.strictObject({
  text: z.string(),
  base: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .nullable(),
});

export function dossierCalls(app: FastifyInstance, desk: ServerDesk): void {
  app.get("/api/dossier", async () => {
    const folder = desk.open;
    if (folder === undefined) return { state: "none", files: [], faults: [] };
    return { state: "open", folder: basename(folder), path: folder, ...(await dossierTexts(folder)) };
  });

  app.get<{ Querystring: { case?: string } }>("/api/evidence", async ({ query }, reply) => {
    const open = await openDossier(desk.dossier, query.case ?? "duty");
    const { evidence, runs, notices } = await standingEvidence(open);
    const list = runs.map(({ run: { record }, isUsedToFit, finding }) => ({
      record,
      isUsedToFit,
      isHeld: finding !== undefined,
    }));
    return reply
      .type("application/json")
      .send(json({ evidence, runs: list, notices: [...open.notices, ...notices] }));
  });

  app.put<{ Params: { "*": string } }>("/api/files/*", { bodyLimit: largestSave }, async (request, reply) => {
    const { text, base } = bodyOf(save, request.body);
    const done = await desk.saver.save(desk.dossier, request.params["*"], text, base);
    if (done.kind === "saved") return { sha256: done.sha256 };
    return reply.code(409).send({ theirs: done.theirs });
  });

  app.get("/api/changes", (_, reply) => {
    reply.hijack();
    const stream = eventStream(reply.raw, () => desk.changes.remove(stream));
    desk.changes.add(stream);
  });
}
