/** Undo and redo of the page: any number of edits, whole gestures, several files. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { editBetween, type Files, noHistory, redo, undo, withEdit } from "../../src/web/state/history.js";
import { inputKey } from "../../src/web/state/inputKey.js";

type State = { readonly files: Files; readonly history: typeof noHistory };

function edited({ files, history }: State, file: string, text: string, gesture: string): State {
  const edit = editBetween(file, files[file] ?? "", text, "an edit", gesture);
  return { files: { ...files, [file]: text }, history: withEdit(history, files, edit) };
}

describe("the history of edits", () => {
  it("goes back through every edit to the first text, and forward again to the last", () => {
    const step = fc.record({ file: fc.constantFrom("valve.yaml", "hazards.yaml"), text: fc.string() });
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 20 }), (steps) => {
        const first: State = { files: { "valve.yaml": "a: 1\n", "hazards.yaml": "" }, history: noHistory };
        const states = [first];
        steps.forEach(({ file, text }, i) => {
          states.push(edited(states.at(-1) ?? first, file, text, `gesture ${i}`));
        });
        let now = states.at(-1) ?? first;
        for (const before of states.slice(0, -1).toReversed()) {
          now = undo(now.history, now.files) ?? now;
          expect(now.files).toEqual(before.files);
        }
        expect(undo(now.history, now.files)).toBeUndefined();
        for (const after of states.slice(1)) {
          now = redo(now.history, now.files) ?? now;
          expect(now.files).toEqual(after.files);
        }
        expect(redo(now.history, now.files)).toBeUndefined();
      }),
    );
  });

  it("takes back a gesture whole: the drag of a slider, a variant of two files", () => {
    const start: State = { files: { a: "friction: 0.10", b: "cost: 1" }, history: noHistory };
    const other = edited(start, "a", "friction: 0.11", "typed");
    const dragged = edited(edited(other, "a", "friction: 0.12", "drag"), "a", "friction: 0.13", "drag");
    const taken = edited(edited(dragged, "a", "friction: 0.2", "take"), "b", "cost: 2", "take");
    const back = undo(taken.history, taken.files);
    expect(back?.files).toEqual(dragged.files);
    const further = back && undo(back.history, back.files);
    expect(further?.files).toEqual(other.files);
    const forward = further && redo(further.history, further.files);
    const last = forward && redo(forward.history, forward.files);
    expect(last?.files).toEqual(taken.files);
  });

  it("forgets what was undone once something else is edited", () => {
    const start: State = { files: { a: "1" }, history: noHistory };
    const one = edited(start, "a", "2", "one");
    const back = undo(one.history, one.files) ?? one;
    const two = edited(back, "a", "3", "two");
    expect(redo(two.history, two.files)).toBeUndefined();
  });
});

describe("the key of a state", () => {
  it("differs with a text, a case, the evidence; not with the order of the files", () => {
    const key = inputKey({ a: "1", b: "2" }, "duty", 0);
    expect(inputKey({ b: "2", a: "1" }, "duty", 0)).toBe(key);
    const others = [
      inputKey({ a: "1", b: "3" }, "duty", 0),
      inputKey({ a: "12", b: "" }, "duty", 0),
      inputKey({ a: "1", b: "2" }, "dry", 0),
      inputKey({ a: "1", b: "2" }, "duty", 1),
    ];
    expect(new Set([key, ...others]).size).toBe(5);
  });
});
