/** Cautions follow the hazards of the fluids; what nobody gave counts as dangerous. */
import { describe, expect, it } from "vitest";
import { cautionsOf, hazardsOf } from "../../src/question/cautions.js";
import { fluid } from "../../src/substance/index.js";
import { answersTo } from "./answering.js";

const ignition = (...names: readonly (string | undefined)[]) =>
  cautionsOf("oxygen", hazardsOf(...names.map((name) => (name === undefined ? {} : { fluid: name })))).join(
    " ",
  );

describe("cautions of ignition", () => {
  // GHS: oxygen and nitrous oxide are oxidising gases of category 1; methane, propane and hydrogen
  // flammable gases of category 1; ethanol and dodecane burn; nitrogen, helium and water do neither (from memory).
  it.each([
    ["oxygen", "oxidiser"],
    ["nitrous-oxide", "oxidiser"],
    ["methane", "fuel"],
    ["propane", "fuel"],
    ["parahydrogen", "fuel"],
    ["ethanol", "fuel"],
    ["n-dodecane", "fuel"],
    ["nitrogen", "inert"],
    ["helium", "inert"],
    ["water", "inert"],
  ] as const)("%s: %s, by its hazard class of the GHS", (name, reaction) => {
    expect(fluid(name).reaction).toBe(reaction);
  });

  it("an oxidiser brings its own, a fuel its own, an inert fluid neither", () => {
    expect(ignition("oxygen")).toMatch(/oxidiser/);
    expect(ignition("oxygen")).not.toMatch(/fuel/);
    expect(ignition("methane")).toMatch(/fuel/);
    expect(ignition("methane")).not.toMatch(/oxidiser/);
    expect(ignition("none")).not.toMatch(/fuel|oxidiser/);
  });

  it("a test in nitrogen of an oxygen valve keeps the cautions of the oxygen", () => {
    expect(ignition("oxygen", "nitrogen")).toMatch(/oxidiser/);
  });

  it("a fluid that nobody gave, or that is not on file, counts as both", () => {
    for (const name of [undefined, "phlogiston"]) {
      expect(ignition(name)).toMatch(/oxidiser/);
      expect(ignition(name)).toMatch(/fuel/);
    }
  });

  it("a methane valve is not told of oxygen specialists", async () => {
    const answers = await answersTo({
      samples: 0,
      edits: { "duty.fluid": "methane", "duty.fluid_temperature": "112 K" },
    });
    const found = answers.find(({ id }) => id === "oxygen")?.cautions.join(" ");
    expect(found).toContain("A fuel that leaks");
    expect(found).not.toContain("oxygen specialist");
  });
});

describe("cautions of the cold", () => {
  const cold = (...kelvins: readonly number[]) =>
    hazardsOf(...kelvins.map((value) => ({ valve_temperature: { value } }))).has("cold");
  it("stand where a temperature is low or none is given", () => {
    expect([cold(92), cold(293), cold(293, 92), cold()]).toEqual([true, false, true, true]);
  });
});
