/** The way in: the dossiers below the folder the server was started in, a new one from the demo or empty. */
import { readdir, readFile, realpath } from "node:fs/promises";
import { basename, join, relative, sep } from "node:path";
import type { FastifyInstance } from "fastify";
import { z } from "zod";
import { starterFile } from "../dossier/index.js";
import { makeWholeFolder, programFile, readDossierFiles, writeWhole } from "../host/index.js";
import type { ServerDesk } from "./desk.js";
import { bodyOf } from "./json.js";
import { inside } from "./place.js";

/** How deep dossiers are looked for, and how many are told. */
const deepest = 4;
const mostTold = 200;

const open = z.strictObject({ folder: z.string().max(1000) });
const make = z.strictObject({
  from: z.enum(["demo", "empty"]),
  folder: z.string().min(1).max(1000),
  name: z.string().max(200).optional(),
});

export function wayCalls(app: FastifyInstance, desk: ServerDesk): void {
  app.get("/api/ways", async () => ({
    start: basename(desk.start),
    path: desk.start,
    dossiers: await dossiersBelow(desk.start),
  }));

  app.post("/api/open", async (request) => {
    const { folder } = bodyOf(open, request.body);
    const path = await inside(desk.start, folder);
    await readDossierFiles(path);
    await desk.openFolder(path);
    return { path };
  });

  app.post("/api/new", async (request, reply) => {
    const { from, folder, name } = bodyOf(make, request.body);
    const path = await inside(desk.start, folder);
    const own = name ?? basename(path).replaceAll(/[-_]+/g, " ");
    const text =
      from === "empty"
        ? starterFile(own)
        : await readFile(programFile("demo", "petrel-oxygen-main", "valve.yaml"), "utf8");
    await makeWholeFolder(path, async (made) => await writeWhole(join(made, "valve.yaml"), text, "never"));
    await desk.openFolder(path);
    return reply.code(201).send({ path });
  });
}

async function dossiersBelow(start: string): Promise<readonly string[]> {
  const root = await realpath(start);
  const found: string[] = [];
  const look = async (folder: string, depth: number): Promise<void> => {
    const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
    if (entries.some((one) => one.isFile() && one.name === "valve.yaml"))
      found.push(relative(root, folder).split(sep).join("/") || ".");
    if (depth === deepest) return;
    for (const one of entries) {
      const isLooked = one.isDirectory() && !one.name.startsWith(".") && one.name !== "node_modules";
      if (isLooked && found.length < mostTold) await look(join(folder, one.name), depth + 1);
    }
  };
  await look(root, 0);
  return found.sort();
}
