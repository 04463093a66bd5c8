import { describe, expect, it } from "vitest";
import { partsOnFile, readDossier } from "../../src/dossier/index.js";
import { choiceAt, namesOf, spaceOf } from "../../src/seek/space.js";

const library = partsOnFile([]);
const declared = (text: string) => readDossier({ valve: { path: "valve.yaml", text } }).dossier;
const space = (
  seek: string,
  drive = "drive: { motor: { part: generic brushless 100 W }, stages: [{ ratio: 10 }] }",
) => spaceOf(declared(`coldturn: 1\n${drive}\nseek: ${seek}\n`), library);

describe("the space of choices", () => {
  it("has every combination once, the declared one first", () => {
    const found = space(
      "{ try: [{ kind: motor, class: brushed }, { kind: stage, class: spur }, { kind: stage, class: worm }], stages: { least: 1, most: 3 }, commands: [{ kind: full, current_limit: 8 A }] }",
    );
    // Three brushed motors beside the declared one; chains of 4 stages: 4 + 16 + 64, and the declared one; two commands.
    expect([found.motors.length, found.stages.length, found.chains, found.count]).toEqual([
      4,
      4,
      85,
      4 * 85 * 2,
    ]);
    const all = Array.from({ length: found.count }, (_, index) => JSON.stringify(choiceAt(found, index)));
    expect(new Set(all).size).toBe(found.count);
    expect(namesOf(found, choiceAt(found, 0))).toEqual({
      valve: "as declared",
      motor: "as declared",
      stages: ["as declared"],
      battery: "as declared",
      command: "as declared",
    });
    const lengths = all.map(
      (text) => (JSON.parse(text) as { readonly stages?: readonly number[] }).stages?.length ?? 0,
    );
    expect([1, 2, 3].map((length) => lengths.filter((one) => one === length).length)).toEqual([
      4 * 8,
      16 * 8,
      64 * 8,
    ]);
  });

  it("does not try the part that is declared already", () => {
    const { motors } = space("{ try: [{ kind: motor, class: brushless }] }");
    expect(motors.map(({ name }) => name)).not.toContain("generic brushless 100 W");
    expect(motors[0]?.part).toBeUndefined();
  });

  it("has no declared option of what is not declared", () => {
    const { motors, hasDeclaredChain } = space(
      "{ try: [{ kind: motor, class: brushed }, { kind: stage, class: spur }] }",
      "duty: { dwell: 1 s }",
    );
    expect(motors.every(({ part }) => part !== undefined)).toBe(true);
    expect(hasDeclaredChain).toBe(false);
  });

  it("without anything to try, of unknown classes and parts, and beyond all bounds is refused", () => {
    expect(() => space("{ limits: { mass: 3 kg } }")).toThrow(/nothing that may be tried/);
    expect(() => space("{ try: [{ kind: stage, class: planetry }] }")).toThrow(/planetry/);
    expect(() => space("{ try: [{ kind: motor, part: our motor }] }")).toThrow(/our motor/);
    expect(() =>
      space("{ try: [{ kind: stage }, { kind: motor }, { kind: valve }, { kind: battery }] }"),
    ).toThrow(/candidates are to be tried/);
  });
});
