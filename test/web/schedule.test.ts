/** What the page asks of its two workers and when, with workers that a test answers for. */
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import { OwnAnswers, predict } from "../../src/predict/index.js";
import { type Answer, answerBeside } from "../../src/question/index.js";
import type { FromWorker, ToWorker } from "../../src/web/compute/protocol.js";
import {
  askBeside,
  changeValue,
  lookAt,
  setState,
  startWork,
  tellEvidence,
  undoEdit,
} from "../../src/web/state/acts.js";
import { noHistory } from "../../src/web/state/history.js";
import { arrival, rest } from "../../src/web/state/schedule.js";
import { shownAnswer, workbench } from "../../src/web/state/workbench.js";

class FakeWorker {
  readonly heard: ToWorker[] = [];
  say: (message: FromWorker) => void = () => {};
  readonly port = {
    post: (message: ToWorker) => void this.heard.push(message),
    listen: (hear: (message: FromWorker) => void) => {
      this.say = hear;
    },
  };

  kinds(): readonly string[] {
    return this.heard.map(({ kind }) => kind);
  }

  last<K extends ToWorker["kind"]>(kind: K): Extract<ToWorker, { kind: K }> {
    const found = this.heard.findLast((message) => message.kind === kind);
    if (found === undefined) throw new Error(`nothing of kind ${kind} was said`);
    return found as Extract<ToWorker, { kind: K }>;
  }
}

const number = 3;
const path = "valve.seat.friction";
const fileWith = (text: string) => ({ "valve.yaml": `friction: ${text}\n` });

/** A real answer of an empty valve file, told apart by its sentence. */
const plain = await (async () => {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "name: a test\n" } });
  const { dossier: filled } = applyDefaults(dossier);
  const options = { seed: 1, samples: 0, effectSamples: 0 };
  const prediction = await predict(filled, "duty", options, async () => []);
  const own = new OwnAnswers(filled, "duty", options);
  return answerBeside(prediction, { reconciliations: [] }, own, number);
})();
const saying = (sentence: string): Answer => ({ ...plain, sentence });

const shown = () => {
  const found = shownAnswer(workbench.getState(), number);
  return found && { says: found.answer.sentence, isStale: found.isStale };
};

