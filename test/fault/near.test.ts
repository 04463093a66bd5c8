import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { nearName } from "../../src/fault/index.js";

describe("the near name", () => {
  const fields = ["efficiency", "ratio", "backlash", "inertia", "winding_resistance"];
  const cases: readonly (readonly [string, string | undefined])[] = [
    ["eficiency", "efficiency"],
    ["effiicency", "efficiency"],
    ["Ratio", "ratio"],
    ["raito", "ratio"],
    ["windingResistance", "winding_resistance"],
    ["winding resistance", "winding_resistance"],
    ["inertai", "inertia"],
    ["torque", undefined],
    ["x", undefined],
    ["", undefined],
  ];
  it.each(cases)("of %s is %s", (word, wanted) => expect(nearName(word, fields)).toBe(wanted));
  it("prefers the same letters in another case to another word", () => {
    expect(nearName("KPA", ["MPa", "kPa", "Pa"])).toBe("kPa");
  });
  it("is the first of equally near ones", () => {
    expect(nearName("cat", ["bat", "hat"])).toBe("bat");
  });
  it("is not offered for words that share nothing", () => {
    expect(nearName("ab", ["xy"])).toBeUndefined();
  });
  it("finds a word with one letter changed, put in, left out, or two swapped", () => {
    const word = fc.stringMatching(/^[a-z]{4,12}$/);
    fc.assert(
      fc.property(
        word,
        fc.nat(),
        fc.constantFrom("change", "put in", "leave out", "swap"),
        (right, place, act) => {
          const at = place % (right.length - 1);
          const [head, tail] = [right.slice(0, at), right.slice(at)];
          const wrong = {
            change: `${head}#${tail.slice(1)}`,
            "put in": `${head}#${tail}`,
            "leave out": `${head}${tail.slice(1)}`,
            swap: `${head}${tail[1] ?? ""}${tail[0] ?? ""}${tail.slice(2)}`,
          }[act];
          expect(nearName(wrong, ["################", right])).toBe(right);
        },
      ),
    );
  });
});
