/** The server of the workbench: started at an address, ended whole. */
import { randomBytes } from "node:crypto";
import { hostname, networkInterfaces } from "node:os";
import fastifyStatic from "@fastify/static";
import Fastify, { type FastifyInstance } from "fastify";
import { Refusal, refuse } from "../fault/index.js";
import { isSystemError, programFile } from "../host/index.js";
import { ServerDesk } from "./desk.js";
import { dossierCalls } from "./dossierCalls.js";
import { guardFault } from "./guard.js";
import { logCalls } from "./logCalls.js";
import { pageHtml, securityHeaders } from "./page.js";
import { runCalls } from "./runCalls.js";
import { wayCalls } from "./wayCalls.js";
import { workCalls } from "./workCalls.js";

export interface ServeOptions {
  /** The dossier to open first. */
  readonly folder?: string;
  /** Folder below which another one may be opened or made. */
  readonly start: string;
  /** 0 for any that is free. */
  readonly port: number;
  /** Address to listen at; loopback unless the user said otherwise. */
  readonly address: string;
  /** Folder of the built page; that of the program unless given. */
  readonly page?: string;
}

export interface RunningServer {
  readonly url: string;
  readonly port: number;
  readonly token: string;
  /** Ends open streams and work, then the server. */
  readonly stop: () => Promise<void>;
}

/** Starts a server. Refuses a port that is taken or not allowed, and an address this machine does not have. */
export async function startServer(options: ServeOptions): Promise<RunningServer> {
  const { folder, start, port, address } = options;
  const desk = new ServerDesk(start);
  const token = randomBytes(32).toString("hex");
  const hosts = new Set<string>();
  const page = options.page ?? programFile("dist", "web");
  const app = await appOf(desk, { token, hosts }, page);
  try {
    await app.listen({ port, host: address });
  } catch (error) {
    await app.close();
    return refuseListening(error, port, address);
  }
  const bound = app.server.address();
  const own = typeof bound === "object" && bound !== null ? bound.port : port;
  for (const name of namesOf(address)) {
    hosts.add(`${name}:${own}`);
    if (own === 80) hosts.add(name);
  }
  if (folder !== undefined) await desk.openFolder(folder);
  const shown = isEverywhere(address) ? "127.0.0.1" : address;
  return {
    url: `http://${shown.includes(":") ? `[${shown}]` : shown}:${own}/`,
    port: own,
    token,
    stop: async () => {
      await desk.end();
      await app.close();
    },
  };
}

async function appOf(
  desk: ServerDesk,
  guard: { readonly token: string; readonly hosts: ReadonlySet<string> },
  page: string,
): Promise<FastifyInstance> {
  const app = Fastify({
    forceCloseConnections: true,
    bodyLimit: 100_000,
    routerOptions: { maxParamLength: 500 },
  });
  app.addHook("onRequest", async (request, reply) => {
    for (const [name, value] of Object.entries(securityHeaders)) reply.header(name, value);
    const fault = guardFault(request, guard);
    if (fault !== undefined) return reply.code(403).send({ faults: [fault] });
    if (request.url.startsWith("/api/")) reply.header("cache-control", "no-store");
  });
  app.setErrorHandler((error, _, reply) => {
    if (error instanceof Refusal) return reply.code(statusOf(error)).send({ faults: error.faults });
    const { status, text } = httpError(error);
    return status >= 500
      ? reply.code(500).send({ faults: [], defect: text })
      : reply.code(status).send({ faults: [requestFault(text)] });
  });
  await app.register(fastifyStatic, {
    root: programFile("dist"),
    serve: false,
    preCompressed: true,
  });
  app.get<{ Params: { "*": string } }>("/assets/*", (request, reply) =>
    reply.sendFile(`assets/${request.params["*"]}`, page, { immutable: true, maxAge: "365d" }),
  );
  dossierCalls(app, desk);
  workCalls(app, desk);
  logCalls(app, desk);
  runCalls(app, desk);
  wayCalls(app, desk);
  app.setNotFoundHandler(async (request, reply) => {
    const isPage = request.method === "GET" && !/^\/(api|assets)(\/|$)/.test(request.url);
    if (!isPage)
      return reply.code(404).send({ faults: [requestFault(`there is no ${request.method} of this path`)] });
    const { status, html } = await pageHtml(page, guard.token);
    return reply.code(status).type("text/html; charset=utf-8").header("cache-control", "no-store").send(html);
  });
  return app;
}

/** Status and words of an error of the server's own; a defect has 500. */
function httpError(error: unknown): { readonly status: number; readonly text: string } {
  const text = error instanceof Error ? error.message : String(error);
  const status = error instanceof Error && "statusCode" in error ? Number(error.statusCode) : 500;
  return { status, text };
}

function requestFault(found: string) {
  return {
    code: "serve-request",
    where: {},
    found,
    allowed: "docs/serve.md has the form of each call.",
    mend: "Reload the page; if it comes again, the page and the server are not of one build",
  };
}

const missing = new Set(["serve-gone", "run-unknown", "file-missing"]);

function statusOf({ faults }: Refusal): number {
  const codes = faults.map(({ code }) => code);
  if (codes.includes("serve-path")) return 403;
  if (codes.includes("serve-request")) return 400;
  if (codes.some((code) => missing.has(code))) return 404;
  return 422;
}

function isEverywhere(address: string): boolean {
  return address === "0.0.0.0" || address === "::";
}

/** Names under which the server is reached. A name that is none of this machine is never one. */
function namesOf(address: string): readonly string[] {
  const loopback = ["127.0.0.1", "localhost", "[::1]"];
  const bracketed = (one: string) => (one.includes(":") ? `[${one}]` : one);
  if (!isEverywhere(address)) return [...loopback, bracketed(address.toLowerCase())];
  const own = Object.values(networkInterfaces()).flatMap((list) => (list ?? []).map((one) => one.address));
  return [...loopback, hostname().toLowerCase(), ...own.map(bracketed)];
}

function refuseListening(error: unknown, port: number, address: string): never {
  if (isSystemError(error, "EADDRINUSE"))
    return refuse(
      "serve-port",
      `port ${port} of ${address} is taken by another program`,
      "Two servers cannot share a port.",
      "Leave --port out, then a free one is taken, or name another",
    );
  if (isSystemError(error, "EACCES"))
    return refuse(
      "serve-port",
      `the system does not let you use port ${port}`,
      "Ports below 1024 are kept for the system.",
      "Name a port from 1024 to 65535",
    );
  if (isSystemError(error, "EADDRNOTAVAIL") || isSystemError(error, "ENOTFOUND"))
    return refuse(
      "serve-port",
      `this machine has no address ${address}`,
      "A server listens at an address of its own machine.",
      "Leave --open-to out, or name an address of this machine",
    );
  throw error;
}
