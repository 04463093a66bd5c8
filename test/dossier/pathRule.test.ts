/** Cuts that leave no shaft: which field loses its value, and that nothing is worked out of the other alone. */
import { describe, expect, it } from "vitest";
import { isFaulty } from "../../src/dossier/index.js";
import { readValve } from "./read.js";

const section = (rest: string) => `valve:\n  stem:\n    sections:\n      - { name: end, ${rest} }\n`;
const joint = (rest: string) => `valve:\n  stem:\n    joints:\n      - { name: key, kind: key, ${rest} }\n`;

describe("a cut that leaves nothing of its shaft", () => {
  it.each([
    ["keyway_depth", "shape: keyed, diameter: 16 mm, keyway_width: 5 mm, keyway_depth: 9 mm"],
    ["keyway_width", "shape: keyed, diameter: 16 mm, keyway_width: 17 mm, keyway_depth: 3 mm"],
    ["inner_diameter", "shape: tube, diameter: 16 mm, inner_diameter: 16 mm"],
    ["flat_depth", "shape: two flats, diameter: 16 mm, flat_depth: 8 mm"],
  ])("%s has the fault, and the diameter of its section has none", (field, rest) => {
    const { dossier, faults } = readValve(section(rest));
    const at = "valve.stem.sections[0]";
    expect(faults.map(({ code, where }) => [code, where.field])).toEqual([
      ["cut-beyond-shaft", `${at}.${field}`],
    ]);
    expect(isFaulty(dossier, `${at}.${field}`)).toBe(true);
    expect(isFaulty(dossier, `${at}.diameter`)).toBe(false);
    expect(dossier.valve.valve?.stem?.sections?.[0]?.diameter?.value).toBeCloseTo(0.016, 12);
    expect(
      new Map(Object.entries(dossier.valve.valve?.stem?.sections?.[0] ?? {})).get(field),
    ).toBeUndefined();
  });

  it("a keyway of half the shaft and one just below it", () => {
    const keyed = (depth: string) =>
      readValve(section(`shape: keyed, diameter: 16 mm, keyway_width: 5 mm, keyway_depth: ${depth}`)).faults;
    expect(keyed("8 mm")).toHaveLength(1);
    expect(keyed("7.99 mm")).toEqual([]);
  });

  it("a keyway that cannot be read leaves the diameter alone too", () => {
    const { dossier } = readValve(
      section("shape: keyed, diameter: 16 mm, keyway_width: 5 mm, keyway_depth: 3 kg"),
    );
    expect(isFaulty(dossier, "valve.stem.sections[0].keyway_depth")).toBe(true);
    expect(isFaulty(dossier, "valve.stem.sections[0].diameter")).toBe(false);
  });

  it("a key that ends below its keyway is a fault, whether its joint or its section says how deep it sits", () => {
    const key = "diameter: 16 mm, width: 5 mm, height: 3 mm";
    const own = joint(`${key}, keyway_depth: 3 mm`);
    const bySection = `${section("shape: keyed, diameter: 16 mm, keyway_width: 5 mm, keyway_depth: 3 mm")}${joint(key).replace(/^.*\n.*\n/, "")}`;
    for (const text of [own, bySection]) {
      const { dossier, faults } = readValve(text);
      expect(faults.map(({ code }) => code)).toEqual(["key-below-shaft"]);
      expect(isFaulty(dossier, "valve.stem.joints[0].height")).toBe(true);
    }
    expect(readValve(joint(`${key}, keyway_depth: 2.9 mm`)).faults).toEqual([]);
    expect(readValve(bySection.replace("diameter: 16 mm", "diameter: 14 mm")).faults).toEqual([]);
  });

  it.each([
    ["a hole", section("shape: round, diameter: 16 mm, notch: hole, hole: 16 mm"), "sections[0]"],
    ["the key of a joint", joint("diameter: 16 mm, width: 16 mm"), "joints[0]"],
  ])("%s: numbers rest on the diameter alone, so it is in doubt too", (_, text, at) => {
    expect(isFaulty(readValve(text).dossier, `valve.stem.${at}.diameter`)).toBe(true);
  });
});
