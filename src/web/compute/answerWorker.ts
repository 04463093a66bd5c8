/** A worker of the page: reads texts and answers. The same file serves as the quick one and as the thorough one. */
import { parse } from "yaml";
import {
  applyDefaults,
  changedDossier,
  describeSchema,
  editValveText,
  leaveOutValue,
  readHazards,
  valueAt,
} from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import type { Declared } from "../../quantity/index.js";
import type { Evidence } from "../../question/index.js";
import { Answering, bandOfHistories, type Read, readTexts, withValues } from "./answering.js";
import { valueText } from "./newValue.js";
import type { FromWorker, Inputs, Texts, ToWorker, ValueChange } from "./protocol.js";
import { sha256 } from "./sha256.js";

const isQuick = self.name === "quick";
/** What tests have shown; undefined until it is known. */
let evidence: Evidence | undefined;
let read: Read | undefined;
/** The texts that `read` was read from; undefined where a value was changed ahead of them. */
let readFrom: { readonly texts: Texts; readonly caseId: string } | undefined;
let caseId = "duty";
/** Counts what makes older work useless, here by messages, and in the page where threads can share a number. */
let newest = 0;
let counter: Int32Array | undefined;

/** Evidence as the questions take it: functions come along neither over HTTP nor from another thread. */
function withFunctions(sent: Evidence): Evidence {
  const { hazards } = sent;
  const source = hazards?.file?.source;
  if (hazards === undefined) return sent;
  const file = source === undefined ? {} : { file: readHazards(source) };
  return { ...sent, hazards: { ...hazards, ...file, digest: sha256 } };
}

/** The work at hand is of no use any more. */
class Outdated extends Error {}

const say = (message: FromWorker): void => self.postMessage(message);

/** Of the work at hand: its number here, and in the page. */
let mine = { newest: 0, count: 0 };

function breath(): void {
  const isOver = counter !== undefined && Atomics.load(counter, 0) !== mine.count;
  if (isOver || mine.newest !== newest) throw new Outdated();
}

/** Lets a message that waits come in; ends the work that it makes useless. */
async function pause(): Promise<void> {
  const before = mine;
  await new Promise<void>((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(undefined);
  });
  if (before !== mine) throw new Outdated();
  breath();
}

const answering = new Answering({ pause, breath });
/** Has other states than the present one, so that what is kept of that stays. */
const beside = new Answering({ pause, breath });

self.onmessage = async ({ data }: MessageEvent<ToWorker>): Promise<void> => {
  try {
    await act(data);
  } catch (thrown) {
    if (thrown instanceof Outdated) return;
    if (!(thrown instanceof Refusal)) throw thrown;
    const turn = "turn" in data ? data.turn : undefined;
    const key = data.kind === "answer" ? data.inputs.key : undefined;
    say({ kind: "refused", turn, key, faults: thrown.faults });
  }
};

async function act(message: ToWorker): Promise<void> {
  switch (message.kind) {
    case "evidence":
      evidence = withFunctions(message.evidence);
      return;
    case "describe":
      return say({ kind: "fields", fields: describeSchema() });
    case "counter":
      counter = message.counter;
      return;
    case "stop":
      newest++;
      return;
    case "answer":
      newest++;
      mine = { newest, count: message.count ?? 0 };
      if (message.isBeside === true) return await answerBesideNow(message.inputs, message.focus);
      return isQuick
        ? await answerQuickly(message.inputs, message.focus)
        : await answerWholly(message.inputs, message.focus);
    case "ready":
      return await makeReady(message.focus);
    case "ahead":
      return await answerAhead(message, message.focus);
    case "histories": {
      const { texts, sense } = message;
      return say({ ...message, band: bandOfHistories(texts, message.caseId, sense) });
    }
    case "seek": {
      const { tellOfSeek } = await import("./seeking.js");
      return say({ kind: "seek", told: tellOfSeek(message.asked), number: message.number });
    }
    case "note": {
      const { notePage } = await import("./noting.js");
      return say({ kind: "note", page: await notePage(message, evidence ?? noTests) });
    }
    case "write": {
      const { turn, text, path, value } = message;
      const written =
        value === "left out"
          ? leaveOutValue(text, path)
          : editValveText(text, [{ path, value: valueText(value, valueBefore(path)) }]);
      return say({ kind: "written", turn, text: written });
    }
  }
}

