/** A server started for a test, asked over real HTTP. */
import { request } from "node:http";
import { join } from "node:path";
import { type RunningServer, type ServeOptions, startServer } from "../../src/server/index.js";
import { dossierIn } from "../cli/program.js";
import { inFolder } from "../host/folder.js";

export interface Asked {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string | Uint8Array;
}

export interface Answered {
  readonly status: number;
  readonly headers: NodeJS.Dict<string | string[]>;
  readonly text: string;
  /** The body read as JSON. */
  readonly record: () => Readonly<Record<string, unknown>>;
}

/** Asks with the path and the headers exactly as given: nothing is made tidy on the way. */
export function ask(
  port: number,
  path: string,
  { method = "GET", headers, body }: Asked = {},
): Promise<Answered> {
  return new Promise((resolve, reject) => {
    const sent = request({ host: "127.0.0.1", port, path, method, headers: { ...headers } }, (answer) => {
      let text = "";
      answer.setEncoding("utf8").on("data", (part: string) => {
        text += part;
      });
      answer.on("end", () =>
        resolve({
          status: answer.statusCode ?? 0,
          headers: answer.headers,
          text,
          record: () => {
            const parsed: unknown = JSON.parse(text);
            if (typeof parsed !== "object" || parsed === null) throw new Error(`no record: ${text}`);
            return { ...parsed };
          },
        }),
      );
    });
    sent.on("error", reject);
    sent.end(body);
  });
}

/** Changes something as the page does, with the token. */
export function change(
  { port, token }: RunningServer,
  method: string,
  path: string,
  body: unknown = {},
): Promise<Answered> {
  const own = { "x-coldturn-token": token };
  // As a page sends it: nothing is said with a deletion.
  if (method === "DELETE") return ask(port, path, { method, headers: own });
  const headers = { ...own, "content-type": "application/json" };
  return ask(port, path, { method, headers, body: JSON.stringify(body) });
}

/** Events of a stream as they come. */
export interface Heard {
  readonly events: { readonly event: string; readonly data: Readonly<Record<string, unknown>> }[];
  readonly stop: () => void;
}

export function hear(port: number, path: string): Promise<Heard> {
  const events: { event: string; data: Readonly<Record<string, unknown>> }[] = [];
  return new Promise((resolve, reject) => {
    const headers = { accept: "text/event-stream" };
    const sent = request({ host: "127.0.0.1", port, path, headers }, (answer) => {
      let rest = "";
      answer.setEncoding("utf8").on("data", (part: string) => {
        const whole = (rest + part).split("\n\n");
        rest = whole.pop() ?? "";
        for (const one of whole) {
          const [, event, data] = /^event: (.*)\ndata: (.*)$/.exec(one) ?? [];
          if (event !== undefined && data !== undefined) events.push({ event, data: JSON.parse(data) });
        }
      });
      answer.on("error", () => undefined);
      resolve({ events, stop: () => sent.destroy() });
    });
    sent.on("error", reject);
    sent.end();
  });
}

/** Waits until something holds; fails after some seconds. */
export async function until<T>(look: () => T | undefined | false, seconds = 60): Promise<T> {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const found = look();
    if (found !== undefined && found !== false) return found;
    if (Date.now() > end) throw new Error("waited in vain");
    await new Promise((resolve) => setTimeout(resolve, 25));
  }
}

/** Serves a copy of the demo dossier. */
export async function serving<T>(
  act: (server: RunningServer, dossier: string, start: string) => Promise<T>,
  options: Partial<ServeOptions> = {},
): Promise<T> {
  return await inFolder(async (start) => {
    const folder = dossierIn(start);
    const server = await startServer({
      ...{ start, folder, port: 0, address: "127.0.0.1", page: join(start, "no-page") },
      ...options,
    });
    try {
      return await act(server, folder, start);
    } finally {
      await server.stop();
    }
  });
}
