/**
 * The program kept warm for tests: one process that runs command after command, each with the words, the
 * folder and the environment it is told, as a `Session` of the demo does. What a command loads and compiles
 * serves the next, which saves most of its time. Listens at the socket named behind it; one line of JSON
 * asks, one answers. Ends when the process that started it has ended.
 */
import { createServer, type Socket } from "node:net";
import { Session } from "../../src/cli/run.js";

interface Asked {
  readonly words: readonly string[];
  readonly cwd: string;
  readonly env: NodeJS.ProcessEnv;
}

const home = process.cwd();
const session = new Session();
let last: Promise<void> = Promise.resolve();

/** What is written to a stream while the work runs. */
async function caught(streams: readonly NodeJS.WriteStream[], work: () => Promise<void>): Promise<string[]> {
  const texts = streams.map(() => "");
  const writes = streams.map((stream) => stream.write);
  streams.forEach((stream, i) => {
    const write = (chunk: string | Uint8Array): boolean => {
      texts[i] += typeof chunk === "string" ? chunk : Buffer.from(chunk).toString("utf8");
      return true;
    };
    Object.assign(stream, { write });
  });
  try {
    await work();
  } finally {
    streams.forEach((stream, i) => {
      Object.assign(stream, { write: writes[i] });
    });
  }
  return texts;
}

async function answer({ words, cwd, env }: Asked): Promise<string> {
  const own = { ...process.env };
  process.chdir(cwd);
  replaceEnvironment(env);
  try {
    let status: number | null = null;
    const [stdout, stderr] = await caught([process.stdout, process.stderr], async () => {
      status = await session.run(words);
    });
    return JSON.stringify({ status, signal: null, stdout, stderr });
  } finally {
    replaceEnvironment(own);
    process.chdir(home);
  }
}

function replaceEnvironment(env: NodeJS.ProcessEnv): void {
  for (const name of Object.keys(process.env)) if (!(name in env)) delete process.env[name];
  Object.assign(process.env, env);
}

function serve(socket: Socket): void {
  let text = "";
  socket.setEncoding("utf8").on("data", (chunk: string) => {
    text += chunk;
    if (!text.endsWith("\n")) return;
    const asked: Asked = JSON.parse(text);
    // The folder and the environment are those of the process: one command at a time.
    last = last.then(async () => {
      socket.end(`${await answer(asked)}\n`);
    });
  });
}

const [address] = process.argv.slice(2);
createServer(serve).listen(address, () => process.stdout.write("ready\n"));
// The pipe closes when the tests have ended, however they ended.
process.stdin.resume().on("end", () => process.exit());