describe("the work of the page", () => {
  let quick = new FakeWorker();
  let thorough = new FakeWorker();
  let counter = new Int32Array(new SharedArrayBuffer(4));
  const answersTo = (worker: FakeWorker, sentence: string, isLast: boolean) => {
    const { inputs } = worker.last("answer");
    worker.say({ kind: "answers", key: inputs.key, answers: [saying(sentence)], samples: 96, isLast });
  };
  const aheadOf = (turn: number, sentence: string, text = "0.2") =>
    quick.say({ kind: "ahead", turn, text, answers: [saying(sentence)], samples: 72 });
  const writes = (text: string) => {
    const { turn } = thorough.last("write");
    thorough.say({ kind: "written", turn, text: fileWith(text)["valve.yaml"] });
  };

  beforeEach(() => {
    vi.useFakeTimers();
    quick = new FakeWorker();
    thorough = new FakeWorker();
    counter = new Int32Array(new SharedArrayBuffer(4));
    workbench.setState(workbench.getInitialState());
    startWork({ quick: quick.port, thorough: thorough.port }, () => {}, counter);
    setState(fileWith("0.1"), noHistory);
    tellEvidence();
    answersTo(quick, "as loaded", false);
    vi.advanceTimersByTime(0);
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it("answers everything once the first look is shown", () => {
    expect(shown()).toEqual({ says: "as loaded", isStale: false });
    expect(thorough.kinds()).toEqual(["counter", "evidence", "answer"]);
  });

  it("an edit ends the thorough work at once, is answered by one first look, written, and worked out after a rest", () => {
    const { count } = thorough.last("answer");
    changeValue(path, { text: "0.2" });
    expect(thorough.kinds().at(-1)).toBe("stop");
    expect(Atomics.load(counter, 0)).not.toBe(count);
    const { turn } = quick.last("ahead");
    aheadOf(turn, "with 0.2");
    expect(shown()).toEqual({ says: "with 0.2", isStale: false });
    writes("0.2");
    expect(shown()).toEqual({ says: "with 0.2", isStale: false });
    const asked = quick.heard.length;
    vi.advanceTimersByTime(rest - 1);
    expect(thorough.kinds().at(-1)).toBe("write");
    vi.advanceTimersByTime(1);
    expect(thorough.last("answer").inputs.texts).toEqual(fileWith("0.2"));
    expect(thorough.last("answer").count).toBe(Atomics.load(counter, 0));
    // The quick worker has not been asked a second time.
    expect(quick.heard.length).toBe(asked);
    answersTo(thorough, "with 0.2, sharp", true);
    expect(shown()).toEqual({ says: "with 0.2, sharp", isStale: false });
  });

  it("an edit within the rest puts the thorough work off", () => {
    const before = thorough.kinds().filter((kind) => kind === "answer").length;
    for (const text of ["0.2", "0.3"]) {
      changeValue(path, { text });
      aheadOf(quick.last("ahead").turn, `with ${text}`, text);
      writes(text);
      vi.advanceTimersByTime(rest - 50);
    }
    expect(thorough.kinds().filter((kind) => kind === "answer").length).toBe(before);
    vi.advanceTimersByTime(50);
    expect(thorough.last("answer").inputs.texts).toEqual(fileWith("0.3"));
  });

  it("of a slider's places the newest is answered, of two fields both", () => {
    const changes = ["0.2", "0.3", "0.4"];
    for (const text of changes) changeValue(path, { text });
    changeValue("valve.packing.torque", { text: "1 N m" });
    const asked = () => quick.heard.flatMap((one) => (one.kind === "ahead" ? [one.value] : []));
    for (let n = 0; n < 3; n++) aheadOf(quick.last("ahead").turn, "one of them");
    expect(asked()).toEqual([{ text: "0.2" }, { text: "0.4" }, { text: "1 N m" }]);
  });

  it("a value is written with the words of the worker that knows what stood there", () => {
    changeValue(path, { si: 0.25 });
    expect(thorough.kinds()).not.toContain("write");
    aheadOf(quick.last("ahead").turn, "moved", "0.25 +/- 0.02");
    expect(thorough.last("write").value).toEqual({ text: "0.25 +/- 0.02" });
  });

  it("marks what is shown while an answer is long in coming", () => {
    changeValue(path, { text: "0.2" });
    vi.advanceTimersByTime(150);
    expect(shown()).toEqual({ says: "as loaded", isStale: true });
    aheadOf(quick.last("ahead").turn, "with 0.2");
    expect(shown()).toEqual({ says: "with 0.2", isStale: false });
  });

  it("a question that is looked at is made ready for its first edit, unless an answer is awaited", () => {
    const isReady = () => quick.heard.flatMap((one) => (one.kind === "ready" ? [one.focus] : []));
    lookAt(4);
    lookAt(9);
    vi.advanceTimersByTime(arrival - 1);
    expect(isReady()).toEqual([]);
    vi.advanceTimersByTime(1);
    expect(isReady()).toEqual([9]);
    changeValue(path, { text: "0.2" });
    lookAt(10);
    vi.advanceTimersByTime(arrival);
    expect(isReady()).toEqual([9]);
  });

  it("an older answer that comes late is never shown as the present one", () => {
    changeValue(path, { text: "0.2" });
    const { turn } = quick.last("ahead");
    const { inputs } = thorough.last("answer");
    quick.say({ kind: "ahead", turn, answers: [], samples: 0 });
    writes("0.2");
    // Of the state before the edit, from the thorough worker.
    thorough.say({
      kind: "answers",
      key: inputs.key,
      answers: [saying("late")],
      samples: 512,
      isLast: false,
    });
    expect(shown()?.isStale).toBe(true);
    // Of a change that an undo has taken back.
    answersTo(quick, "with 0.2", false);
    changeValue(path, { text: "0.3" });
    const late = quick.last("ahead").turn;
    quick.say({ kind: "ahead", turn: late, answers: [], samples: 0 });
    writes("0.3");
    undoEdit();
    aheadOf(late, "late");
    expect(shown()).toEqual({ says: "with 0.2", isStale: false });
  });

  it("the first look does not take the place of a sharper answer", () => {
    const { inputs } = thorough.last("answer");
    thorough.say({
      kind: "answers",
      key: inputs.key,
      answers: [saying("sharp")],
      samples: 512,
      isLast: false,
    });
    quick.say({ kind: "answers", key: inputs.key, answers: [saying("first")], samples: 72, isLast: false });
    expect(shown()?.says).toBe("sharp");
  });

  it("another state is answered beside, once the present one has its last answer; an edit comes first, then it begins anew", () => {
    const other = { key: "other", texts: fileWith("0.9"), caseId: "duty" };
    askBeside(other);
    expect(thorough.last("answer").isBeside).toBeUndefined();
    answersTo(thorough, "all of now", true);
    expect(thorough.last("answer")).toMatchObject({ inputs: other, isBeside: true });
    thorough.say({
      kind: "answers",
      key: "other",
      answers: [saying("with other parts")],
      samples: 512,
      isLast: false,
    });
    expect(shown()).toEqual({ says: "all of now", isStale: false });
    changeValue(path, { text: "0.2" });
    expect(thorough.kinds().at(-1)).toBe("stop");
    aheadOf(quick.last("ahead").turn, "with 0.2");
    writes("0.2");
    vi.advanceTimersByTime(rest);
    expect(thorough.last("answer").isBeside).toBeUndefined();
    answersTo(thorough, "all with 0.2", true);
    expect(thorough.last("answer")).toMatchObject({ inputs: other, isBeside: true });
    const asked = thorough.heard.length;
    thorough.say({ kind: "answers", key: "other", answers: [saying("whole")], samples: 512, isLast: true });
    expect(workbench.getState().results.get("other")?.answers.get(number)?.answer.sentence).toBe("whole");
    expect(shown()).toEqual({ says: "all with 0.2", isStale: false });
    // It has been answered: nothing is asked twice.
    expect(thorough.heard.length).toBe(asked);
  });

  it("another state that is wanted no more is worked on no more", () => {
    answersTo(thorough, "all of now", true);
    askBeside({ key: "other", texts: fileWith("0.9"), caseId: "duty" });
    expect(thorough.last("answer").isBeside).toBe(true);
    askBeside(undefined);
    expect(thorough.kinds().at(-1)).toBe("stop");
  });
});
