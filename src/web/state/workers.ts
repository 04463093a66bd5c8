/** The two workers of the page, and the number they share with it. */
import type { FromWorker } from "../compute/protocol.js";
import type { Wait } from "./acts.js";
import type { Ports, WorkerPort } from "./schedule.js";

/** The quick one begins to load at once, the thorough one when something is first said to it. */
export function startWorkers(): Ports {
  const quick = new Worker(new URL("../compute/answerWorker.ts", import.meta.url), {
    type: "module",
    name: "quick",
  });
  const thorough = (): Worker =>
    new Worker(new URL("../compute/answerWorker.ts", import.meta.url), { type: "module", name: "thorough" });
  return { quick: portOf(() => quick), thorough: portOf(thorough) };
}

function portOf(start: () => Worker): WorkerPort {
  let worker: Worker | undefined;
  let listen = (_: Worker): void => {};
  return {
    post: (message) => {
      if (worker === undefined) {
        worker = start();
        listen(worker);
      }
      worker.postMessage(message);
    },
    listen: (hear, broken) => {
      listen = (started) => {
        started.onmessage = ({ data }: MessageEvent<FromWorker>) => hear(data);
        started.onerror = ({ message }) => broken(message);
      };
    },
  };
}

/** Memory that threads can share; undefined where the browser keeps it back, as for an address that is not this machine's. */
export function sharedCounter(): Int32Array | undefined {
  return globalThis.crossOriginIsolated ? new Int32Array(new SharedArrayBuffer(4)) : undefined;
}

/** Measures until what a person waited for is painted: a message sent in a frame comes when it has been. */
export function measureWait(wait: Wait, since: number): void {
  requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      performance.measure(wait, { start: since });
      port1.close();
    };
    port2.postMessage(undefined);
  });
}
