/** A worker of the page: reads texts and answers. The same file serves as the quick one and as the thorough one. */
import { parse } from "yaml";
import {
  applyDefaults,
  type Dossier,
  describeSchema,
  editValveText,
  valueAt,
  withValues as withDeclared,
} from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { parseDeclared } from "../../quantity/index.js";
import type { Evidence } from "../../question/index.js";
import {
  bandOfHistories,
  bandSamples,
  quickAnswers,
  type Read,
  readTexts,
  wholeAnswers,
  withValues,
} from "./answering.js";
import { valueText } from "./newValue.js";
import type { FromWorker, Inputs, NewValue, ToWorker } from "./protocol.js";

const isQuick = self.name === "quick";
let evidence: Evidence = { reconciliations: [] };
let read: Read | undefined;
let caseId = "duty";
/** Counts what was asked, so that work on an older question ends. */
let newest = 0;

/** The work at hand is of no use any more. */
class Outdated extends Error {}

const say = (message: FromWorker): void => self.postMessage(message);

/** Lets a message that waits come in; ends the work that it makes useless. */
function pauseFor(mine: number): () => Promise<void> {
  return async () => {
    await new Promise<void>((resolve) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => {
        port1.close();
        resolve();
      };
      port2.postMessage(undefined);
    });
    if (mine !== newest) throw new Outdated();
  };
}

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
      evidence = message.evidence;
      return;
    case "describe":
      return say({ kind: "fields", fields: describeSchema() });
    case "answer":
      newest++;
      return isQuick
        ? await answerQuickly(message.inputs, message.focus)
        : await answerWholly(message.inputs);
    case "ahead":
      return await answerAhead(message.turn, message.path, message.value, message.focus);
    case "histories": {
      const { texts, sense } = message;
      return say({ ...message, band: bandOfHistories(texts, message.caseId, sense) });
    }
    case "write": {
      const { turn, text, path, value } = message;
      const before =
        read === undefined ? undefined : (valueAt(read.given, path) ?? valueAt(read.filled, path));
      const written = editValveText(text, [{ path, value: valueText(value, before) }]);
      return say({ kind: "written", turn, text: written });
    }
  }
}

async function answerQuickly(inputs: Inputs, focus: number): Promise<void> {
  read = readTexts(inputs);
  caseId = inputs.caseId;
  const answers = await quickAnswers(read.filled, caseId, evidence, focus);
  say({ kind: "answers", key: inputs.key, answers, samples: bandSamples.first, isLast: false });
}

async function answerWholly(inputs: Inputs): Promise<void> {
  const { key, texts } = inputs;
  const pause = pauseFor(newest);
  const now = readTexts(inputs);
  read = now;
  caseId = inputs.caseId;
  say({ kind: "read", key, reading: withValues(now, texts) });
  await pause();
  await wholeAnswers(now.filled, inputs.caseId, evidence, pause, (answers, samples, isLast) =>
    say({ kind: "answers", key, answers, samples, isLast }),
  );
}

/** Answers a change of one value before it is written: reading the whole file again takes longer than the answer. */
async function answerAhead(turn: number, path: string, value: NewValue, focus: number): Promise<void> {
  const changed = read === undefined ? undefined : changedDossier(read.given, path, value);
  if (read === undefined || changed === undefined)
    return say({ kind: "ahead", turn, answers: [], samples: 0 });
  const { dossier: filled } = applyDefaults(changed, caseId);
  const answers = await quickAnswers(filled, caseId, evidence, focus);
  read = { ...read, given: changed, filled };
  say({ kind: "ahead", turn, answers, samples: bandSamples.first });
}

/** Undefined where the file must be read to know what the change means. */
function changedDossier(given: Dossier, path: string, value: NewValue): Dossier | undefined {
  const before = valueAt(given, path);
  const text = valueText(value, before);
  if (before === undefined || /\(g\)|gauge|barg|psig/.test(text)) return undefined;
  if (path.endsWith("ambient_pressure")) return undefined;
  const raw: unknown = text.startsWith("{") ? parse(text) : text;
  return withDeclared(given, new Map([[path, parseDeclared(raw, before.dimension, {})]]));
}
