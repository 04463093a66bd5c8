import { beforeEach, describe, expect, it } from "vitest";
import type { Answer } from "../../src/question/index.js";
import type { FromWorker, ToWorker } from "../../src/web/compute/protocol.js";
import { changeValue, setState, startWork } from "../../src/web/state/acts.js";
import { noHistory } from "../../src/web/state/history.js";
import type { WorkerPort } from "../../src/web/state/schedule.js";
import { shownAnswer, workbench } from "../../src/web/state/workbench.js";

const answer = { number: 3, sentence: "as it was" } as Answer;
const newer = { number: 3, sentence: "after the edit" } as Answer;

/** A worker that says only what the test has it say. */
class Silent implements WorkerPort {
  readonly asked: ToWorker[] = [];
  hear: (message: FromWorker) => void = () => {};
  readonly post = (message: ToWorker) => void this.asked.push(message);
  readonly listen = (hear: (message: FromWorker) => void) => {
    this.hear = hear;
  };
}

let quick: Silent;
let thorough: Silent;
const now = () => workbench.getState();
const turnOf = () => {
  const ahead = quick.asked.findLast(({ kind }) => kind === "ahead");
  return ahead?.kind === "ahead" ? ahead.turn : Number.NaN;
};

describe("an edit", () => {
  beforeEach(() => {
    [quick, thorough] = [new Silent(), new Silent()];
    startWork({ quick, thorough });
    setState({ "valve.yaml": "name: a\n" }, noHistory);
    quick.hear({ kind: "answers", key: now().key, answers: [answer], samples: 72, isLast: false });
  });

  it("marks what is shown in the same breath, and its own answer takes the mark away", () => {
    expect(now().isAwaiting).toBe(false);
    changeValue("name", { text: "b" });
    expect(now().isAwaiting).toBe(true);
    quick.hear({ kind: "ahead", turn: turnOf(), text: "b", answers: [newer], samples: 72 });
    expect(now().isAwaiting).toBe(false);
    expect(shownAnswer(now(), 3)).toMatchObject({ answer: newer, isStale: false });
  });

  it("the answer to an older edit does not take it away", () => {
    changeValue("name", { text: "b" });
    const first = turnOf();
    changeValue("name", { text: "c" });
    quick.hear({ kind: "ahead", turn: first, text: "b", answers: [newer], samples: 72 });
    expect(now().isAwaiting).toBe(true);
  });

  it("that cannot be answered ahead is marked until the file says so itself: by its key", () => {
    changeValue("name", "left out");
    quick.hear({ kind: "ahead", turn: turnOf(), answers: [], samples: 0 });
    expect(now().isAwaiting).toBe(true);
    expect(thorough.asked.at(-1)).toMatchObject({ kind: "write", path: "name", value: "left out" });
    thorough.hear({ kind: "written", turn: turnOf(), text: "name:\n" });
    expect(shownAnswer(now(), 3)).toMatchObject({ answer, isStale: true });
    quick.hear({ kind: "answers", key: now().key, answers: [newer], samples: 72, isLast: false });
    expect(shownAnswer(now(), 3)).toMatchObject({ answer: newer, isStale: false });
    expect(now().isAwaiting).toBe(false);
  });

  it("that the field does not take leaves the last answer as the present one", () => {
    changeValue("name", { text: "b" });
    quick.hear({ kind: "refused", turn: turnOf(), key: undefined, faults: [] });
    thorough.hear({ kind: "refused", turn: turnOf(), key: undefined, faults: [] });
    expect(now().isAwaiting).toBe(false);
    expect(shownAnswer(now(), 3)).toMatchObject({ answer, isStale: false });
  });
});
