/** The server of the workbench in a process that tells what it holds when it is asked. Needs --expose-gc. */
import { readdirSync } from "node:fs";
import { dirname } from "node:path";
import { startServer } from "../../src/server/index.js";

/** What the process holds, after garbage was collected. */
export interface Held {
  /** In use of the language's own memory [byte]. */
  readonly heap: number;
  /** Of buffers outside of it [byte]. */
  readonly external: number;
  /** Resident, all of the process [byte]. */
  readonly resident: number;
  /** Timers, sockets, watchers and the like that are open. */
  readonly handles: number;
  /** Files, sockets and pipes that the system holds open for it; 0 where /proc does not tell. */
  readonly descriptors: number;
}

export async function serveForSoak(folder: string): Promise<void> {
  const { url, token, stop } = await startServer({
    folder,
    start: dirname(folder),
    port: 0,
    address: "127.0.0.1",
  });
  process.on("message", (message) => {
    if (message === "stop") void stop().then(() => process.exit());
    else process.send?.({ held: held() });
  });
  process.once("disconnect", () => process.exit());
  process.send?.({ url, token });
}

function held(): Held {
  // Twice: what the first run frees may hold what the second one can free.
  for (let k = 0; k < 2; k++) globalThis.gc?.();
  const { heapUsed, external, rss } = process.memoryUsage();
  return {
    ...{ heap: heapUsed, external, resident: rss, handles: process.getActiveResourcesInfo().length },
    descriptors: descriptors(),
  };
}

function descriptors(): number {
  try {
    return readdirSync("/proc/self/fd").length;
  } catch {
    return 0;
  }
}