/** The value that stands at a path; where the field is left out, the one that stands in. */
function valueBefore(path: string): Declared | undefined {
  return read === undefined ? undefined : (valueAt(read.given, path) ?? valueAt(read.filled, path));
}

function readOnce(inputs: Inputs): Read {
  const isSame = readFrom?.caseId === inputs.caseId && areSame(readFrom.texts, inputs.texts);
  const now = isSame && read !== undefined ? read : readTexts(inputs);
  read = now;
  readFrom = inputs;
  caseId = inputs.caseId;
  return now;
}

function areSame(one: Texts, other: Texts): boolean {
  const paths = Object.keys(one);
  return paths.length === Object.keys(other).length && paths.every((path) => one[path] === other[path]);
}

/** Questions that say something else before it is known what tests have shown. */
const ofTests: ReadonlySet<number> = new Set([8, 11, 12]);
const noTests: Evidence = { reconciliations: [] };

async function answerQuickly(inputs: Inputs, focus: number): Promise<void> {
  const { filled } = readOnce(inputs);
  const seen = evidence === undefined && ofTests.has(focus) ? 1 : focus;
  const { answers, samples } = await answering.firstLook(
    { filled, caseId },
    evidence ?? noTests,
    seen,
    seen === 1,
  );
  say({ kind: "answers", key: inputs.key, answers, samples, isLast: false });
}

async function answerWholly(inputs: Inputs, focus: number): Promise<void> {
  const { key, texts } = inputs;
  const now = readOnce(inputs);
  await pause();
  say({ kind: "read", key, reading: withValues(now, texts) });
  await pause();
  const state = { filled: now.filled, caseId: inputs.caseId };
  await answering.thorough(state, evidence ?? noTests, focus, (answers, samples, isLast) =>
    say({ kind: "answers", key, answers, samples, isLast }),
  );
}

/** What a question keeps from one first look to the next is there before the first edit beside it. */
async function makeReady(focus: number): Promise<void> {
  if (read === undefined || (evidence === undefined && ofTests.has(focus))) return;
  await answering.firstLook({ filled: read.filled, caseId }, evidence ?? noTests, focus, false);
}

/** Every answer to another state than the present one, from the usual band. */
async function answerBesideNow({ key, texts, caseId: ofCase }: Inputs, focus: number): Promise<void> {
  const { filled } = readTexts({ texts, caseId: ofCase });
  await pause();
  await beside.thorough(
    { filled, caseId: ofCase },
    evidence ?? noTests,
    focus,
    (answers, samples, isLast) => say({ kind: "answers", key, answers, samples, isLast }),
    "usual",
  );
}

/** Answers a change of one value before it is written: reading the whole file again takes longer than the answer. */
async function answerAhead({ turn, path, value }: ValueChange, focus: number): Promise<void> {
  if (value === "left out") {
    // What stands in for it, or that nothing does, only reading the file tells.
    read = undefined;
    readFrom = undefined;
    return say({ kind: "ahead", turn, answers: [], samples: 0 });
  }
  const given = read?.given;
  const text = valueText(value, valueBefore(path));
  const raw: unknown = text.startsWith("{") ? parse(text) : text;
  const changed = given && changedDossier(given, path, raw);
  if (read === undefined || changed === undefined) {
    // What comes after it cannot be answered ahead either, until the file has been read.
    const spoken = read === undefined ? {} : { text };
    read = undefined;
    readFrom = undefined;
    return say({ kind: "ahead", turn, ...spoken, answers: [], samples: 0 });
  }
  const { dossier: filled } = applyDefaults(changed, caseId);
  const { answers, samples } = await answering.firstLook(
    { filled, caseId },
    evidence ?? noTests,
    focus,
    false,
  );
  read = { ...read, given: changed, filled };
  readFrom = undefined;
  say({ kind: "ahead", turn, text, answers, samples });
}
