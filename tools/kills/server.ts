/** The server of the workbench, killed while it saves: the valve file is one of the texts that were sent, whole. */
import { type ChildProcess, spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { programFile, sha256 } from "../../src/host/index.js";

/** A server in a process of its own, with what is needed to change something. */
interface Served {
  readonly child: ChildProcess;
  readonly url: string;
  readonly token: string;
}

export async function served(folder: string): Promise<Served> {
  const program = programFile("dist", "src", "cli", "main.js");
  const child = spawn(process.execPath, [program, "serve", folder, "--port", "0"], {
    stdio: ["ignore", "pipe", "ignore"],
  });
  const url = await new Promise<string>((resolve, reject) => {
    let printed = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      printed += text;
      const found = /http:\/\/[\d.]+:\d+\//.exec(printed)?.[0];
      if (found !== undefined) resolve(found.slice(0, -1));
    });
    child.once("exit", () => reject(new Error(`the server did not start: ${printed}`)));
  });
  const page = await (await fetch(`${url}/`)).text();
  const token = /content="([0-9a-f]{64})"/.exec(page)?.[1];
  if (token === undefined) throw new Error("the page bears no token");
  return { child, url, token };
}

/** Saves without a pause until the server is gone. @returns how many saves it confirmed */
async function saveOn({ url, token }: Served, path: string, texts: readonly string[]): Promise<number> {
  for (let saves = 0; ; saves++) {
    const base = sha256(readFileSync(path, "utf8"));
    const body = JSON.stringify({ text: texts[saves % texts.length], base });
    const headers = { "content-type": "application/json", "x-coldturn-token": token };
    const answer = await fetch(`${url}/api/files/valve.yaml`, { method: "PUT", headers, body }).catch(
      () => undefined,
    );
    if (answer === undefined) return saves;
  }
}

/** One kill. @param after  time from the first save on [ms];  @returns saves that were confirmed before */
export async function killWhileSaving(place: string, valve: string, after: number): Promise<number> {
  // Of sizes that are not alike, so that a mixture of two would show.
  const texts = [40_000, 400_000, 150_000].map((size) => `# ${"x".repeat(size)}\n${valve}# end\n`);
  const path = join(place, "valve.yaml");
  const server = await served(place);
  const gone = new Promise((resolve) => server.child.once("exit", resolve));
  const saving = saveOn(server, path, texts);
  setTimeout(() => server.child.kill("SIGKILL"), after);
  await gone;
  const saves = await saving;
  const left = readFileSync(path, "utf8");
  if (left !== valve && !texts.includes(left))
    throw new Error(`valve.yaml has ${left.length} characters of no text that was saved`);
  return saves;
}
