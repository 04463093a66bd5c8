/** Server-sent events: one stream a window. */
import type { ServerResponse } from "node:http";

/** A comment this often keeps a quiet stream open through whatever lies between [ms]. */
const beat = 15_000;

export interface EventStream {
  readonly send: (event: string, data: unknown) => void;
  readonly end: () => void;
}

/** Turns a response into a stream of events. @param onClose  called once, when either side has ended it */
export function eventStream(response: ServerResponse, onClose: () => void): EventStream {
  response.writeHead(200, {
    "content-type": "text/event-stream",
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
  });
  response.write(": open\n\n");
  const timer = setInterval(() => response.write(": still here\n\n"), beat);
  timer.unref();
  response.once("close", () => {
    clearInterval(timer);
    onClose();
  });
  return {
    send: (event, data) => {
      if (!response.writableEnded) response.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
    },
    end: () => response.end(),
  };
}
