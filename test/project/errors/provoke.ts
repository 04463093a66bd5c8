/**
 * Provokes what a page of docs/errors describes, from the sample that stands in the page:
 *
 *   <!-- provoked by this call -->      an expression over the folders of src/, by their names
 *   <!-- provoked by these commands --> commands typed in a folder that holds the demo's dossier as
 *                                       `petrel` and a log of a dry opening, bench.csv
 *
 * Below the sample the page holds what is printed for it.
 */
import { execFile } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import * as dossier from "../../../src/dossier/index.js";
import * as evidence from "../../../src/evidence/index.js";
import { type Fault, faultsText, type Notice, noticeText, Refusal } from "../../../src/fault/index.js";
import * as host from "../../../src/host/index.js";
import { refuseSystem } from "../../../src/host/system.js";
import * as numerics from "../../../src/numerics/index.js";
import * as cold from "../../../src/physics/cold/index.js";
import * as drive from "../../../src/physics/drive/index.js";
import * as flow from "../../../src/physics/flow/index.js";
import * as motion from "../../../src/physics/motion/index.js";
import * as seat from "../../../src/physics/seat/index.js";
import * as picture from "../../../src/picture/index.js";
import * as predict from "../../../src/predict/index.js";
import * as substance from "../../../src/substance/index.js";
import { dossierIn, dryLog, valveText } from "../../cli/program.js";
import { warmAddress } from "../../cli/warm.js";

/** What a sample brings forth. */
export interface Provoked {
  /** Codes of its faults and notices. */
  readonly codes: readonly string[];
  readonly printed: string;
}

/** The sample of a page, or undefined where it has none of these kinds. */
export function sampleOf(
  page: string,
): { readonly kind: string; readonly text: string; readonly shown: string } | undefined {
  const form =
    /<!-- provoked by (this call|these commands) -->\n```\w+\n([\s\S]+?)\n```\n\n```text\n([\s\S]+?)\n```/;
  const [, kind, text, shown] = form.exec(page) ?? [];
  return kind === undefined || text === undefined || shown === undefined ? undefined : { kind, text, shown };
}

export async function provoke(kind: string, text: string, code: string): Promise<Provoked> {
  const folder = mkdtempSync(join(tmpdir(), "coldturn-errors-"));
  try {
    return kind === "this call" ? await called(text, code, folder) : await typed(text, code, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A valve file as the predictions take it: read, defaults applied. */
function valve(text: string, caseId = "duty") {
  const { dossier: read, faults } = dossier.readDossier({ valve: { path: "valve.yaml", text } });
  if (faults.length > 0) throw new Error(faultsText(faults));
  return dossier.applyDefaults(read, caseId).dossier;
}

/** An error as the file system gives it. */
function systemError(code: string): Error {
  return Object.assign(new Error(`${code}: the system's own words`), { code });
}

async function called(text: string, code: string, folder: string): Promise<Provoked> {
  const scope = {
    ...{ cold, dossier, drive, evidence, flow, host, motion, numerics, picture, predict, seat, substance },
    ...{ valve, demo: valveText, systemError, refuseSystem, folder },
  };
  writeFileSync(join(folder, "valve.yaml"), "name: Petrel\n");
  const act = new Function(...Object.keys(scope), `return (${text});`);
  const own = (words: string): string => words.replaceAll(`${folder}/`, "");
  try {
    const notices = noticesOf(await act(...Object.values(scope)));
    const shown = notices.filter((notice) => notice.code === code);
    return {
      codes: notices.map((notice) => notice.code),
      printed: own([...new Set(shown.map(noticeText))].join("\n")),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    const faults: readonly Fault[] = thrown.faults;
    return { codes: faults.map((fault) => fault.code), printed: own(faultsText(faults)) };
  }
}

/** The notices of a result, or the result if it is a list of them. */
function noticesOf(result: unknown): readonly Notice[] {
  if (Array.isArray(result)) return result.filter(isNotice);
  if (typeof result !== "object" || result === null) return [];
  return noticesOf(Reflect.get(result, "notices"));
}

function isNotice(value: unknown): value is Notice {
  return typeof value === "object" && value !== null && "code" in value && "text" in value;
}

const client = fileURLToPath(new URL("../../cli/warmClient.mjs", import.meta.url));
const run = promisify(execFile);

/** Types the commands with --json, and prints the faults and notices of the last one's record. */
async function typed(text: string, code: string, place: string): Promise<Provoked> {
  dossierIn(place);
  writeFileSync(join(place, "bench.csv"), dryLog());
  // The last status is that of a refusal: what counts is what was printed.
  const script = `coldturn() { "$NODE" "$CLIENT" "$@" --json; }\n${text}\ntrue\n`;
  const { stdout, stderr } = await run("bash", ["-c", script], {
    cwd: place,
    env: { ...process.env, NODE: process.execPath, CLIENT: client, WARM: await warmAddress() },
    maxBuffer: 1 << 26,
  });
  if (!stdout.startsWith("{")) throw new Error(`no record was printed\n${stdout}${stderr}`);
  const { faults, notices } = foundIn(JSON.parse(stdout));
  const said = notices.filter((notice) => notice.code === code).map(noticeText);
  const printed = faults.length > 0 ? faultsText(faults) : [...new Set(said)].join("\n");
  return {
    codes: [...faults, ...notices].map((found) => found.code),
    printed: printed.replaceAll(`${place}/`, ""),
  };
}

interface Found {
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
}

/** The faults and notices anywhere in a record. */
function foundIn(value: unknown): Found {
  if (isFault(value)) return { faults: [value], notices: [] };
  if (isNotice(value)) return { faults: [], notices: [value] };
  if (typeof value !== "object" || value === null) return { faults: [], notices: [] };
  const inside = Object.values(value).map(foundIn);
  return {
    faults: inside.flatMap(({ faults }) => faults),
    notices: inside.flatMap(({ notices }) => notices),
  };
}

function isFault(value: unknown): value is Fault {
  return (
    typeof value === "object" && value !== null && ["code", "where", "mend"].every((key) => key in value)
  );
}
