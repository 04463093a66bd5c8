/**
 * `coldturn` in a script of a test: asks the warm program at $WARM (warmServer.ts) for what a command
 * prints, from this folder and with this environment.
 *
 *   node test/cli/warmClient.mjs check petrel --json
 */
import { connect } from "node:net";

const { WARM, ...env } = process.env;
const socket = connect(WARM);
socket.write(`${JSON.stringify({ words: process.argv.slice(2), cwd: process.cwd(), env })}\n`);
let text = "";
socket.setEncoding("utf8").on("data", (chunk) => {
  text += chunk;
});
socket.on("end", () => {
  const { status, stdout, stderr } = JSON.parse(text);
  process.stdout.write(stdout);
  process.stderr.write(stderr);
  process.exitCode = status;
});
