/** The warm program (warmServer.ts) of this thread of tests: started at the first call, ended with the tests. */
import { spawn } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { built } from "../host/built.js";
import { root } from "../project/files.js";

/** How a command ended. */
export interface Ended {
  readonly status: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly stdout: string;
  readonly stderr: string;
}

let starting: Promise<string> | undefined;

/** Address of its socket, for scripts that call warmClient.mjs. */
export function warmAddress(): Promise<string> {
  starting ??= start();
  return starting;
}

function start(): Promise<string> {
  const address = join(mkdtempSync(join(tmpdir(), "coldturn-warm-")), "socket");
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [fileURLToPath(built("test/cli/warmServer.js")), address], {
      cwd: root,
      stdio: ["pipe", "pipe", "inherit"],
    });
    child.once("error", reject);
    child.once("exit", (status) => {
      starting = undefined;
      reject(new Error(`the warm program ended with status ${String(status)}`));
    });
    child.stdout.once("data", () => resolve(address));
    // It does not keep the tests alive.
    child.unref();
  });
}

/** Runs a command in the warm program, which has nothing in its environment but this. */
export async function warmly(words: readonly string[], cwd: string, env: NodeJS.ProcessEnv): Promise<Ended> {
  const socket = connect(await warmAddress());
  socket.write(`${JSON.stringify({ words, cwd, env })}\n`);
  let text = "";
  for await (const chunk of socket.setEncoding("utf8")) text += String(chunk);
  return JSON.parse(text);
}
