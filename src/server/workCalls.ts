/** Calls that start long work, follow it and cancel it. */
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { refuse } from "../fault/index.js";
import { readText } from "../host/index.js";
import type { ServerDesk } from "./desk.js";
import { bodyOf } from "./json.js";
import { inside } from "./place.js";
import { eventStream } from "./stream.js";
import type { WorkState } from "./work.js";

const word = z.string().max(300);
const count = z.number().int().nonnegative();
const held = { runs: z.array(word).max(1000), samples: count.optional(), seed: count.optional() };
const reconcile = z.strictObject({ ...held, sample: z.boolean().optional() });
const accept = z.strictObject({
  ...held,
  sample: z.boolean().optional(),
  /** Paths of the values to be written; those that are left out stay as they are. */
  inputs: z.array(word).min(1).max(1000),
  /** Hash of the valve file that the finding was made from. */
  base: z.string(),
  althoughItDoesNotStand: z.boolean().optional(),
});
const reduce = z.strictObject({ run: word.optional() });
const seek = z.strictObject({ case: word.optional(), samples: count.optional(), seed: count.optional() });
const seal = z.strictObject({ case: word.optional(), samples: count.optional(), seed: count.optional() });

/** Options in one word each: no value can be taken for another option. */
export function optionWords(
  given: Readonly<Record<string, string | number | boolean | readonly string[] | undefined>>,
): readonly string[] {
  return Object.entries(given).flatMap(([name, value]) => {
    if (value === undefined || value === false) return [];
    if (value === true) return [`--${name}`];
    return (Array.isArray(value) ? value : [value]).map((one) => `--${name}=${one}`);
  });
}

export function workCalls(app: FastifyInstance, desk: ServerDesk): void {
  const begin = (name: string, options: readonly string[]) => ({
    work: desk.work.begin(name, options, [desk.dossier]).id,
  });

  app.post("/api/reconcile", async (request, reply) => {
    const { runs, ...rest } = bodyOf(reconcile, request.body);
    return reply.code(202).send(begin("reconcile", optionWords({ run: runs, ...rest })));
  });

  app.post("/api/accept", async (request, reply) => {
    const { runs, inputs, base, althoughItDoesNotStand, ...rest } = bodyOf(accept, request.body);
    const valve = await readText(await inside(desk.dossier, "valve.yaml"));
    if (valve.sha256 !== base) {
      const { text, sha256 } = valve;
      return reply.code(409).send({ theirs: { text, sha256 } });
    }
    const options = { run: runs, ...rest, accept: true, only: inputs };
    const anyway = { "although-it-does-not-stand": althoughItDoesNotStand };
    return reply.code(202).send(begin("reconcile", optionWords({ ...options, ...anyway })));
  });

  app.post("/api/reduce", async (request, reply) =>
    reply.code(202).send(begin("reduce", optionWords(bodyOf(reduce, request.body)))),
  );

  app.post("/api/seek", async (request, reply) =>
    reply.code(202).send(begin("seek", optionWords(bodyOf(seek, request.body)))),
  );

  app.post("/api/seal", async (request, reply) =>
    reply.code(202).send(begin("seal", optionWords(bodyOf(seal, request.body)))),
  );

  app.get<{ Params: { id: string } }>("/api/work/:id", (request, reply) => {
    const work = desk.work.find(request.params.id);
    if (request.headers.accept?.includes("text/event-stream") !== true) return reply.send(work.state());
    reply.hijack();
    const stop = work.listen((state) => tell(state));
    const stream = eventStream(reply.raw, stop);
    const tell = (state: WorkState): void => {
      stream.send("state", state);
      if (state.state !== "waiting" && state.state !== "running") stream.end();
    };
    tell(work.state());
  });

  app.delete<{ Params: { id: string } }>("/api/work/:id", async ({ params }, reply) => {
    desk.work.cancel(params.id);
    return reply.code(204).send();
  });
}

/** Refuses a name that is no plain name of a file. */
export function plainName(name: string): string {
  const isPlain = name !== "" && name.length <= 200 && !name.startsWith(".") && !/[/\\\p{Cc}]/u.test(name);
  if (isPlain) return name;
  return refuse(
    "serve-path",
    `"${name.slice(0, 100)}" is no plain name of a file`,
    "A log comes with its own name, without a folder.",
    "Rename the file",
  );
}
