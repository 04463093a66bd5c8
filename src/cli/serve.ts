/** `coldturn serve`: the workbench in the browser, served at loopback. */

import { join } from "node:path";
import { Refusal } from "../fault/index.js";
import { kindAt, readDossierFiles } from "../host/index.js";
import { type RunningServer, startServer } from "../server/index.js";
import type { Command } from "./command.js";
import { portIn, textOption } from "./options.js";
import { paragraph } from "./page.js";

const usualPort = 4317;
const loopback = "127.0.0.1";

export const serveCommand: Command = {
  name: "serve",
  summary: "open the workbench: a page in the browser, served by this machine",
  details: [
    "Serves a page at loopback: the questions with their answers, the valve file edited beside its consequences, tests imported and held against it. The page computes in the browser; nothing leaves this machine.",
    "Without a folder it opens the dossier of the folder it is started in, or lets you choose one below it, start from the demo, or from an empty file. Ctrl-C ends it; what was saved is whole.",
  ],
  arguments: [{ flags: "[folder]", description: "folder of the dossier (default: the folder you are in)" }],
  options: [
    {
      flags: "--port <n>",
      description: `port to listen at (default: ${usualPort}, or a free one if that is taken)`,
    },
    {
      flags: "--open-to <address>",
      description:
        "listen at this address of the machine too, as 192.0.2.7 or 0.0.0.0: whoever reaches it can read and change the dossier",
    },
  ],
  examples: [{ command: "coldturn serve demo/petrel-oxygen-main", says: "The demo valve in the browser:" }],
  act: async (input, desk) => {
    const [given] = input.arguments;
    const port = portIn(input);
    const address = textOption(input, "open-to") ?? loopback;
    const folder = given ?? ((await kindAt(join(process.cwd(), "valve.yaml"))) === "file" ? "." : undefined);
    if (given !== undefined) await readDossierFiles(given);
    const options = { start: process.cwd(), address, ...(folder === undefined ? {} : { folder }) };
    const { server, isOther } = await started(options, port);
    const result = { url: server.url, port: server.port, folder: folder ?? null };
    desk.early((page) =>
      [
        ...(isOther
          ? paragraph(page, `Port ${usualPort} is taken by another program, so a free one was taken.`)
          : []),
        ...(address === loopback
          ? []
          : paragraph(
              page,
              `Open to ${address}: whoever reaches this address can read and change the dossier. Use it in a network of your own alone.`,
            )),
        `Coldturn is at ${server.url}`,
        "Ctrl-C ends it.",
        "",
      ].join("\n"),
    );
    await new Promise<void>((resolve) => {
      if (desk.signal.aborted) resolve();
      desk.signal.addEventListener("abort", () => resolve(), { once: true });
    });
    await server.stop();
    return { status: 0, result, text: () => "Ended." };
  },
};

/** Starts at the port that was named, else at the usual one or, where that is taken, at a free one. */
async function started(
  options: Omit<Parameters<typeof startServer>[0], "port">,
  port: number | undefined,
): Promise<{ readonly server: RunningServer; readonly isOther: boolean }> {
  if (port !== undefined) return { server: await startServer({ ...options, port }), isOther: false };
  try {
    return { server: await startServer({ ...options, port: usualPort }), isOther: false };
  } catch (thrown) {
    const isTaken =
      thrown instanceof Refusal && thrown.faults.some(({ found }) => found.includes("is taken"));
    if (!isTaken) throw thrown;
    return { server: await startServer({ ...options, port: 0 }), isOther: true };
  }
}
