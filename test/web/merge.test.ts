/** Two changes of one text: both kept where they are apart, shown where they are not, never one lost. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { mergeTexts } from "../../src/web/state/merge.js";

const text = (...lines: readonly string[]): string => lines.join("\n");
const base = text("a: 1", "b: 2", "c: 3", "d: 4", "e: 5");

describe("two changes of one file", () => {
  it("apart from each other are both taken", () => {
    const mine = base.replace("a: 1", "a: 10");
    const theirs = base.replace("e: 5", "e: 50");
    expect(mergeTexts(base, mine, theirs)).toEqual({
      kind: "merged",
      text: text("a: 10", "b: 2", "c: 3", "d: 4", "e: 50"),
    });
  });

  it("that are the same are taken once", () => {
    const mine = text("a: 1", "b: 20", "c: 3", "d: 4", "e: 50");
    const theirs = text("a: 1", "b: 20", "c: 3", "d: 4", "e: 5");
    expect(mergeTexts(base, mine, theirs)).toEqual({ kind: "merged", text: mine });
  });

  it("of one line are a conflict that shows all three", () => {
    const found = mergeTexts(base, base.replace("c: 3", "c: 30"), base.replace("c: 3", "c: 31"));
    expect(found).toEqual({
      kind: "conflict",
      conflicts: [{ base: ["c: 3"], mine: ["c: 30"], theirs: ["c: 31"] }],
    });
  });

  it("that cut out neighbouring lines are a conflict: neither cut is lost", () => {
    expect(mergeTexts(base, base.replace("b: 2\n", ""), base.replace("c: 3\n", "")).kind).toBe("conflict");
  });

  it("of which one cuts a line and the other empties it are a conflict", () => {
    expect(mergeTexts(base, base.replace("b: 2\n", ""), base.replace("b: 2", "")).kind).toBe("conflict");
  });

  const line = fc.constantFrom("a", "b", "c", "");
  const file = fc.array(line, { maxLength: 8 }).map((lines) => lines.join("\n"));

  it("give the same whoever is called mine", () => {
    fc.assert(
      fc.property(file, file, file, (from, mine, theirs) => {
        const one = mergeTexts(from, mine, theirs);
        const other = mergeTexts(from, theirs, mine);
        expect(other.kind).toBe(one.kind);
        if (one.kind === "merged" && other.kind === "merged") expect(other.text).toBe(one.text);
      }),
    );
  });

  it("with a blank file between them keep what each put in, in its order", () => {
    const put = fc.array(fc.stringMatching(/^[x-z]{1,3}$/), { minLength: 1, maxLength: 4 });
    fc.assert(
      fc.property(put, put, (first, last) => {
        const mine = text(...first, base);
        const theirs = text(base, ...last);
        expect(mergeTexts(base, mine, theirs)).toEqual({
          kind: "merged",
          text: text(...first, base, ...last),
        });
      }),
    );
  });
});
