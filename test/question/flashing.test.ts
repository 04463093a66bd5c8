import { describe, expect, it } from "vitest";
import { answerNumbered, answersTo, checkNamed } from "./answering.js";

describe("liquid that boils behind the valve", () => {
  // Liquid nitrogen at 85 K boils at 2.29 bar (NIST WebBook, saturation table, from memory to 1 %).
  it("is said with the pressures where the line ends below the vapour pressure, and in the sentence and the choking check", async () => {
    const answers = await answersTo({
      edits: {
        "duty.fluid": "nitrogen",
        "duty.fluid_temperature": "85 K",
        "duty.supply_pressure": "6 bar(a)",
        "duty.back_pressure": "1.013 bar(a)",
        "line.downstream.drop": "0.001 bar",
      },
      samples: 20,
    });
    const answer = answerNumbered(answers, 1);
    const notice = answer.notices?.find(({ code }) => code === "flashing-behind-valve");
    expect(notice?.text).toMatch(/below the vapour pressure 2\.[23]\d* bar/);
    expect(answer.sentence).toMatch(/Behind it the liquid boils\.$/);
    expect(checkNamed(answers, "choke").assumptions.join(" ")).toMatch(/not the two-phase flow behind it/);
  });
  it("is not said of a line that stays above it", async () => {
    const answers = await answersTo({ samples: 20 });
    const codes = answerNumbered(answers, 1).notices?.map(({ code }) => code) ?? [];
    expect(codes).not.toContain("flashing-behind-valve");
  });
});
