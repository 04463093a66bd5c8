/**
 * Draws the pictures of docs/tour/ and docs/how-to/: the demo's story on the Petrel valve, and a picture for
 * each question about its duty, in the figures that `coldturn predict` and `coldturn reconcile` show. Nothing but the demo's valve file and its generated
 * logs goes in: same program, same pictures.
 *
 *   node dist/tools/tour.js
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { generateLogs } from "../demo/generator/generate.js";
import { applyDefaults, type Dossier, editValveText, readDossier } from "../src/dossier/index.js";
import {
  atTestedConditions,
  decodeText,
  heldFromBand,
  inspectLog,
  measureStroke,
  type Proposal,
  proposalsOf,
  type Reconciliation,
  readLog,
  reconcile,
  strokeChannels,
} from "../src/evidence/index.js";
import { drawSvg, type Figure } from "../src/picture/index.js";
import {
  defaultOptions,
  openingDefinition,
  type Prediction,
  planFor,
  predict,
  runBlock,
} from "../src/predict/index.js";
import type { Angle } from "../src/quantity/index.js";
import { answersOf, type Evidence } from "../src/question/index.js";

/** A picture of a page: the path of its file below docs/, and its SVG. */
export interface TourPicture {
  readonly file: string;
  readonly svg: string;
}

/** Width of a page's column [px]. */
const width = 760;

/** Of the answers about the duty, before any test: those whose how-to has no picture of the tour. */
const questionPictures = [
  "flow-mass",
  "throttling-schedule",
  "strength-parts",
  "cold-interference",
  "trapped-clock",
  "oxygen-velocity",
  "line-envelope-closing",
  "start-mixture-ratio",
];

/**
 * The story that the demo tells, in pictures.
 * @param valveText  the demo's valve file, as it lies in demo/petrel-oxygen-main
 */
export async function tourPictures(valveText: string): Promise<readonly TourPicture[]> {
  const duty = await figuresOf(valveText, { reconciliations: [] });
  const logs = generateLogs(dossierOf(valveText));
  const find = (caseId: string) => {
    const log = logs.find((one) => one.caseId === caseId);
    if (log === undefined) throw new Error(`the generator makes no log of ${caseId}`);
    return log.bytes;
  };
  const test = (text: string, caseId: string, runId: string) => testOf(text, caseId, runId, find(caseId));
  const water = await test(valveText, "pressurised-ambient", "2026-04-16-pressurised");
  const learnt = accepted(valveText, water.proposals);
  const cold = [
    await test(learnt, "nitrogen", "2026-04-18-nitrogen"),
    await test(learnt, "nitrogen-pressurised", "2026-04-18-nitrogen-28bar"),
  ];
  const after = await figuresOf(learnt, {
    reconciliations: cold.map(({ reconciliation }) => reconciliation),
  });
  return [
    picture("torque-against-angle", duty, /^turning-opening$/),
    picture("angle-against-time", water.figures, /-angle$/),
    picture("time-ledger", water.figures, /-ledger$/),
    // The words say which number is which input.
    picture("inputs-before-and-after", water.figures, /-inputs$/, "drawn"),
    picture("opening-times", after, /^opening-times$/),
    picture("checks", after, /^stand-checks$/),
    ...questionPictures.map((id) => ({
      file: `how-to/${id}.svg`,
      svg: drawn(figureIn(duty, id), "left out"),
    })),
  ];
}

function picture(
  name: string,
  figures: readonly Figure[],
  id: RegExp,
  caption: "drawn" | "left out" = "left out",
): TourPicture {
  return { file: `tour/${name}.svg`, svg: drawn(figureIn(figures, id), caption) };
}

function drawn(figure: Figure, caption: "drawn" | "left out"): string {
  return drawSvg(figure, { width, caption });
}

function figureIn(figures: readonly Figure[], wanted: string | RegExp): Figure {
  const figure = figures.find(({ id }) => (typeof wanted === "string" ? id === wanted : wanted.test(id)));
  if (figure === undefined)
    throw new Error(`no figure is called ${String(wanted)}: ${figures.map(({ id }) => id).join(", ")}`);
  return figure;
}

function dossierOf(valveText: string) {
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: valveText } });
  if (faults.length > 0) throw new Error("the demo's valve file has faults; `coldturn check` shows them");
  return dossier;
}

function predicted(valveText: string, caseId: string): Promise<Prediction> {
  return predictedOf(applyDefaults(dossierOf(valveText), caseId).dossier, caseId);
}

function predictedOf(dossier: Dossier, caseId: string): Promise<Prediction> {
  return predict(dossier, caseId, { ...defaultOptions, effectSamples: 0 }, (plan, blocks) =>
    Promise.resolve(blocks.map((request) => runBlock(plan, request))),
  );
}

async function figuresOf(valveText: string, evidence: Evidence): Promise<readonly Figure[]> {
  const answers = answersOf(await predicted(valveText, "duty"), evidence);
  return answers.flatMap(({ figures }) => figures);
}

interface Test {
  readonly reconciliation: Reconciliation;
  readonly proposals: readonly Proposal[];
  readonly figures: readonly Figure[];
}

/** A test held against the prediction of its case, as `coldturn import` and `coldturn reconcile` do it. */
async function testOf(valveText: string, caseId: string, runId: string, log: Uint8Array): Promise<Test> {
  const declared = applyDefaults(dossierOf(valveText), caseId).dossier;
  const { text } = decodeText(log);
  const read = readLog(text, inspectLog(text).mapping);
  const travel = declared.valve.valve?.travel?.value;
  const { stroke, events } = measureStroke(runId, strokeChannels(read), travel as Angle);
  if (stroke === undefined) throw new Error(`the log of ${runId} shows no stroke`);
  const test = { log: read, events, sense: stroke.sense, stated: {} };
  const prediction = await predictedOf(atTestedConditions(declared, caseId, test).dossier, caseId);
  const { dossier, band, nominal } = prediction;
  if (band === undefined) throw new Error(`the case ${caseId} has no band`);
  const plan = planFor(dossier, caseId);
  const held = heldFromBand(band, stroke.sense, nominal[stroke.sense]?.times_s ?? {});
  const reconciliation = reconcile(plan, stroke, held, openingDefinition(dossier));
  const proposals = proposalsOf(plan, reconciliation);
  const evidence = { reconciliations: [reconciliation], proposals };
  const answer = answersOf(prediction, evidence).find(({ id }) => id === "test");
  return { reconciliation, proposals, figures: answer?.figures ?? [] };
}

/** The valve file with the values that a test proposed, as `coldturn reconcile --accept` writes them. */
function accepted(valveText: string, proposals: readonly Proposal[]): string {
  const edits = proposals.map(({ path, proposed, because }) => ({
    path,
    value: `{ value: ${proposed}, origin: fitted, because: ${JSON.stringify(because)} }`,
  }));
  return editValveText(valveText, edits);
}

const self = fileURLToPath(import.meta.url);
if (process.argv[1] === self) {
  // The bundled file lies in dist/tools/, the source in tools/.
  const root = dirname(dirname(self)).replace(/[/\\]dist$/, "");
  const valve = readFileSync(join(root, "demo", "petrel-oxygen-main", "valve.yaml"), "utf8");
  for (const { file, svg } of await tourPictures(valve)) {
    mkdirSync(dirname(join(root, "docs", file)), { recursive: true });
    writeFileSync(join(root, "docs", file), svg);
  }
}
