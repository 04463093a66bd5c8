/** Calls about one run: its channels, thinned for the eye, and its events moved by hand. */
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { withMove } from "../evidence/index.js";
import { listChannels, readRunRecord, thinChannels } from "../host/index.js";
import { eventIds } from "../physics/motion/index.js";
import type { ServerDesk } from "./desk.js";
import { bodyOf } from "./json.js";
import { inside } from "./place.js";
import { dossierText } from "./texts.js";

const wanted = z.object({
  file: z.coerce.number().int().nonnegative().default(0),
  from_s: z.coerce.number().optional(),
  to_s: z.coerce.number().optional(),
  buckets: z.coerce.number().int().min(1).max(10_000).default(2000),
  channel: z.union([z.string(), z.array(z.string()).max(50)]).optional(),
});

const move = z.strictObject({
  /** Hash of run.yaml as the page knows it. */
  base: z.string(),
  event: z.enum(eventIds),
  /** Null takes the move back: the event is as it was found. */
  time_s: z.number().nullable(),
  standardUncertainty_s: z.number().positive().optional(),
  who: z.string().trim().min(1).max(200),
  why: z.string().trim().min(1).max(2000),
});

export function runCalls(app: FastifyInstance, desk: ServerDesk): void {
  app.get<{ Params: { name: string } }>("/api/runs/:name/channels", async ({ params, query }) => {
    const run = await readRunRecord(desk.dossier, params.name);
    await inside(desk.dossier, `runs/${params.name}/run.yaml`);
    const { file, channel, ...range } = bodyOf(wanted, query);
    if (channel === undefined) return { files: await listChannels(run) };
    return await thinChannels(run, file, Array.isArray(channel) ? channel : [channel], range);
  });

  app.post<{ Params: { name: string } }>("/api/runs/:name/moves", async ({ params, body }, reply) => {
    const { base, event, time_s, standardUncertainty_s: u, who, why } = bodyOf(move, body);
    const { file } = await readRunRecord(desk.dossier, params.name);
    const path = `runs/${params.name}/run.yaml`;
    const known = await dossierText(desk.dossier, path);
    const text = withMove(
      file.text,
      path,
      event,
      time_s === null
        ? undefined
        : {
            id: event,
            time_s,
            ...(u === undefined ? {} : { standardUncertainty_s: u }),
            who,
            why,
          },
    );
    const done = known?.sha256 === base ? await desk.saver.save(desk.dossier, path, text, base) : undefined;
    if (done?.kind === "saved") return { sha256: done.sha256 };
    return reply.code(409).send({ theirs: done?.theirs ?? known ?? null });
  });
}
